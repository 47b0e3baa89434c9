"""Cloth on the page: put in, found, corrected, taken out; the same stash as the command line's."""

from __future__ import annotations

import html
import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from fabrics.stash.store import Stash
from pieces.findings import InputError
from pieces.lengths import System
from plans.cli.main import front_door
from plans.page.cloth.uses import uses_task
from tests.page import Client, client

__all__ = ["client"]


def bolt(client: Client, **fields: str) -> str:
    """Put a bolt in; its tag."""
    asked = {"fabric": "demo-cotton-lawn", "length": "3 m"} | fields
    answer = client.send("/cloth/bolt", **asked)
    assert answer.status_code == 200, answer.text
    return str(answer.json()["go"]).rpartition("/")[2]


def leftover(client: Client, **fields: str) -> str:
    """Put a leftover in; its tag."""
    asked = {"fabric": "demo-cotton-lawn", "shape": "rectangle", "rectangle": "60x20cm"} | fields
    answer = client.send("/cloth/leftover", **asked)
    assert answer.status_code == 200, answer.text
    return str(answer.json()["go"]).rpartition("/")[2]


def text(client: Client, address: str) -> str:
    """A view as a person reads it: without tags."""
    answer = client.get(address)
    assert answer.status_code == 200, answer.text
    return html.unescape(" ".join(re.sub(r"<[^>]*>", " ", answer.text).split()))


def refused(answer: Any, field: str, part: str) -> None:
    """A change was refused, at a field, in these words."""
    assert answer.status_code == 422, answer.text
    assert answer.json()["field"] == field
    assert part in " ".join(answer.json()["lines"])


def test_an_empty_stash_says_what_to_do_first_and_is_not_made(
    client: Client, tmp_path: Path
) -> None:
    """Looking changes nothing, not even the file."""
    assert "Nothing is on hand yet. First put in a bolt" in text(client, "/cloth")
    assert "None of your own yet." in text(client, "/cloth")
    assert "No cut is recorded yet." in text(client, "/cloth/changes")
    assert not (tmp_path / "stash.db").exists()


def test_what_the_page_puts_in_the_command_line_lists(client: Client) -> None:
    """And the other way round."""
    tag = bolt(client, washed="washed", note="from Aunt's chest")
    listed = CliRunner().invoke(front_door, ["stash", "list"]).output
    assert f"{tag} " in listed
    assert "washed" in listed
    CliRunner().invoke(front_door, ["stash", "leftover", "140cm", "--rectangle", "50x40cm"])
    shown = text(client, "/cloth")
    assert "3 m long, 137.2 cm wide, washed" in shown
    assert "Holds 50 cm along the grain x 40 cm" in shown


def test_figures_are_shown_in_the_chosen_units(client: Client) -> None:
    """Cloth in yards, sizes in inches."""
    bolt(client, length="3 yd")
    leftover(client, rectangle="24x8in")
    client.send("/settings", units="imperial")
    shown = text(client, "/cloth")
    assert "3 yd long, 55 1/8 in wide" in shown
    assert "Holds 24 in along the grain x 8 in" in shown


def test_a_measured_outline_is_turned_to_its_warp_and_drawn(client: Client) -> None:
    """With its hole; the picture is there before anything is kept, and tells what it shows."""
    asked = {"shape": "points", "points": "0,0 60,0 60,40 0,40 cm", "holes": "10,10 12,10 12,12 cm"}
    seen = client.get("/cloth/leftover/picture", params={**asked, "warp": "90"})
    assert seen.status_code == 200
    assert seen.json()["cloth"].count("M") == 2
    assert "with 1 holes" in seen.json()["words"]
    tag = leftover(client, **asked, warp="90")
    page = client.get(f"/cloth/kept/{tag}").text
    assert seen.json()["cloth"] in page
    assert 'role="img" aria-label="L1: an outline of 4 corners' in page


@pytest.mark.parametrize(
    ("fields", "field", "part"),
    [
        ({"length": "3"}, "length", "has no unit"),
        ({"length": "3 furlongs"}, "length", "unknown unit"),
        ({"length": "0 m"}, "length", "no cloth at all"),
        ({"length": "-3 m"}, "length", "negative"),
        ({"length": "9" * 80 + " m"}, "length", "is not a length"),
        ({"length": "99999 km"}, "length", "unknown unit"),
        ({"fabric": "../stash"}, "fabric", "is neither a fabric on the shelf nor a width"),
        ({"fabric": "/etc/passwd"}, "fabric", "is neither a fabric on the shelf nor a width"),
        ({"fabric": "../shelf/fabrics/x.toml"}, "fabric", "is neither"),
        ({"washed": "half"}, "washed", "is none of"),
    ],
)
def test_a_bolt_that_cannot_be_is_refused_at_its_field(
    client: Client, fields: dict[str, str], field: str, part: str
) -> None:
    """Nothing is kept."""
    asked = {"fabric": "140cm", "length": "3 m"} | fields
    refused(client.send("/cloth/bolt", **asked), field, part)
    assert "Nothing is on hand yet" in text(client, "/cloth")


def test_a_bolt_longer_than_any_is_refused(client: Client) -> None:
    """A slip of the unit, in the words of the stash."""
    answer = client.send("/cloth/bolt", fabric="140cm", length="99999999 m")
    assert answer.status_code == 422
    assert "no bolt is longer than" in answer.json()["lines"][0]


@pytest.mark.parametrize(
    ("fields", "field", "part"),
    [
        ({"rectangle": "60cm"}, "rectangle", "is not LONGxWIDE"),
        ({"rectangle": "60x20"}, "rectangle", "has no unit"),
        ({"shape": "points", "points": "0,0 60,0 cm"}, "points", "three corners or more"),
        ({"shape": "points", "points": "0,0 60,0 60,60"}, "points", "ends in no unit"),
        ({"shape": "points", "points": "0,0 60,60 60,0 0,60 cm"}, "points", "crosses itself"),
        (
            {"shape": "points", "points": "0,0 9,0 9,9 cm", "warp": "1e999"},
            "warp",
            "is no direction",
        ),
        ({"shape": "points", "points": "0,0 9,0 9,9 cm", "warp": "nan"}, "warp", "no direction"),
    ],
)
def test_a_leftover_that_cannot_be_is_refused_at_its_field(
    client: Client, fields: dict[str, str], field: str, part: str
) -> None:
    """While it is drawn as well."""
    asked = {"fabric": "140cm", "shape": "rectangle"} | fields
    refused(client.send("/cloth/leftover", **asked), field, part)
    asked.pop("fabric")
    drawn = client.get("/cloth/leftover/picture", params=asked).json()["wrong"]
    assert drawn["field"] == field
    assert part in drawn["lines"][0]


def test_found_by_size_and_words(client: Client) -> None:
    """As the command finds it; a wrong size is told at its field, all being shown."""
    bolt(client, length="50 cm")
    leftover(client)
    assert "0 of 1 bolts and 1 of 1 leftovers" in text(client, "/cloth?size=60x20cm&colour=green")
    assert "1 of 1 bolts and 0 of 1 leftovers" in text(client, "/cloth?size=20x60cm")
    assert "Nothing on hand is like that" in text(client, "/cloth?size=20x140cm")
    either = text(client, "/cloth?size=20x60cm&either_way=on")
    assert "1 of 1 leftovers" in either
    wrong = client.get("/cloth?size=60").text
    assert 'aria-invalid="true"' in wrong
    assert "is not LONGxWIDE" in wrong
    assert ">L1</a>" in wrong


def test_corrections_keep_what_is_not_said_and_can_be_undone(client: Client) -> None:
    """The same undo as on the command line."""
    tag = bolt(client, note="blue shelf", washed="unwashed")
    assert client.send(f"/cloth/kept/{tag}/correct", length="2.88 m", note="blue shelf").json() == {
        "go": f"/cloth/kept/{tag}"
    }
    shown = text(client, f"/cloth/kept/{tag}")
    assert "2.88 m, unwashed" in shown
    assert "note blue shelf" in shown
    refused(
        client.send(f"/cloth/kept/{tag}/correct", note="blue shelf"), "", "nothing is different"
    )
    said = client.send("/cloth/undo", number=1).json()
    assert said["well"] == f"change 1 is undone: {tag} as before"
    assert "3 m, unwashed" in text(client, f"/cloth/kept/{tag}")
    assert "undone" in CliRunner().invoke(front_door, ["stash", "list", "--changes"]).output


def test_taken_out_is_gone_until_it_is_undone(client: Client) -> None:
    """All of the tags or none."""
    tag = leftover(client)
    answer = client.send("/cloth/out", tags=[tag, "L99"])
    assert answer.status_code == 422
    assert client.get(f"/cloth/kept/{tag}").status_code == 200
    assert client.send("/cloth/out", tags=[tag]).status_code == 200
    assert client.get(f"/cloth/kept/{tag}").status_code == 404
    assert "Latest change 1" in text(client, "/cloth")
    client.send("/cloth/undo", number=1)
    assert client.get(f"/cloth/kept/{tag}").status_code == 200


@pytest.mark.parametrize("tags", [None, [], "L1", [1], [None], [["L1"]]])
def test_tags_that_are_none_are_refused(client: Client, tags: Any) -> None:
    """A list of texts, and nothing else."""
    refused(client.send("/cloth/out", tags=tags), "tags", "names nothing")


def test_what_is_damaged_is_told_and_may_go(client: Client, tmp_path: Path) -> None:
    """It keeps nothing else from being shown."""
    tag = bolt(client)
    leftover(client)
    with Stash(tmp_path / "stash.db") as base:
        base.base.execute("UPDATE bolt SET length_mm = 1e12 WHERE tag = ?", (tag,))
    shown = text(client, "/cloth")
    assert "Damaged, and left out everywhere" in shown
    assert "Holds 60 cm" in shown
    assert client.send("/cloth/out", tags=[tag]).status_code == 200
    assert "Damaged" not in text(client, "/cloth")


def test_names_and_notes_are_never_markup(client: Client) -> None:
    """HTML, right-to-left names and emoji are text."""
    note = "<img src=x onerror=alert(1)> ‮مرحبا 🧵 \"quoted' {{ 7777*7777 }}"
    tag = bolt(client, note=note)
    for address in ("/cloth", f"/cloth/kept/{tag}"):
        page = client.get(address).text
        assert "<img" not in page
        assert html.escape(note, quote=False).split(" ")[0] in page
        assert "60481729" not in page
    assert client.get("/cloth/kept/<script>alert(1)").status_code == 404
    assert "<script>alert" not in client.get("/cloth/kept/<script>alert(1)").text


def test_a_plain_width_is_explained(client: Client) -> None:
    """What is typed wrongly is told in the words of the command line."""
    said = client.get("/cloth/plain", params={"width": "150cm,shrinkage=4%x2%,nap"}).json()
    assert ["shrinkage", "4 % along, 2 % across"] in said["rows"]
    wrong = client.get("/cloth/plain", params={"width": "140cm,napp"}).json()["wrong"]
    assert wrong["field"] == "width"
    assert "did you mean nap?" in wrong["lines"][0]


def test_what_a_leftover_is_good_for_is_worked_out(client: Client, tmp_path: Path) -> None:
    """Garment by garment, the same as the command's answer."""
    tag = leftover(client, rectangle="100x60cm")
    told: list[dict[str, Any]] = []
    wish = {
        "garments": ("wrap-skirt",), "widths": (40.0,), "sizes": [(120.0, 120.0)],
        "either_way": False, "gap": 3.0, "join": 6.0,
    }  # fmt: skip
    stash = str(tmp_path / "stash.db")
    found = uses_task(told.append, stash, tag, System.METRIC.value, wish)
    assert told[-1]["done"] == told[-1]["of"] == 1
    assert told[-1]["pieces"] == found["pieces"]
    asked = ["uses", tag, "--garment", "wrap-skirt", "--bias", "4cm", "--rectangle", "12x12cm"]
    said = CliRunner().invoke(front_door, asked).output
    assert found["rectangles"][0] in said
    assert found["strips"][0][1] in said
    for piece in found["pieces"]:
        assert piece["piece"] in said


def test_uses_that_are_asked_to_end_hand_over_what_was_found(
    client: Client, tmp_path: Path
) -> None:
    """Between two garments: the pieces of the first stay, and nothing is said to be wrong."""
    tag = leftover(client, rectangle="100x60cm")
    told: list[dict[str, Any]] = []

    def tell(said: dict[str, Any]) -> None:
        told.append(said)
        raise KeyboardInterrupt

    wish = {
        "garments": ("wrap-skirt", "blouse"), "widths": (40.0,), "sizes": [], "either_way": False,
        "gap": 3.0, "join": 6.0,
    }  # fmt: skip
    found = uses_task(tell, str(tmp_path / "stash.db"), tag, System.METRIC.value, wish)
    assert found["ended"]
    assert found["pieces"] == told[0]["pieces"]
    assert {piece["garment"] for piece in found["pieces"]} == {"wrap-skirt"}


def test_a_garment_at_fault_is_left_out_of_the_uses_and_told(
    client: Client, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All others are tried, on the page and on the command line; one that is named is refused."""
    tag = leftover(client, rectangle="60x40cm")
    own = tmp_path / "shelf" / "garments"
    own.mkdir(parents=True)
    (own / "broken.toml").write_text("[garment]\nname = 3\n", encoding="utf-8")
    monkeypatch.setattr("plans.leftover_use.answer.all_names", lambda: ["broken", "wrap-skirt"])
    said = CliRunner().invoke(front_door, ["uses", tag])
    assert said.exit_code == 0, said.output
    assert "left out: 'broken' cannot be tried: " in said.output
    wish = {
        "garments": (), "widths": (), "sizes": [], "either_way": False, "gap": 3.0, "join": 6.0,
    }  # fmt: skip
    told: list[dict[str, Any]] = []
    found = uses_task(told.append, str(tmp_path / "stash.db"), tag, System.METRIC.value, wish)
    assert [one["done"] for one in told] == [1, 2]
    assert found["pieces"]
    (line,) = found["left_out"]
    assert line.startswith("left out: 'broken'")
    named = CliRunner().invoke(front_door, ["uses", tag, "--garment", "broken"])
    assert isinstance(named.exception, InputError)


def test_what_is_asked_of_a_leftover_is_looked_at_before_any_work(client: Client) -> None:
    """A bolt has no uses; garments are names on the shelf."""
    tag = leftover(client)
    address = f"/cloth/kept/{tag}/uses"
    refused(client.send(address, garment="../../etc/passwd"), "garment", "no garment on the shelf")
    refused(client.send(address, bias="wide"), "bias", "is not a length")
    refused(client.send(address, rectangle="10x10cm;5"), "rectangle", "is not LONGxWIDE")
    refused(client.send(address, bias=";".join(["3cm"] * 21)), "bias", "more than 20")
    other = bolt(client)
    refused(client.send(f"/cloth/kept/{other}/uses"), "", "is a bolt")


def test_a_bolt_leads_to_a_plan_on_it(client: Client) -> None:
    """Chosen for the first role."""
    tag = bolt(client)
    address = f"/new/plan?cloth=stash:{tag}"
    assert f'href="{address}"' in client.get(f"/cloth/kept/{tag}").text
    assert re.search(f'<option value="stash:{tag}"[^>]*selected', client.get(address).text)
    assert "selected>../" not in client.get("/new/plan?cloth=../x").text


def test_the_stash_is_handed_over_as_a_file(client: Client, tmp_path: Path) -> None:
    """The same as the command line writes, and another stash takes it in."""
    assert client.get("/cloth/stash.csv").status_code == 404
    bolt(client, note="blue")
    answer = client.get("/cloth/stash.json")
    assert 'filename="stash.json"' in answer.headers["content-disposition"]
    (tmp_path / "home.json").write_text(answer.text)
    asked = ["stash", "import", str(tmp_path / "home.json"), "--stash", str(tmp_path / "other.db")]
    assert "1 put in" in CliRunner().invoke(front_door, asked).output
    asked = ["stash", "export", str(tmp_path / "home.csv")]
    CliRunner().invoke(front_door, asked)
    assert client.get("/cloth/stash.csv").content == (tmp_path / "home.csv").read_bytes()


def test_many_may_put_in_at_once(client: Client, tmp_path: Path) -> None:
    """Each gets a tag of its own, and nothing is lost."""
    with ThreadPoolExecutor(4) as pool:
        tags = list(pool.map(lambda k: bolt(client, note=f"number {k}"), range(8)))
    assert sorted(tags) == [f"B{k}" for k in range(1, 9)]
    with Stash(tmp_path / "stash.db") as base:
        assert {one.note for one in base.bolts()} == {f"number {k}" for k in range(8)}


@pytest.mark.parametrize("address", ["/new/plan", "/compare"])
def test_a_stash_that_cannot_be_read_hinders_no_plan(
    client: Client, tmp_path: Path, address: str
) -> None:
    """Its own view says what is wrong; elsewhere there are just no bolts to choose."""
    (tmp_path / "stash.db").write_text("this is no stash " * 100)
    assert client.get("/cloth").status_code == 422
    assert client.get(address).status_code == 200
