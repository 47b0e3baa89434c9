"""Names that are too long for a file: refused at their field, with how long they may be."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.page import Client, client
from tests.plans.page.moving_plan import keep_apron

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
