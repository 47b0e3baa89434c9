"""A new plan: what the form offers, what fills it, and what is refused at which field."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from markupsafe import escape

from pieces.lengths import System, parse_length
from plans.orders.request import GarmentAsked, Request
from plans.page.asking import Asked
from plans.page.planning.choices import cloth_groups
from plans.page.planning.filled import from_query, from_request
from plans.page.planning.typed_order import typed_order
from tests.page import Client, client
from tests.plans.page.planning.small import FIELDS, NASTY, shelved

__all__ = ["client"]


@pytest.fixture(autouse=True)
def bag(client: Client, tmp_path: Path) -> None:
    """The bag is on the shelf."""
    shelved(tmp_path)


def test_the_form_offers_own_garments_first_and_asks_cloth_for_each_role(client: Client) -> None:
    """With a label for every field of a role."""
    text = client.get("/new/plan").text
    assert text.index('<option value="bag" selected>') < text.index('<option value="blouse"')
    for role in ("main", "lining"):
        assert f'<select id="cloth-{role}" name="cloth-{role}"' in text
    assert '<option value="=with:main" >the same length as main</option>' in text
    assert NASTY not in client.get("/new/plan?garment=bag").text


def test_an_address_fills_the_form(client: Client) -> None:
    """As other views link to it: a garment, its size, cloth by role, and options."""
    text = client.get(
        "/new/plan?garment=wrap-skirt&size=L&cloth-main=140cm,nap&gap=4mm&leftovers=yes"
    ).text
    assert '<option value="wrap-skirt" selected>' in text
    assert '<option value="L" selected>L</option>' in text
    assert '<option value="=typed" selected>' in text
    assert 'value="140cm,nap"' in text
    assert 'name="gap" value="4mm"' in text
    assert 'name="leftovers" checked' in text


def test_what_is_asked_in_an_address_is_escaped(client: Client) -> None:
    """Markup in any field stays text."""
    bad = '"><script>alert(1)</script>'
    for field in ("garment", "size", "cloth-main", "title", "gap", "onhand-main"):
        text = client.get("/new/plan", params={field: bad}).text
        assert "<script>alert" not in text
        parts = client.get("/new/plan/parts", params={"garment-1": "bag", field: bad}).json()
        assert "<script>alert" not in parts["cloth"]
    assert str(escape(bad)) in client.get("/new/plan", params={"title": bad}).text


def test_sizes_and_roles_follow_the_garments(client: Client) -> None:
    """Of two garments all roles, each once; sizes by row."""
    said = client.get("/new/plan/parts?garment-1=wrap-skirt&garment-2=blouse").json()
    assert said["sizes"] == {"size-1": ["S", "M", "L"], "size-2": []}
    assert said["cloth"].count('id="cloth-main"') == 1
    assert 'id="cloth-interfacing"' in said["cloth"]


@pytest.mark.parametrize(
    ("fields", "field", "part"),
    [
        ({"garment-1": ""}, "garment-1", "choose what is made"),
        ({"garment-1": "no-such"}, "garment-1", "no garment on your shelf"),
        ({"garment-1": "../shelf/bag.toml"}, "garment-1", "no garment on your shelf"),
        ({"garment-1": "/etc/passwd"}, "garment-1", "no garment on your shelf"),
        ({"size-1": "XXL"}, "size-1", "XXL"),
        ({"count-1": "9" * 5000}, "count-1", "no whole number"),
        ({"count-1": "101"}, "count-1", "no whole number from 1 to 100"),
        ({"count-1": "0"}, "count-1", "no whole number from 1 to 100"),
        ({"makes": "1e9"}, "makes", "no whole number"),
        ({"cloth-main": ""}, "cloth-main", "choose the cloth"),
        ({"cloth-main": "no-such"}, "cloth-main", "no fabric on your shelf"),
        ({"cloth-main": "../fabric.toml"}, "cloth-main", "no fabric on your shelf"),
        ({"cloth-main": "stash:B9"}, "cloth-main", "B9"),
        ({"cloth-main": "=with:main"}, "cloth-main", "no cloth of its own"),
        ({"cloth-main": "=with:lining", "cloth-lining": "=with:main"}, "cloth-main", "of its own"),
        ({"width-main": ""}, "width-main", "type a width"),
        ({"width-main": "wide"}, "width-main", "is no width"),
        ({"width-main": "1cm"}, "width-main", "no usual width"),
        ({"width-main": "140cm,sparkle"}, "width-main", "sparkle"),
        ({"width-main": "1/../../etc/x.toml"}, "width-main", ""),
        ({"onhand-main": "some"}, "onhand-main", "some"),
        ({"measured-main": "wide"}, "measured-main", "wide"),
        ({"gap": "x y"}, "gap", "x y"),
        ({"gap": "20 m"}, "gap", "too much"),
        ({"ends": "-3cm"}, "ends", ""),
        ({"leftover_size": "big"}, "leftover_size", "LONGxWIDE"),
        ({"fold": "origami"}, "fold", "is none of"),
        ({"effort": "endless"}, "effort", "is none of"),
        ({"seed": "-1"}, "seed", "no whole number"),
        ({"members": "101"}, "members", "no whole number"),
        ({"prove": "-1"}, "prove", "no whole number from 0 to 86400"),
        ({"prove": "long"}, "prove", "no whole number"),
        ({"title": "x" * 201}, "title", "too long"),
        ({"cloth-sleeve": "140cm"}, "cloth-sleeve", "not known"),
        ({"colour": "red"}, "colour", "not known"),
    ],
)
def test_what_is_wrong_is_told_at_its_field(
    client: Client, fields: dict[str, Any], field: str, part: str
) -> None:
    """Nothing begins."""
    answer = client.send("/new/plan", **{**FIELDS, **fields})
    assert answer.status_code == 422
    said = answer.json()
    assert said["field"] == field
    assert part in " ".join(said["lines"])
    assert client.inner.app.state.jobs.all() == []  # type: ignore[attr-defined]


def test_limits_are_told_in_the_units_of_the_person(client: Client) -> None:
    """Inches for who works in inches."""
    client.send("/settings", units="imperial")
    said = client.send("/new/plan", **{**FIELDS, "gap": "20 yd"}).json()
    assert said["lines"] == ["is too much; at most 393 11/16 in"]


def test_all_that_is_wrong_is_told_at_once(client: Client) -> None:
    """Each at its field, in the order of the form."""
    wrong = {"count-1": "0", "width-main": "wide", "onhand-main": "some", "gap": "x", "seed": "-1"}
    said = client.send("/new/plan", **{**FIELDS, **wrong}).json()
    assert [one["field"] for one in said["faults"]] == list(wrong)
    assert "no whole number from 1 to 100" in said["faults"][0]["lines"][0]
    assert said["field"] == "count-1"


def test_a_width_that_is_typed_names_no_file(
    client: Client, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On the command line a file that is there is read; here a name leads to the shelf alone."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "1").mkdir()
    (tmp_path / "1" / "cloth.toml").write_text('title = "elsewhere"\nwidth = "140 cm"\n')
    answer = client.send("/new/plan", **{**FIELDS, "width-main": "1/cloth.toml"})
    assert answer.status_code == 422
    assert answer.json()["field"] == "width-main"


def test_too_many_garments_together_are_refused(client: Client) -> None:
    """Before anything is searched."""
    answer = client.send("/new/plan", **{**FIELDS, "count-1": "100", "makes": "100"})
    assert answer.status_code == 422
    assert "100" in answer.json()["lines"][0]


def request_of(fields: dict[str, Any], stash: Path, system: System = System.METRIC) -> Request:
    return typed_order(Asked(fields), system, stash)


def inches(length: float) -> float:
    return parse_length(f"{length:g} in")


def test_the_fields_make_a_request(tmp_path: Path) -> None:
    """Every option of an order has a field; bare figures are in the units of the person."""
    fields = {
        **FIELDS, "count-1": "2", "garment-2": "wrap-skirt", "size-2": "S",
        "cloth-lining": "=with:main",
        "onhand-main": "3 washed", "measured-main": "88", "fold": "lengthwise", "makes": "2",
        "gap": "1/8", "ends": "2", "margin": "4", "seed": "7", "members": "3", "leftover_neck": "3",
        "leftover_size": "8 x 6", "leftovers": True, "nap_optional": True, "title": "For two",
        "prove": "60",
    }  # fmt: skip
    found = request_of(fields, tmp_path / "stash.db", System.IMPERIAL)
    assert found == Request(
        garments=(GarmentAsked("bag", None, 2), GarmentAsked("wrap-skirt", "S", 1)),
        cloth={"main+lining": "90cm"},
        measured_width={"main": inches(88)},
        on_hand={"main": (inches(3), True)},
        leftovers=True,
        fold="lengthwise",
        makes=2,
        gap=inches(1 / 8),
        ends=inches(2),
        margin=inches(4),
        effort="quick",
        seed=7,
        members=3,
        leftover_size=(inches(8), inches(6)),
        leftover_neck=inches(3),
        nap_optional=True,
        prove=60.0,
        system=System.IMPERIAL,
        title="For two",
    )
    again = from_request(found, cloth_groups(tmp_path / "stash.db"))
    sent = {**again, "leftovers": True, "nap_optional": True}
    assert request_of(sent, tmp_path / "stash.db", System.IMPERIAL) == found


def test_a_proof_is_asked_for_in_seconds(client: Client, tmp_path: Path) -> None:
    """An empty field asks for none, and too many seconds are refused there."""
    text = client.get("/new/plan?prove=30").text
    field = text[text.index('<input id="prove"') :].partition(">")[0]
    assert "Seconds to look for a proof that no layout is shorter" in text
    assert 'value="30"' in field
    stash = tmp_path / "stash.db"
    assert request_of({**FIELDS, "prove": ""}, stash).prove == 0.0
    assert request_of({**FIELDS, "prove": "30"}, stash).prove == 30.0
    answer = client.send("/new/plan", **{**FIELDS, "prove": "100000"})
    assert answer.status_code == 422
    assert answer.json()["field"] == "prove"


def test_an_address_fills_only_known_fields() -> None:
    """Whatever else it says is dropped, and long values are cut."""
    found = from_query({"garment": "bag", "token": "x", "title": "y" * 9000}, ())
    assert set(found) == {"garment-1", "title"}
    assert len(found["title"]) == 300
