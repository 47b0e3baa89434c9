"""Garments on the page: listed, shown, copied, renamed, taken away and brought back."""

from __future__ import annotations

import os
from functools import partial
from pathlib import Path
from urllib.parse import quote

import pytest

from pieces.readers.shelf import SHELF
from plans.page.garments.shelf import digest
from tests.page import Client, client

__all__ = ["client"]

BLOUSE = (SHELF / "blouse.toml").read_bytes()


def shelf(tmp_path: Path) -> Path:
    return tmp_path / "shelf" / "garments"


def test_an_empty_shelf_offers_the_demo_garments(client: Client) -> None:
    """With pictures in words, and what to do first."""
    text = client.get("/garments").text
    assert "None yet." in text
    assert 'aria-label="Blouse with sleeves and collar (demo): 6 pieces' in text
    assert 'href="/garments/blouse"' in text


def test_a_copy_is_ones_own_byte_by_byte(client: Client, tmp_path: Path) -> None:
    """And found by the command line, on the same shelf."""
    assert client.send("/garments/blouse/copy", to="my-blouse").json() == {
        "go": "/garments/my-blouse"
    }
    assert (shelf(tmp_path) / "my-blouse.toml").read_bytes() == BLOUSE
    again = client.send("/garments/blouse/copy", to="my-blouse")
    assert again.status_code == 422
    assert again.json()["field"] == "to"
    assert client.get("/garments/my-blouse/file").content == BLOUSE


def test_what_was_taken_away_can_be_brought_back(client: Client, tmp_path: Path) -> None:
    """Byte by byte, and a second one of that name does not write over the first."""
    for _ in range(2):
        client.send("/garments/blouse/copy", to="mine")
        client.send("/garments/mine/away")
    assert not (shelf(tmp_path) / "mine.toml").exists()
    text = client.get("/garments").text
    assert "Taken away" in text
    assert 'value="mine-2"' in text
    assert client.send("/garments/brought-back", aside="mine").json() == {"go": "/garments/mine"}
    assert (shelf(tmp_path) / "mine.toml").read_bytes() == BLOUSE
    assert client.send("/garments/brought-back", aside="mine").status_code == 404
    client.send("/garments/mine-2/away")
    assert client.send("/garments/brought-back", aside="mine-2").status_code == 200


def test_what_is_written_while_it_is_taken_away_is_brought_back(
    client: Client, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By an editor, say: in whatever order the two come, nothing is lost."""
    client.send("/garments/blouse/copy", to="mine")
    there = shelf(tmp_path) / "mine.toml"
    calls = {name: getattr(os, name) for name in ("link", "replace")}

    def meanwhile(name: str, source: Path, target: Path) -> None:
        if source == there and name == "replace":
            there.write_bytes(b"written meanwhile")
        calls[name](source, target)
        if source == there and name == "link":
            calls["replace"](_beside(there), there)

    for name in calls:
        monkeypatch.setattr(os, name, partial(meanwhile, name))
    client.send("/garments/mine/away")
    assert not there.exists()
    client.send("/garments/brought-back", aside="mine")
    assert there.read_bytes() == b"written meanwhile"


def _beside(path: Path) -> Path:
    """A file as an editor writes it, before it takes the place of the former one."""
    made = path.with_suffix(".new")
    made.write_bytes(b"written meanwhile")
    return made


def test_renaming_takes_the_draft_along(client: Client, tmp_path: Path) -> None:
    """What was typed last is found under the new name."""
    client.send("/garments/blouse/copy", to="mine")
    opened = client.get("/garments/mine/draft/state").json()
    opened["data"]["title"] = "Typed"
    kept = {"data": opened["data"], "former": opened["former"], "seen": opened["stamp"]}
    client.send("/garments/mine/draft/keep", tab="a", **kept)
    assert client.send("/garments/mine/rename", to="ours").json() == {"go": "/garments/ours"}
    assert client.get("/garments/ours/draft/state").json()["data"]["title"] == "Typed"
    assert client.get("/garments/mine").status_code == 404
    assert not (shelf(tmp_path) / "mine.toml").exists()


@pytest.mark.parametrize("name", ["blouse", "not-there"])
def test_a_demo_garment_stays_as_it_is(client: Client, name: str) -> None:
    """It is neither taken away nor renamed nor drafted, and its text is not written."""
    asked = {
        "away": {},
        "rename": {"to": "x"},
        "text/keep": {"text": "x", "seen": "x"},
        "text/judge": {"text": "x"},
    }
    for address, fields in asked.items():
        assert client.send(f"/garments/{name}/{address}", **fields).status_code == 404, address
    assert (SHELF / "blouse.toml").read_bytes() == BLOUSE
    drafted = client.get(f"/garments/{name}/draft")
    assert drafted.headers.get("location", "none") in ("/garments/blouse", "none")
    assert drafted.status_code in (303, 404)


@pytest.mark.parametrize(
    "name",
    ["../outside", "..", "a/b", "a\\b", ".hidden", "", " ", "x" * 251, "nul", "a\x00b", "-x"],
)
def test_a_name_never_leads_off_the_shelf(client: Client, tmp_path: Path, name: str) -> None:
    """Refused at its field, and nothing is written anywhere."""
    before = {path for path in tmp_path.rglob("*") if path.is_file()}
    for address, fields in (
        ("/garments/blouse/copy", {"to": name}),
        ("/new/garment/nothing", {"name": name}),
    ):
        answer = client.send(address, **fields)
        assert answer.status_code == 422, address
        assert answer.json()["field"] == next(iter(fields))
    for inner in ("", "/file", "/draft", "/draft/state", "/text"):
        # No name at all leads to the list, and ".." is gone before it is asked for.
        shown = client.get(f"/garments/{quote(name, safe='')}{inner}")
        assert shown.status_code in (404, 307) or name == ".."
    answer = client.send(f"/garments/{quote(name, safe='')}/draft/keep",
                         data={"piece": []}, former=None, seen="x", tab="a")  # fmt: skip
    assert answer.status_code in (404, 405)
    assert {path for path in tmp_path.rglob("*") if path.is_file()} == before


def test_a_file_beside_the_shelf_is_not_handed_out(client: Client, tmp_path: Path) -> None:
    """However its name is written in the address."""
    client.send("/garments/blouse/copy", to="mine")
    (tmp_path / "shelf" / "secret.toml").write_text("title = 'S'")
    for name in ("../secret", "%2e%2e%2fsecret", "..%2Fsecret", "....//secret", "/etc/passwd"):
        for address in (f"/garments/{name}/file", f"/garments/{quote(name, safe='')}/file"):
            answer = client.get(address)
            assert answer.status_code == 404
            assert "title = 'S'" not in answer.text


def test_words_of_a_garment_are_never_markup(client: Client, tmp_path: Path) -> None:
    """A title, a piece and a file name that hold HTML are shown as they are typed."""
    shelf(tmp_path).mkdir(parents=True)
    text = BLOUSE.decode().replace('title = "', 'title = "<script>alert(1)</script>')
    text = text.replace('name = "cuff"', 'name = "<img src=x onerror=alert(2)>"')
    text = text.replace('["cuff.long", "sleeve.wrist"],', "")
    (shelf(tmp_path) / "a&b 'c' 👗 שמלה.toml").write_text(text, encoding="utf-8")
    name = quote("a&b 'c' 👗 שמלה", safe="")
    client.send(f"/garments/{name}/copy", to="mine")
    for address in ("/garments", f"/garments/{name}", f"/garments/{name}/draft", "/garments/mine"):
        shown = client.get(address)
        assert shown.status_code == 200, address
        assert "<script>alert" not in shown.text
        assert "<img src=x" not in shown.text
    assert "&lt;script&gt;alert(1)" in client.get("/garments").text
    header = client.get(f"/garments/{name}/file").headers["content-disposition"]
    assert header.isascii()


def test_names_of_any_script_stand_by_themselves(client: Client, tmp_path: Path) -> None:
    """A heading keeps its order around a name that is written from the right."""
    shelf(tmp_path).mkdir(parents=True)
    text = BLOUSE.decode().replace('name = "cuff"', 'name = "שמלה 👗"')
    text = text.replace('"cuff.', '"שמלה 👗.')
    (shelf(tmp_path) / "שמלה.toml").write_text(text, encoding="utf-8")
    at = f"/garments/{quote('שמלה')}"
    assert "<h3><bdi>שמלה 👗</bdi></h3>" in client.get(at).text
    assert "<h1>Draft of <bdi>שמלה</bdi></h1>" in client.get(f"{at}/draft").text
    assert "<h1>Text of <bdi>שמלה</bdi></h1>" in client.get(f"{at}/text").text


def test_a_garment_is_told_as_check_tells_it(client: Client, tmp_path: Path) -> None:
    """Faults with their fields, questions, and seams with their lengths."""
    client.send("/garments/blouse/copy", to="mine")
    assert "seam 1: &#39;front.side&#39; 39.1 cm" in client.get("/garments/mine").text
    client.send("/settings", units="imperial")
    assert "seam 1: &#39;front.side&#39; 15 3/8 in" in client.get("/garments/mine").text
    path = shelf(tmp_path) / "mine.toml"
    path.write_text(path.read_text().replace('"1.5 cm"', '"1 mm"', 1))
    assert "an allowance of 1/16 in holds no seam" in client.get("/garments/mine").text
    path.write_text(path.read_text().replace('"1 mm"', '"1.5 cm"', 1))
    path.write_text(path.read_text().replace("[14, -0.6]", '["14 cmx", -0.6]'))
    text = client.get("/garments/mine").text
    assert "1 thing to mend" in text
    assert "piece &#39;front&#39;, edges[1].smooth" in text
    assert "Plan it" not in text
    assert "1 thing to mend" in client.get("/garments").text


def test_the_text_is_written_only_when_sound_and_unchanged(client: Client, tmp_path: Path) -> None:
    """What somebody else wrote meanwhile is not written over."""
    client.send("/garments/blouse/copy", to="mine")
    path = shelf(tmp_path) / "mine.toml"
    page = client.get("/garments/mine/text").text
    seen = page.split('data-seen="')[1].split('"')[0]
    wrong = BLOUSE.decode().replace('grain = "up"', 'grain = "upp"', 1)
    said = client.send("/garments/mine/text/judge", text=wrong).json()["findings"]
    assert said[0]["line"] == 43
    assert client.send("/garments/mine/text/keep", text=wrong, seen=seen).status_code == 422
    assert path.read_bytes() == BLOUSE
    right = BLOUSE.decode().replace("Blouse", "Shirt", 1)
    assert client.send("/garments/mine/text/keep", text=right, seen=seen).status_code == 200
    assert path.read_text() == right
    late = client.send("/garments/mine/text/keep", text=BLOUSE.decode(), seen=seen)
    assert "was changed meanwhile" in late.json()["lines"][0]
    assert path.read_text() == right


SVG = b"""<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="300mm"
 viewBox="0 0 400 300"><path id="front" d="M10 10H200V280H10Z"/></svg>"""


def test_a_drawing_is_asked_for_what_it_leaves_open(client: Client, tmp_path: Path) -> None:
    """At the fields of each piece; then it is a garment, and the drawing is gone."""
    assert client.hand_in("/new/garment/files/skirt.svg", SVG).json() == {
        "go": "/new/garment/drawn/skirt.svg"
    }
    page = client.get("/new/garment/drawn/skirt.svg").text
    assert "1 piece found" in page
    at = "/new/garment/drawn/skirt.svg"
    missing = client.send(at, name="skirt", grain="up").json()["findings"]
    assert [one["field"] for one in missing] == ["pieces[1].cut", "pieces[1].allowance"]
    wrong = client.send(at, name="skirt", pieces=[{"number": 1, "cut": "twice"}])
    assert wrong.json()["field"] == "pieces[1].cut"
    told = {"number": 1, "cut": "1 on fold; lining: 2", "allowance": "1.5 cm", "fold": "left"}
    made = client.send(at, name="skirt", grain="up", pieces=[told])
    assert made.json() == {"go": "/garments/skirt"}
    text = (shelf(tmp_path) / "skirt.toml").read_text()
    assert 'cut = { main = "1 on fold", lining = "2" }' in text
    assert client.get(at).status_code == 404


@pytest.mark.parametrize(
    ("name", "content"),
    [("x.png", b"\x89PNG"), ("..%2Fx.svg", SVG), (".svg", SVG), ("x.svg", b"  "), ("x.toml", SVG)],
)
def test_what_is_no_drawing_is_refused(
    client: Client, tmp_path: Path, name: str, content: bytes
) -> None:
    """By its ending, its name, or because it holds nothing."""
    assert client.hand_in(f"/new/garment/files/{name}", content).status_code in (404, 405, 422)
    assert not list((tmp_path / "shelf").rglob("*"))


def test_a_drawing_at_fault_is_told_as_read_tells_it(client: Client) -> None:
    """Without a piece, or with what an attacker would put in."""
    bomb = b'<!DOCTYPE a [<!ENTITY b "c">]><svg xmlns="http://www.w3.org/2000/svg">&b;</svg>'
    client.hand_in("/new/garment/files/bomb.svg", bomb)
    page = client.get("/new/garment/drawn/bomb.svg")
    assert page.status_code == 200
    assert "No piece was found" in page.text


def test_a_file_that_changes_while_its_text_is_judged_is_not_written_over(
    client: Client, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Judging takes its time, and an editor may keep the file meanwhile."""
    client.send("/garments/blouse/copy", to="mine")
    path = shelf(tmp_path) / "mine.toml"
    seen = client.get("/garments/mine/text").text.split('data-seen="')[1].split('"')[0]
    theirs = BLOUSE + b"# theirs\n"

    def slow(name: str, typed: str) -> list[object]:
        path.write_bytes(theirs)
        return []

    monkeypatch.setattr("plans.page.garments.text.check_text", slow)
    ours = BLOUSE.decode() + "# ours\n"
    assert client.send("/garments/mine/text/keep", text=ours, seen=seen).status_code == 422
    assert path.read_bytes() == theirs


@pytest.mark.parametrize("view", ["text", "draft/state"])
def test_a_file_in_another_coding_is_refused_and_stays(
    client: Client, tmp_path: Path, view: str
) -> None:
    """Shown with signs put in for those that cannot be read, it would lose them when written."""
    path = tmp_path / "shelf" / "garments" / "old.toml"
    path.parent.mkdir(parents=True)
    path.write_bytes('title = "Blüse"'.encode("latin-1"))
    answer = client.get(f"/garments/old/{view}")
    assert answer.status_code == 422
    for words in ("is not a text file in UTF-8", "Blüse", "choose UTF-8 as its encoding"):
        assert words in answer.text
    moved = client.get("/garments/old/draft")
    assert (moved.status_code, moved.headers["location"]) == (303, "/garments/old/text")
    blouse = client.get("/garments/blouse/file").text
    seen = digest(path.read_bytes())
    refused = client.send("/garments/old/text/keep", text=blouse, seen=seen)
    assert (refused.status_code, refused.json()["field"]) == (422, "")
    assert path.read_bytes() == 'title = "Blüse"'.encode("latin-1")


def test_a_marked_text_is_shown_as_it_reads(client: Client, tmp_path: Path) -> None:
    """A byte order mark says how it is coded; nothing is lost."""
    path = tmp_path / "shelf" / "garments" / "old.toml"
    path.parent.mkdir(parents=True)
    path.write_bytes('title = "Blüse"\r\n'.encode("utf-16"))
    text = client.get("/garments/old/text").text
    assert "title = &#34;Blüse&#34;\n</textarea>" in text
