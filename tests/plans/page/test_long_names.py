"""Names that are too long for a file: refused at their field, with how long they may be."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from fabrics.spread import Fold
from pieces.name_length import is_numbered, with_ending
from pieces.readers.shelf import SHELF
from plans.page.garments import drafts, trash
from plans.page.planning.refolding import wished_name
from plans.page.planning.tasks.laying import claimed
from tests.page import Client, client
from tests.plans.page.moving_plan import keep_apron
from tests.plans.page.test_drafting import Tab

__all__ = ["client"]

LONG = {"n" * 230: "230 letters, at most 200", "é" * 115: "230 bytes, at most 200"}

NEW_FABRIC = {"was": "", "copied": "", "digest": "", "title": "Linen", "width": "140 cm"}

ASKED: dict[str, tuple[str, str, dict[str, Any]]] = {
    "a copy of a garment": ("/garments/blouse/copy", "to", {}),
    "a garment renamed": ("/garments/mine/rename", "to", {}),
    "a garment begun": ("/new/garment/nothing", "name", {}),
    "a fabric": ("/cloth/fabrics", "name", NEW_FABRIC),
    "a plan that was changed": ("/plans/apron-plan/move/keep", "name", {"fabric": 1}),
}


@pytest.mark.parametrize("name", LONG, ids=["plain letters", "letters with accents"])
@pytest.mark.parametrize("what", ASKED)
def test_a_name_that_is_too_long_is_refused_at_its_field(
    client: Client, tmp_path: Path, what: str, name: str
) -> None:
    """Nothing is kept."""
    keep_apron(tmp_path)
    client.send("/garments/blouse/copy", to="mine")
    address, field, fields = ASKED[what]
    if "plan" in what:
        lay = client.get("/plans/apron-plan/move/lay?fabric=1").json()
        fields = {**fields, "places": lay["places"]}
    before = sorted(tmp_path.rglob("*"))
    refused = client.send(address, **fields, **{field: name})
    assert refused.status_code == 422
    said = refused.json()
    assert said["field"] == field
    assert LONG[name] in said["lines"][0]
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize("name", LONG)
@pytest.mark.parametrize("where", ["/new/garment/files/{}.svg", "/new/garment/files/photograph/{}"])
def test_a_file_that_is_handed_in_may_not_be_called_so_either(
    client: Client, where: str, name: str
) -> None:
    """Drawings and photographs."""
    refused = client.hand_in(where.format(name), b"<svg/>")
    assert refused.status_code == 422
    assert "at most 200" in refused.json()["lines"][0]


def test_the_longest_name_is_kept_copied_and_taken_away(client: Client) -> None:
    """Endings and numbers have room behind it."""
    name = "n" * 200
    assert client.send("/garments/blouse/copy", to=name).status_code == 200
    assert client.get(f"/garments/{name}").status_code == 200
    assert client.send(f"/garments/{name}/away").status_code == 200
    assert client.send("/garments/brought-back", aside=name).status_code == 200
    assert client.send("/new/garment/nothing", name="m" * 200).status_code == 200
    assert client.send("/cloth/fabrics", **NEW_FABRIC, name=name).status_code == 200


LONGEST = 250
"""Letters before `.toml` that a file system still permits: someone put such a file there."""


@pytest.mark.parametrize("letters", [199, 200, LONGEST])
def test_a_long_name_gets_its_number_and_nothing_is_lost(
    client: Client, tmp_path: Path, letters: int
) -> None:
    """Taken away twice and brought back, the first one, too: of the name as much as fits."""
    shelf = tmp_path / "shelf" / "garments"
    shelf.mkdir(parents=True)
    name = "n" * letters
    for title in ("first", "second"):
        (shelf / f"{name}.toml").write_text(f'title = "{title}"\n')
        aside = client.send(f"/garments/{name}/away")
        assert aside.status_code == 200, aside.json()
    brought = [client.send("/garments/brought-back", aside=one) for one in trash.taken_away()]
    assert [one.status_code for one in brought] == [200, 200]
    texts = [path.read_text() for path in shelf.glob("*.toml")]
    assert sorted(texts) == ['title = "first"\n', 'title = "second"\n']


def test_a_name_that_is_offered_can_be_had(client: Client, tmp_path: Path) -> None:
    """For a copy, and for a draft beside that of another tab."""
    name = "n" * 200
    assert client.send("/garments/blouse/copy", to=name).status_code == 200
    free = drafts.free_for(name)
    assert free == "n" * 198 + "-2"
    assert client.send(f"/garments/{name}/copy", to=free).status_code == 200
    assert drafts.free_for("n" * LONGEST) == "n" * 198 + "-3"
    first, second = Tab(client, "first", name), Tab(client, "second", name)
    first.data["title"] = "First"
    first.keep()
    second.data["title"] = "Second"
    other = second.keep()["other_tab"]["aside"]
    assert Tab(client, "x", other).data["title"] == "Second"
    assert Tab(client, "x", other).put()["put"]


def test_a_garment_that_has_a_longer_name_can_be_drafted(client: Client, tmp_path: Path) -> None:
    """It goes back to where it lay; a draft of that name that is none is set aside."""
    name = "n" * LONGEST
    file = tmp_path / "shelf" / "garments" / f"{name}.toml"
    file.parent.mkdir(parents=True)
    file.write_text((SHELF / "blouse.toml").read_text())
    tab = Tab(client, "a", name)
    tab.data["title"] = "Mine"
    tab.keep()
    assert tab.put()["put"]
    assert 'title = "Mine"' in file.read_text()
    draft = file.parent / ".drafts" / f"{name}.json"
    draft.write_text("{half")
    assert not Tab(client, "a", name).told["kept"]
    assert [path.read_text() for path in draft.parent.iterdir()] == ["{half"]


def test_a_plan_is_called_by_its_garment_however_long_that_is(tmp_path: Path) -> None:
    """Cut, and told apart by a number; another fold of it likewise."""
    wished = with_ending("n" * 198, "-plan")
    assert wished == "n" * 195 + "-plan"
    assert claimed(tmp_path, wished).name == wished
    second = claimed(tmp_path, wished).name
    assert second == "n" * 195 + "-pl-2"
    assert is_numbered(second, wished)
    assert not is_numbered(wished, wished)
    assert not is_numbered("bag-plan-2", "hare")
    plan = keep_apron(tmp_path)
    assert claimed(tmp_path, wished_name("n" * LONGEST, plan, 0, Fold.OPEN)).name.endswith("-open")
