"""Drafting on the page: judged at each keystroke, kept within a second, never written over."""

from __future__ import annotations

import copy
import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from pieces.files.toml_merge import merged_text
from pieces.readers.garment_toml import check_garment
from pieces.readers.shelf import SHELF
from plans.page.garments.judging import judged, judged_alone
from tests.page import HOST, Client, client

__all__ = ["client"]

AT = "/garments/mine/draft"

BLOUSE = (SHELF / "blouse.toml").read_text(encoding="utf-8")


class Tab:
    """One tab of a browser with a draft in it."""

    def __init__(self, client: Client, name: str, garment: str = "mine") -> None:
        self.client = client
        self.name = name
        self.at = f"/garments/{garment}/draft"
        self.told = client.get(f"{self.at}/state").json()
        self.data = self.told["data"]
        self.seen = self.told["stamp"]
        self.former = self.told["former"]

    def body(self) -> dict[str, Any]:
        return {"data": self.data, "former": self.former, "seen": self.seen, "tab": self.name}

    def keep(self, **more: Any) -> dict[str, Any]:
        said: dict[str, Any] = self.client.send(f"{self.at}/keep", **self.body(), **more).json()
        self.seen = said.get("stamp", self.seen)
        return said

    def put(self) -> dict[str, Any]:
        said: dict[str, Any] = self.client.send(f"{self.at}/put", **self.body()).json()
        return said


@pytest.fixture
def mine(client: Client, tmp_path: Path) -> Path:
    """A copy of the blouse, and where it lies."""
    assert client.send("/garments/blouse/copy", to="mine").status_code == 200
    return tmp_path / "shelf" / "garments" / "mine.toml"


def test_what_was_typed_is_offered_again(client: Client, mine: Path) -> None:
    """After any end of the program: it is on disk, and the garment file as it was."""
    before = mine.read_bytes()
    tab = Tab(client, "a")
    assert not tab.told["kept"]
    tab.data["piece"][0]["edges"][0]["smooth"][0] = ["6 1/", "2"]
    assert tab.keep()["disk"] is None
    assert mine.read_bytes() == before
    again = Tab(client, "b")
    assert again.told["kept"]
    assert again.data == tab.data
    assert "A draft of it is not on the shelf yet" in client.get("/garments").text


def test_a_sound_draft_goes_onto_the_shelf_line_by_line(client: Client, mine: Path) -> None:
    """One figure is one line; then there is no draft any more."""
    tab = Tab(client, "a")
    tab.data["piece"][0]["edges"][0]["smooth"][0] = ["5 1/2 in", -0.6]
    tab.keep()
    said = tab.put()
    assert said["put"]
    now = mine.read_text()
    assert now == (SHELF / "blouse.toml").read_text().replace("[14, -0.6]", '["5 1/2 in", -0.6]')
    assert said["former"] == now
    assert not Tab(client, "b").told["kept"]
    assert not list(mine.parent.joinpath(".drafts").iterdir())


def test_what_is_at_fault_stays_a_draft(client: Client, mine: Path) -> None:
    """Told at its field, in all sizes."""
    before = mine.read_bytes()
    tab = Tab(client, "a")
    tab.data["piece"][0]["edges"][0]["smooth"][1] = [29, "1 1/x in"]
    said = tab.put()
    assert said["findings"][0]["field"] == "edges[1].smooth[2].y"
    assert said["findings"][0]["piece"] == 0
    assert mine.read_bytes() == before
    assert Tab(client, "b").data == tab.data


def test_a_file_that_changed_meanwhile_is_not_written_over(client: Client, mine: Path) -> None:
    """Both are there: theirs on the shelf, mine as a draft, under a name of its own if wanted."""
    tab = Tab(client, "a")
    theirs = mine.read_text().replace("Blouse", "Shirt")
    mine.write_text(theirs)
    tab.data["title"] = "My blouse"
    said = tab.keep()
    assert said["disk"]["text"] == theirs
    assert said["disk"]["data"]["title"] == "Shirt with sleeves and collar (demo)"
    put = tab.put()
    assert put["disk"]["text"] == theirs
    assert mine.read_text() == theirs
    gone = client.send(f"{AT}/aside", **tab.body(), to="blouse of mine").json()
    assert gone == {"go": "/garments/blouse%20of%20mine/draft"}
    aside = Tab(client, "a", "blouse of mine")
    assert aside.data["title"] == "My blouse"
    assert aside.put()["put"]
    kept = (mine.parent / "blouse of mine.toml").read_text()
    assert kept.startswith('title = "My blouse"\n')
    assert "# The band is cut with its allowance and the hem's." in kept
    assert not Tab(client, "c").told["kept"]


def test_a_file_that_is_taken_away_meanwhile_is_not_forgotten(client: Client, mine: Path) -> None:
    """The draft is still there, and can be put back under its name."""
    tab = Tab(client, "a")
    tab.data["title"] = "Typed"
    tab.keep()
    mine.unlink()
    assert Tab(client, "b").data["title"] == "Typed"
    assert '<a href="/garments/mine/draft"' in client.get("/garments").text


def test_the_later_tab_is_told_and_loses_nothing(client: Client, mine: Path) -> None:
    """What it typed is a draft of its own; what the first one typed stays."""
    first, second = Tab(client, "first"), Tab(client, "second")
    first.data["title"] = "First"
    first.keep()
    second.data["title"] = "Second"
    other = second.keep()["other_tab"]
    assert other["theirs"]["data"]["title"] == "First"
    assert Tab(client, "x").data["title"] == "First"
    assert Tab(client, "x", other["aside"]).data["title"] == "Second"
    first.data["title"] = "First again"
    assert "other_tab" not in first.keep()
    assert second.put()["other_tab"]["theirs"]["data"]["title"] == "First again"


def test_a_tab_that_missed_an_answer_goes_on(client: Client, mine: Path) -> None:
    """Its own last state is no other tab's."""
    tab = Tab(client, "a")
    for title in ("One", "Two"):
        tab.data["title"] = title
        client.send(f"{AT}/keep", **tab.body())
    assert Tab(client, "b").data["title"] == "Two"


def test_what_a_draft_began_from_is_sent_once(client: Client, mine: Path) -> None:
    """And asked for again where the draft is gone, so that no comment is lost."""
    tab = Tab(client, "a")
    tab.data["title"] = "One"
    short = {"data": tab.data, "former_is_kept": True, "seen": tab.seen, "tab": "a"}
    assert client.send(f"{AT}/keep", **short).json()["field"] == "former"
    tab.keep()
    tab.data["title"] = "Two"
    assert client.send(f"{AT}/keep", **short).json()["disk"] is None
    assert client.send(f"{AT}/put", **short).json()["put"]
    assert mine.read_text() == BLOUSE.replace("Blouse with sleeves and collar (demo)", "Two")
    assert client.send(f"{AT}/put", **short).json()["field"] == "former"


def test_giving_up_takes_back_what_the_shelf_has(client: Client, mine: Path) -> None:
    """And not what another tab typed meanwhile."""
    tab = Tab(client, "a")
    old = tab.seen
    tab.data["title"] = "Typed"
    tab.keep()
    assert client.send(f"{AT}/drop", seen=old).status_code == 422
    said = client.send(f"{AT}/drop", seen=tab.seen).json()
    assert said["data"]["title"].startswith("Blouse")


def test_a_new_draft_that_was_given_up_can_be_brought_back(client: Client, mine: Path) -> None:
    """There is nothing else of it; a garment taken away under that name is another thing."""
    client.send("/new/garment/nothing", name="fresh", units="in")
    tab = Tab(client, "a", "fresh")
    tab.data["title"] = "Typed"
    tab.keep()
    client.send("/garments/blouse/copy", to="fresh-too")
    client.send("/garments/fresh-too/rename", to="other")
    said = client.send("/garments/fresh/draft/drop", seen=tab.seen).json()
    assert said == {"go": "/garments", "draft": "fresh"}
    assert client.get("/garments/fresh/draft").status_code == 404
    client.send("/garments/other/rename", to="fresh")
    refused = client.send("/garments/brought-back", draft="fresh")
    assert refused.json()["field"] == "draft"
    assert client.send("/garments/fresh/away").json()["aside"] == "fresh"
    back = client.send("/garments/brought-back", draft="fresh").json()
    assert back == {"go": "/garments/fresh/draft"}
    assert Tab(client, "b", "fresh").data["title"] == "Typed"


def test_nothing_is_put_over_a_garment_that_came_meanwhile(client: Client, tmp_path: Path) -> None:
    """A new draft whose name somebody else took."""
    assert client.send("/new/garment/nothing", name="mine", units="in").status_code == 200
    again = client.send("/new/garment/nothing", name="mine", units="in")
    assert again.json()["field"] == "name"
    path = tmp_path / "shelf" / "garments" / "mine.toml"
    path.write_bytes((SHELF / "trousers.toml").read_bytes())
    tab = Tab(client, "a")
    tab.data = copy.deepcopy(SQUARE)
    assert tab.put()["disk"]["data"]["title"].startswith("Straight trousers")
    assert path.read_bytes() == (SHELF / "trousers.toml").read_bytes()


SQUARE: dict[str, Any] = {
    "title": "Square",
    "units": "cm",
    "piece": [
        {
            "name": "front", "cut": {"main": "2"}, "drawn": "net", "allowance": "1.5 cm",
            "grain": "up",
            "edges": [
                {"name": "hem", "to": [20, 0]}, {"to": [20, "16.5 cm"]},
                {"to": [0, "6 1/2 in"]}, {"to": [0, 0]},
            ],
        }
    ],
}  # fmt: skip


def said(client: Client, data: dict[str, Any], **more: Any) -> dict[str, Any]:
    answer: dict[str, Any] = client.send(f"{AT}/judge", data=data, **more).json()
    return answer


def test_each_keystroke_is_answered_with_the_picture_and_what_check_finds(
    client: Client, mine: Path, tmp_path: Path
) -> None:
    """A length half typed stands at its coordinate, which is called as the form calls it."""
    data = copy.deepcopy(SQUARE)
    data["piece"][0]["edges"][1]["to"][1] = "6 1/"
    told = said(client, data, piece=0, alone=True)
    path = tmp_path / "square.toml"

    path.write_text(merged_text(None, data), encoding="utf-8")
    assert [one["words"] for one in told["findings"]] == [f.message for f in check_garment(path)]
    assert told["findings"][0]["field"] == "edges[2].to[1].y"
    assert told["findings"][0]["place"] == "edge 2, up"
    picture = told["picture"]
    assert not picture["lines"]
    assert picture["edges"][0][0] == "hem"
    assert ["edges[1].to[1]", 200.0, 0.0] in picture["points"]
    data["piece"][0]["edges"][1]["to"][1] = "6 1/2 in"
    told = said(client, data, piece=0, alone=True)
    assert told["findings"] == []
    assert [kind for kind, _ in told["picture"]["lines"]] == ["piece", "stitching", "grain"]
    assert told["picture"]["words"].startswith("front: 23 cm wide and 19.5 cm high")


def test_an_edge_that_is_half_typed_is_drawn_as_far_as_it_can_be_read(
    client: Client, mine: Path
) -> None:
    """The edges behind it stay where they are."""
    data = copy.deepcopy(SQUARE)
    edges = data["piece"][0]["edges"]
    whole = said(client, data, piece=0)["picture"]["edges"]
    edges[1] = {"smooth": [[22, "x"], [20, 16.5]]}
    drawn = said(client, data, piece=0)["picture"]["edges"]
    assert [edge[1] for edge in drawn[2:]] == [edge[1] for edge in whole[2:]]
    edges[1] = {"arc": {"to": [20, 16.5], "radius": "", "turn": "left"}}
    assert said(client, data, piece=0)["picture"]["edges"][2][1] == whole[2][1]
    edges[1] = {"name": "side", "to": ["", ""]}
    names = [edge[0] for edge in said(client, data, piece=0)["picture"]["edges"]]
    assert names == ["hem", "edge 2", "edge 3"]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"grain": "upp"}, "grain"),
        ({"grain": [["1 cm", "x"], [1, 2]]}, "grain[1].y"),
        ({"start": ["q", 0]}, "start.x"),
        ({"cut": {"main": "twice"}}, "cut.main"),
        ({"allowances": {"hem": "wide"}}, "allowances.hem"),
        ({"fold": "nowhere"}, "fold"),
        ({"notches": [{"edge": "hem", "at": "3 m"}]}, "notches[1].at"),
        ({"edits": [{"lengthen": "hem", "by": "x"}]}, "edits[1].by"),
        ({"edges": [{"arc": {"to": [1, "y"], "radius": 2, "turn": "left"}}]}, "edges[1].arc.to.y"),
        ({"name": ""}, "name"),
        ({"match": {"group": "c", "at": {"edge": "hemm", "along": 1}}}, "match.at.edge"),
        ({"match": [{"group": "c", "at": {"edge": "hem", "along": "1 m"}}]}, "match[1].at.along"),
        ({"match": [{"group": "c", "at": ["1 cm", "y"]}]}, "match[1].at.y"),
        ({"match": [{"group": "c", "at": "a"}]}, "match[1].at"),
        ({"match": [{"group": "c", "at": [1, 2], "bar": "far"}]}, "match[1].bar"),
        ({"match": [{"group": "c", "at": [1, 2], "bar": 1, "only": "along"}]}, "match[1].bar"),
    ],
)
def test_a_finding_stands_at_its_field(
    client: Client, mine: Path, change: dict[str, Any], field: str
) -> None:
    """Whatever the row is."""
    data = copy.deepcopy(SQUARE)
    data["piece"][0] |= change
    for alone in (True, False):
        errors = said(client, data, piece=0, alone=alone)["findings"]
        assert (0, field) in [(one["piece"], one["field"]) for one in errors]


def test_questions_are_asked_in_the_units_that_were_chosen(client: Client, mine: Path) -> None:
    """Of a seam and of a piece; what is told to be typed suits them, too."""
    data = copy.deepcopy(SQUARE)
    data["sew"] = [["front.hem", "front.edge 2"]]
    data["piece"][0]["allowances"] = {"hem": "0.1 cm"}
    metric = "\n".join(one["words"] for one in said(client, data)["findings"])
    assert "'front.hem' is 20 cm" in metric
    client.send("/settings", units="imperial")
    words = "\n".join(one["words"] for one in said(client, data)["findings"])
    assert "'front.hem' is 7 7/8 in" in words
    assert 'type 1 3/8 in at "ease"' in words
    assert "allowance at 'hem' of 1/16 in holds no seam" in words


def test_a_piece_alone_is_judged_as_in_the_whole(client: Client) -> None:
    """With the pieces that it is made from, and no others; numbers are those of the file."""
    data = tomllib.loads((SHELF / "top-from-block.toml").read_text())
    for number, piece in enumerate(data["piece"]):
        garment, findings = judged_alone(data, "top", number)
        assert not findings or piece.get("block")
        whole = judged(data, "top")[0]
        assert garment is not None
        assert whole is not None
        made = {one.name: one.outline for one in whole.pieces}
        mine = {one.name: one.outline for one in garment.pieces}
        assert mine.items() <= made.items()
        assert piece.get("block") or piece["name"] in mine
    del data["piece"][9]["name"]
    assert any(f.field == "piece[10].name" for f in judged_alone(data, "top", 9)[1])


@pytest.mark.parametrize(
    "data",
    [
        {}, {"piece": []}, {"piece": [{}]}, {"piece": [{"edges": 3, "name": 4, "cut": 5}]},
        {"piece": [{"edges": [[], {}, 3, {"to": {}}, {"smooth": [[1, 2, 3]]}, {"arc": 3}]}]},
        {"units": 3, "sew": {}, "piece": [{"name": "a", "like": "a"}]},
        {"piece": [{"name": "a", "edges": [{"to": [1e300, "1e9 km"]}], "grain": [[None, 1], 2]}]},
        {"piece": [{"name": "a\x00", "edges": [{"to": ["9" * 500, 1]}]}]},
        {"title": {}, "sizes": [1], "piece": [{"sizes": 3, "edits": 4, "notches": "x"}] * 3},
    ],
)  # fmt: skip
def test_whatever_is_sent_is_answered(client: Client, mine: Path, data: dict[str, Any]) -> None:
    """Half of a form, or what nobody types: findings, never a fault of ours."""
    count = len(data.get("piece", []))
    for number in range(-1, count):
        for alone in (True, False):
            answer = client.inner.post(
                f"{AT}/judge",
                content=json.dumps({"data": data, "piece": number, "alone": alone}),
                headers={"Origin": HOST, "Accept": "application/json"},
            )
            assert answer.status_code == 200, answer.text
    kept = Tab(client, "a")
    kept.data = data
    client.send(f"{AT}/keep", **kept.body())
    assert client.get(AT).status_code == 200


@pytest.mark.parametrize("data", [3, [], {"piece": 3}, {"piece": [3]}, None])
def test_what_is_no_form_is_refused(client: Client, mine: Path, data: Any) -> None:
    """Told, and nothing is kept."""
    for address in ("judge", "keep", "put"):
        answer = client.send(f"{AT}/{address}", data=data, former=None, seen="x", tab="a")
        assert answer.status_code == 422
    assert not (mine.parent / ".drafts").exists()


def test_half_of_a_sign_is_refused(client: Client, mine: Path) -> None:
    """No file and no answer could hold it."""
    headers = {"Origin": HOST, "Accept": "application/json"}
    for text in (r'{"data": {"title": "\ud800"}}', r'{"data": {"\uDfff": 1}}'):
        answer = client.inner.post(f"{AT}/judge", content=text, headers=headers)
        assert answer.status_code == 422
        assert answer.json()["lines"] == ["what was sent holds half of a sign"]
    whole = client.inner.post(
        f"{AT}/judge", content=r'{"data": {"title": "\ud83d\ude00"}}', headers=headers
    )
    assert whole.status_code == 200


@pytest.mark.parametrize("part", ["NaN", "1e999", "-Infinity", "[" * 900 + "]" * 900])
def test_what_no_answer_could_hold_is_not_kept(client: Client, mine: Path, part: str) -> None:
    """A draft that holds it could never be opened again."""
    headers = {"Origin": HOST, "Accept": "application/json"}
    rest = '"former": null, "tab": "a", "seen": "x"'
    answer = client.inner.post(
        f"{AT}/keep", content=f'{{"data": {{"piece": [], "title": {part}}}, {rest}}}',
        headers=headers,
    )  # fmt: skip
    assert answer.status_code == 422
    assert "what was sent" in answer.json()["lines"][0]
    assert client.get(f"{AT}/state").status_code == 200


def test_a_draft_that_cannot_be_read_is_set_aside(client: Client, mine: Path) -> None:
    """The garment opens, and what lay there still lies there."""
    folder = mine.parent / ".drafts"
    folder.mkdir()
    (folder / "mine.json").write_text("{half")
    assert not Tab(client, "a").told["kept"]
    assert [path.read_text() for path in folder.iterdir()] == ["{half"]


def test_a_file_that_is_no_toml_is_mended_as_a_text(client: Client, mine: Path) -> None:
    """The form would lose what it cannot read."""
    deep = f"sizes = {'[' * 900}{']' * 900}\n"
    for text in ("units = cm", "piece = 3\n", "piece = [3]\n", deep):
        mine.write_text(text)
        assert client.get(AT).headers["location"] == "/garments/mine/text"
        assert client.get(f"{AT}/state").status_code == 422
        assert text.strip() in client.get("/garments/mine/text").text
