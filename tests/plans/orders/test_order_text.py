"""An order file that is written says what was asked for, to the last digit."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pieces.lengths import INCH_MM, System
from plans.orders.making import order_of
from plans.orders.order_file import read_order_file
from plans.orders.order_text import order_text
from plans.orders.request import GarmentAsked, Request
from tests.plans.orders.aprons import write_apron

LENGTHS = st.floats(0.001, 10_000.0)


def read_back(request: Request, folder: Path) -> Request:
    """What the file that is written for a request says."""
    path = folder / "order.toml"
    path.write_text(order_text(request, folder), encoding="utf-8")
    return replace(read_order_file(path), source="")


def test_everything_that_can_be_asked_for_is_read_back(tmp_path: Path) -> None:
    """No field of a request is lost."""
    request = Request(
        garments=(
            GarmentAsked("pinafore", None, 3, "pinafore of Ada", {"interfacing": "90cm"}),
            GarmentAsked("wrap-skirt", "M"),
        ),
        cloth={"main": "demo-linen", "a+b": '60in,price=12 "EUR"/m', "c": "stash:B1"},
        measured_width={"main": 1437.5},
        on_hand={"main": (1234.5, None), "a": (2000.0, True), "c": (1.5 * INCH_MM, False)},
        leftovers=True,
        fold="partial",
        makes=2,
        gap=INCH_MM / 16.0,
        ends=0.0,
        margin=100.0,
        effort="thorough",
        seed=7,
        members=3,
        leftover_size=(INCH_MM * 6.0, 1.0 / 3.0),
        leftover_neck=49.9,
        nap_optional=True,
        system=System.IMPERIAL,
        title='Linen "for" \\ two\'s',
    )
    usual = Request(())
    for field in fields(Request):
        changed = getattr(request, field.name) != getattr(usual, field.name)
        assert changed or field.name in ("source", "prove")
    assert read_back(request, tmp_path) == request


@given(LENGTHS, LENGTHS, LENGTHS)
@settings(max_examples=30)
def test_lengths_are_read_back_as_the_same_numbers(
    tmp_path_factory: pytest.TempPathFactory, gap: float, wide: float, there: float
) -> None:
    """Whatever digits they have."""
    request = Request(
        (GarmentAsked("trousers"),),
        measured_width={"main": wide},
        on_hand={"main": (there, True)},
        gap=gap,
        leftover_size=(gap, wide),
    )
    assert read_back(request, tmp_path_factory.mktemp("orders")) == request


def test_files_are_named_from_the_folder_of_the_order(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where it is saved elsewhere than the garments lie; names of the shelf stay names."""
    (tmp_path / "patterns").mkdir()
    (tmp_path / "orders").mkdir()
    write_apron(tmp_path / "patterns")
    cloth = tmp_path / "patterns" / "cloth.toml"
    cloth.write_text('title = "cloth"\nwidth = "120 cm"\n', encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    request = Request(
        (GarmentAsked("patterns/apron.toml", "S"), GarmentAsked("wrap-skirt", "S")),
        {"main": "patterns/cloth.toml"},
    )
    text = order_text(request, Path("orders"))
    assert 'name = "../patterns/apron.toml"' in text
    assert 'name = "wrap-skirt"' in text
    assert 'main = "../patterns/cloth.toml"' in text
    (tmp_path / "orders" / "o.toml").write_text(text, encoding="utf-8")
    order = order_of(read_order_file(Path("orders/o.toml")))
    assert order.garment == order_of(request).garment
    assert order.cloth["main"].title == order_of(request).cloth["main"].title


def test_how_long_a_proof_is_looked_for_is_no_matter_of_an_order(tmp_path: Path) -> None:
    """What it finds depends on the machine; the same order file, with or without."""
    request = Request((GarmentAsked("toy-hare"),), {"plush": "60cm"})
    proving = replace(request, prove=60.0)
    assert order_text(proving, tmp_path) == order_text(request, tmp_path)
