"""A problem that contradicts itself is refused when it is made, with item and field."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from fabrics.spread import Fold, make_spread
from layout.bounded_problem import BoundedProblem
from layout.errors import LayoutError, ProblemError
from layout.fit import NoLayoutError
from layout.problem import Flaw, Item, Lattice, Pose, Section, Slot
from layout.strip_problem import StripProblem
from layout.validator import InvalidLayoutError
from tests.layout.examples import ALONG, EXAMPLES, rect, turned_pair

FOLDED = Slot(0, 0, (0, 1), 0, ALONG, 0)
"""On the fold edge of a lengthwise fold."""

HALF = Item("half", (rect(200.0, 100.0),), 1, (FOLDED,), (((0.0, 0.0), (200.0, 0.0)),))


def refused(make: Any) -> ProblemError:
    """The error that making a problem raises."""
    with pytest.raises(ProblemError) as caught:
        make()
    return caught.value


def on_strip(item: Item) -> StripProblem:
    """A problem of one item on a lengthwise fold."""
    return StripProblem((item,), (Section("fold", make_spread(Fold.LENGTHWISE, 1000.0, 10.0)),))


def with_slot(**changes: Any) -> Item:
    """The half with another slot."""
    return replace(HALF, slots=(replace(FOLDED, **changes),))


def test_the_half_itself_is_sound() -> None:
    """What the refusals below change is a sound problem."""
    assert on_strip(HALF).items == (HALF,)


@pytest.mark.parametrize(
    ("item", "field"),
    [
        (replace(HALF, shapes=(), fold_lines=()), "shapes"),
        (replace(HALF, shapes=(((0.0, 0.0), (1.0, 0.0)),)), "shapes[0]"),
        (replace(HALF, shapes=(((0.0, 0.0), (1.0, 0.0), (float("nan"), 1.0)),)), "shapes[0]"),
        (replace(HALF, fold_lines=(None, None)), "fold_lines"),
        (replace(HALF, shapes=HALF.shapes * 2, wholes=HALF.shapes), "wholes"),
        (replace(HALF, demand=0), "demand"),
        (replace(HALF, slots=()), "slots"),
        (replace(HALF, priority=float("nan")), "priority"),
        (with_slot(section=1), "slots[0].section"),
        (with_slot(section=-1), "slots[0].section"),
        (with_slot(zone=1), "slots[0].zone"),
        (with_slot(plies=()), "slots[0].plies"),
        (with_slot(plies=(0, 2)), "slots[0].plies"),
        (with_slot(plies=(0, 0)), "slots[0].plies"),
        (with_slot(plies=(0,)), "slots[0].plies"),
        (with_slot(shape=1), "slots[0].shape"),
        (with_slot(poses=()), "slots[0].poses"),
        (with_slot(poses=(Pose(float("inf")),)), "slots[0].poses"),
        (with_slot(fold_edge=1), "slots[0].fold_edge"),
        (replace(HALF, fold_lines=(None,)), "slots[0].fold_edge"),
        (with_slot(clearance=-1.0), "slots[0].clearance"),
        (with_slot(lattice=Lattice((0.0, 0.0), pitch_x=-60.0)), "slots[0].lattice.pitch_x"),
    ],
)
def test_items_and_their_slots_are_checked(item: Item, field: str) -> None:
    """The error names the item and the field, in its attributes and its message."""
    error = refused(lambda: on_strip(item))
    assert (error.item, error.field) == ("half", field)
    assert str(error).startswith(f"item 'half', {field}: ")


def test_the_second_slot_is_named_by_its_number() -> None:
    """Not only the first slot is looked at."""
    item = replace(HALF, slots=(FOLDED, replace(FOLDED, zone=3)))
    assert refused(lambda: on_strip(item)).field == "slots[1].zone"


def test_cloth_and_gap_are_checked() -> None:
    """No section, no length, flaws that are no outline or cannot be kept clear of."""
    sound = on_strip(HALF)
    assert refused(lambda: replace(sound, sections=())).field == "sections"
    assert refused(lambda: replace(sound, gap=-1.0)).field == "gap"
    assert refused(lambda: replace(sound, gap=float("nan"))).field == "gap"
    section = replace(sound.sections[0], start_pitch=-5.0)
    assert refused(lambda: replace(sound, sections=(section,))).field == "sections[0].start_pitch"
    assert refused(lambda: replace(sound, flaws=(Flaw(()),))).field == "flaws[0]"
    spot = Flaw(((0.0, 0.0), (5.0, 0.0), (0.0, 5.0)))
    error = refused(lambda: replace(turned_pair(), flaws=(spot,)))
    assert (error.item, error.field) == ("wedge", "slots[0].section")
    placed = replace(turned_pair().sections[0], fold_at=700.0)
    assert replace(turned_pair(), sections=(placed,), flaws=(spot,)).flaws == (spot,)
    for place in (float("nan"), 700.0):
        section = replace(sound.sections[0], fold_at=place)
        error = refused(lambda section=section: replace(sound, sections=(section,)))
        assert error.field == "sections[0].fold_at"


def test_bounded_cloth_has_one_section_one_zone_one_ply_and_no_fold() -> None:
    """Whatever else a slot names there is refused, and an outline that crosses itself."""
    flat = Item("cuff", (rect(100.0, 50.0),), 1, (Slot(0, 0, (0,), 0, ALONG),))
    there = rect(400.0, 300.0)
    assert BoundedProblem((flat,), there).outline == there
    for changes, field in (
        ({"section": 1}, "section"), ({"zone": 1}, "zone"), ({"plies": (1,)}, "plies"),
    ):  # fmt: skip
        item = replace(flat, slots=(replace(flat.slots[0], **changes),))
        error = refused(lambda item=item: BoundedProblem((item,), there))
        assert (error.item, error.field) == ("cuff", f"slots[0].{field}")
    folded = replace(HALF, slots=(replace(FOLDED, plies=(0,)),))
    error = refused(lambda: BoundedProblem((folded,), there))
    assert (error.item, error.field) == ("half", "slots[0].fold_edge")
    bow = ((0.0, 0.0), (100.0, 100.0), (100.0, 0.0), (0.0, 100.0))
    assert refused(lambda: BoundedProblem((flat,), bow)).field == "outline"
    assert refused(lambda: BoundedProblem((flat,), there, (bow[:2],))).field == "holes[0]"


def test_examples_are_strips_that_may_leave_nothing_out() -> None:
    """The two kinds of cloth answer for themselves."""
    flat = Item("cuff", (rect(100.0, 50.0),), 1, (Slot(0, 0, (0,), 0, ALONG),))
    assert BoundedProblem((flat,), rect(400.0, 300.0)).may_leave_out
    assert not any(make().may_leave_out for make in EXAMPLES.values())


@pytest.mark.parametrize("error", [ProblemError, NoLayoutError, InvalidLayoutError])
def test_there_is_one_error_to_catch_for_all(error: type[Exception]) -> None:
    """Whatever the layout refuses derives from one class."""
    assert issubclass(error, LayoutError)
