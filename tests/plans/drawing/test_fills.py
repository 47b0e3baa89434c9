"""What fills tell apart: garments where there are several, else roles."""

from __future__ import annotations

from dataclasses import replace

from matplotlib.figure import Figure

from plans.drawing.fills import fill_of, told_by_fill
from plans.drawing.pages.legend import draw_fills
from plans.plan import FabricPlan, Whose
from tests.plans.demo import demo_plan


def owned(*owners: str) -> FabricPlan:
    """A demo plan whose pieces belong to these garments in turn."""
    (entry,) = demo_plan("trousers", "open").fabrics
    placements = tuple(
        replace(p, piece=f"{owner}: {p.piece}", whose=Whose(owner))
        for k, p in enumerate(entry.placements)
        for owner in [owners[k % len(owners)]]
    )
    allowances = tuple(
        replace(one, piece=f"{owner}: {one.piece}") for owner in owners for one in entry.allowances
    )
    return replace(entry, placements=placements, allowances=allowances)


def test_several_garments_have_fills_of_their_own() -> None:
    """In the order of the garments, whatever lies first."""
    entry = owned("b", "a")
    told = told_by_fill(entry)
    assert told == ("b", "a")
    first, second = entry.placements[:2]
    assert fill_of(told, first) != fill_of(told, second)
    assert fill_of(told, first) == fill_of(told, entry.placements[2])


def test_one_garment_and_very_many_are_filled_by_role() -> None:
    """There are five fills that a grey print keeps apart."""
    assert told_by_fill(owned("a")) == ("main",)
    assert told_by_fill(owned(*"abcdef")) == ("main",)


def test_long_names_leave_room_for_the_text_beside_them() -> None:
    """They are cut off so that all swatches stand in the right part of the sheet."""
    figure = Figure(figsize=(8.0, 4.0))
    draw_fills(figure, tuple(f"a dress for sister number {k} of five" for k in range(5)), 190.0, 9)
    assert min(text.get_position()[0] for text in figure.texts) > 0.3
    assert all("…" in text.get_text() for text in figure.texts)
