"""The validator accepts what the solver finds and rejects each single planted violation."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.geometry import Polygon

from fabrics.spread import Fold, make_spread
from layout.bounded_problem import BoundedProblem
from layout.effort import Effort
from layout.hand import Hand
from layout.layout import Layout
from layout.problem import (
    Flaw,
    Grain,
    Item,
    Lattice,
    OneHeading,
    Pose,
    Problem,
    Section,
    Slot,
    Wanted,
)
from layout.solver import solve
from layout.strip_problem import StripProblem
from layout.validator import (
    Beside,
    Code,
    InvalidLayoutError,
    cloth_copies,
    require_valid,
    validate,
)
from tests.layout.examples import ALONG, EXAMPLES, blocked, folded, in_phase, open_pair, rect


def solved(problem: Problem) -> Layout:
    return solve(problem, Effort.GLANCE)


def codes(problem: Problem, layout: Layout) -> set[Code]:
    return {violation.code for violation in validate(problem, layout)}


def moved(layout: Layout, index: int, **changes: object) -> Layout:
    """The layout with one placement changed."""
    placements = list(layout.placements)
    placements[index] = replace(placements[index], **changes)  # type: ignore[arg-type]
    return replace(layout, placements=tuple(placements))


def index_of(problem: Problem, layout: Layout, key: str) -> int:
    return next(k for k, p in enumerate(layout.placements) if problem.items[p.item].key == key)


@pytest.mark.parametrize("name", EXAMPLES)
def test_solver_results_are_valid(name: str) -> None:
    """Every kind of spread: nothing to object to."""
    problem = EXAMPLES[name]()
    layout = solved(problem)
    assert validate(problem, layout) == []
    require_valid(problem, layout)


def test_copies_and_hands_come_out_as_wanted() -> None:
    """A pair through two plies is one of each hand; a half on the fold one whole."""
    problem = folded()
    copies = cloth_copies(problem, solved(problem))
    hands = sorted((copy.hand for copy in copies if copy.key == "wedge"), key=list(Hand).index)
    assert hands == [Hand.DRAWN, Hand.OTHER]
    front = [copy for copy in copies if copy.key == "front"]
    assert len(front) == 1
    assert front[0].outline.area == pytest.approx(2 * 200 * 120)
    wedges = [copy for copy in copies if copy.key == "wedge"]
    drawn, other = (copy.outline for copy in sorted(wedges, key=lambda copy: copy.hand.value))
    assert drawn.area == pytest.approx(other.area)


def test_a_missing_copy_is_counted() -> None:
    """One placement fewer."""
    problem = open_pair()
    layout = solved(problem)
    assert codes(problem, replace(layout, placements=layout.placements[:1])) == {Code.COUNT}


def test_the_wrong_hand_is_counted() -> None:
    """Turned over, a drawn copy is the other hand (and the item does not permit it)."""
    problem = open_pair()
    layout = solved(problem)
    k = next(k for k, p in enumerate(layout.placements) if p.item == 0)
    lenient = replace(problem.items[0], slots=problem.items[1].slots)
    loose = replace(problem, items=(lenient, problem.items[1]))
    found = codes(loose, moved(layout, k, pose=Pose(0.0, True), y=500.0))
    assert Code.COUNT in found
    assert Code.SLOT in codes(problem, moved(layout, k, pose=Pose(0.0, True), y=500.0))


def test_leaving_usable_cloth_is_seen() -> None:
    """Half a selvage over the edge."""
    problem = open_pair()
    layout = solved(problem)
    lowest = min(range(2), key=lambda k: layout.placements[k].y)
    assert Code.OUTSIDE in codes(problem, moved(layout, lowest, y=layout.placements[lowest].y - 5))


def test_two_copies_overlapping_are_seen() -> None:
    """Both in the same place."""
    problem = folded()
    layout = solved(problem)
    k = index_of(problem, layout, "wedge")
    found = codes(problem, moved(layout, k, x=0.0, y=0.0, pose=Pose(0.0)))
    assert Code.OVERLAP in found
    assert Code.BLOCKED in found


def test_a_gap_too_small_is_seen() -> None:
    """Placed for 3 mm, judged for 30."""
    problem = open_pair()
    assert Code.GAP in codes(replace(problem, gap=30.0), solved(problem))


def test_blocked_plies_are_seen() -> None:
    """Nothing may be cut under a one-ply cut, even where the ply itself is free."""
    problem = blocked()
    layout = solved(problem)
    lower = replace(problem.items[0], slots=(Slot(0, 0, (0,), 0, ALONG),), key="cuff")
    upper = replace(problem.items[0], slots=(Slot(0, 0, (1,), 0, ALONG),))
    stacked = StripProblem(
        (upper, lower),
        problem.sections,
        wanted={"collar": Wanted(either=1), "cuff": Wanted(either=1)},
    )
    place = layout.placements[0]
    both = Layout(
        tuple(replace(place, item=k, slot=0, x=0.0, y=50.0) for k in (0, 1)),
        layout.extents,
    )
    assert codes(stacked, both) == {Code.BLOCKED}


def test_off_the_fold_is_seen() -> None:
    """A tenth of a millimetre off the fold edge."""
    problem = folded()
    layout = solved(problem)
    k = index_of(problem, layout, "front")
    assert Code.FOLD in codes(problem, moved(layout, k, y=layout.placements[k].y + 0.1))


def test_a_half_that_is_not_half_is_seen() -> None:
    """The whole stated must be what opening the fold gives."""
    problem = folded()
    layout = solved(problem)
    wrong = replace(problem.items[0], wholes=(rect(200.0, 300.0),))
    assert Code.FOLD in codes(replace(problem, items=(wrong, *problem.items[1:])), layout)


def test_off_grain_is_seen() -> None:
    """A fifth of a degree is too much, a twentieth is not."""
    problem = open_pair(gap=0.0)
    layout = solved(problem)
    for angle, bad in ((0.2, True), (0.05, False)):
        items = tuple(
            replace(item, slots=(replace(item.slots[0], poses=(Pose(angle, k == 1),)),))
            for k, item in enumerate(problem.items)
        )
        tilted = Layout(
            tuple(
                replace(p, pose=Pose(angle, p.item == 1), x=10.0, y=300.0 + 400.0 * p.item)
                for p in layout.placements
            ),
            (1000.0,),
        )
        assert (Code.GRAIN in codes(replace(problem, items=items), tilted)) is bad


def test_mixed_heads_on_one_way_cloth_are_seen() -> None:
    """One head up, one down; and across the grain up to reflection in the warp."""
    problem = replace(open_pair(), one_way=True)
    item = problem.items[0]
    two = replace(problem, items=(replace(item, demand=2),), wanted={"wedge": Wanted(drawn=2)})
    layout = solved(two)
    far = moved(
        moved(layout, 0, pose=Pose(0.0), x=0.0, y=20.0), 1, pose=Pose(180.0), x=800.0, y=900.0
    )
    far = replace(far, extents=(900.0,))
    assert codes(two, far) == {Code.HEADS}
    mirrored = replace(two, grain={"wedge": Grain((0.0, 180.0), OneHeading.MIRROR)})
    assert codes(mirrored, far) == {Code.HEADS}
    free = replace(two, grain={"wedge": Grain((0.0, 180.0), OneHeading.FREE)})
    assert codes(free, far) == set()


def test_out_of_phase_is_seen() -> None:
    """A millimetre beside the repeat."""
    problem = in_phase()
    layout = solved(problem)
    wide = replace(layout, extents=(layout.extents[0] + 5.0,))
    last = max(range(2), key=lambda k: layout.placements[k].x)
    assert codes(problem, moved(wide, last, x=layout.placements[last].x + 1.0)) == {Code.PHASE}


def test_flaws_are_kept_clear_of() -> None:
    """A flaw under a copy, or nearer than the gap."""
    problem = open_pair()
    layout = solved(problem)
    p = layout.placements[0]
    flaw = Flaw(((p.x + 50, p.y + 50), (p.x + 60, p.y + 50), (p.x + 60, p.y + 60)))
    if p.pose.angle_deg == 180.0:
        flaw = Flaw(tuple((x - 200.0, y - 150.0) for x, y in flaw.outline))
    found = validate(replace(problem, flaws=(flaw,)), layout)
    assert (Code.GAP, Beside.FLAW) in {(one.code, one.beside) for one in found}


@pytest.mark.parametrize("name", ["crosswise", "turned", "sectioned"])
def test_flaws_are_seen_on_every_ply_of_every_spread(name: str) -> None:
    """A small flaw in the middle of each copy in turn, wherever its ply comes to lie."""
    problem = EXAMPLES[name]()
    place = 0.0 if name == "sectioned" else 700.0
    sections = tuple(replace(section, fold_at=place) for section in problem.sections)
    problem = replace(problem, sections=sections)
    layout = solved(problem)
    assert validate(problem, layout) == []
    for copy in cloth_copies(problem, layout):
        x, y = copy.outline.representative_point().coords[0]
        for at in (x, x + 5000.0):
            spot = Flaw(((at - 1.0, y - 1.0), (at + 1.0, y - 1.0), (at, y + 1.0)))
            found = validate(replace(problem, flaws=(spot,)), layout)
            assert [v.placements for v in found] == ([] if at > x else [(copy.placement,)])


def test_section_boundaries_keep_the_gap() -> None:
    """Sections laid for no gap are too near for one of 10 mm."""
    problem = EXAMPLES["sectioned"]()
    layout = solved(problem)
    stretched = replace(problem, gap=10.0)
    assert Code.GAP not in codes(stretched, layout)
    # Without its lead the second section would begin at the cut itself.
    k = index_of(problem, layout, "yoke")
    nearer = moved(layout, k, x=layout.placements[k].x - 1.0)
    found = validate(problem, nearer)
    assert (Code.GAP, Beside.SECTION) in {(one.code, one.beside) for one in found}


def test_bounded_cloth_holds_its_pieces() -> None:
    """Inside the outline, clear of the hole."""
    hole = ((200.0, 100.0), (250.0, 100.0), (250.0, 300.0))
    item = Item("cuff", (rect(180.0, 90.0),), 2, (Slot(0, 0, (0,), 0, ALONG),))
    problem = BoundedProblem(
        (item,), rect(500.0, 400.0), (hole,), wanted={"cuff": Wanted(either=2)}
    )
    layout = solved(problem)
    assert validate(problem, layout) == []
    assert layout.unplaced == ()
    assert Code.OUTSIDE in codes(problem, moved(layout, 0, x=150.0, y=120.0, pose=Pose(0.0)))


def test_slots_and_poses_must_be_permitted() -> None:
    """A turn that the item does not list."""
    problem = open_pair()
    layout = solved(problem)
    assert Code.SLOT in codes(problem, moved(layout, 0, pose=Pose(90.0), x=500.0, y=500.0))


def test_raising_lists_the_violations() -> None:
    """An invalid layout is an error with its reasons."""
    problem = open_pair()
    layout = solved(problem)
    with pytest.raises(InvalidLayoutError, match="wanted 1"):
        require_valid(problem, replace(layout, placements=layout.placements[:1]))


def test_turned_copies_do_not_touch_where_the_cloth_was_cut() -> None:
    """The ends of the two plies meet on the cloth: a gap is left there."""
    spread = make_spread(Fold.TURNED, 1000.0, 10.0)
    item = Item("bar", (rect(400.0, 600.0),), 1, (Slot(0, 0, (0, 1), 0, ALONG),))
    problem = StripProblem((item,), (Section("turned", spread),), wanted={"bar": Wanted(either=2)})
    layout = solved(problem)
    assert validate(problem, layout) == []
    one, other = (copy.outline for copy in cloth_copies(problem, layout))
    assert Polygon(one).distance(other) >= 3.0 - 0.01


def test_phases_are_judged_on_the_cloth_across_sections() -> None:
    """In phase in each lay, but the second section begins off the repeat: seen on the cloth."""
    first = make_spread(Fold.OPEN, 1000.0, 10.0)
    slots = [
        Slot(k, 0, (0,), 0, ALONG, lattice=Lattice((35.0, 20.0), 60.0, 35.0, group="check"))
        for k in range(2)
    ]
    items = tuple(Item(f"p{k}", (rect(130.0, 700.0),), 1, (slot,)) for k, slot in enumerate(slots))
    wanted = {"p0": Wanted(either=1), "p1": Wanted(either=1)}
    free = StripProblem(items, (Section("1", first), Section("2", first)), wanted=wanted)
    assert codes(free, solved(free)) == {Code.PHASE}
    tied = replace(free, sections=(Section("1", first), Section("2", first, start_pitch=60.0)))
    assert validate(tied, solved(tied)) == []


def test_unwanted_pieces_and_numbers_that_are_none() -> None:
    """A piece nobody asked for; a position that is no number; a slot that does not exist."""
    problem = open_pair()
    layout = solved(problem)
    assert Code.COUNT in codes(replace(problem, wanted={"other": Wanted(drawn=1)}), layout)
    assert codes(problem, moved(layout, 0, x=float("nan"))) == {Code.SLOT}
    assert codes(problem, moved(layout, 0, slot=7)) == {Code.SLOT}
    assert codes(problem, moved(layout, 0, slot=-1)) == {Code.SLOT}
