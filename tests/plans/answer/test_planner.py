"""The planner: counts and hands right, open never longer, the simplest fair fold."""

from __future__ import annotations

from collections import Counter
from contextlib import suppress
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from fabrics.fabric import Fabric
from fabrics.shelf import find_fabric
from fabrics.spread import Faces, Fold
from layout.hand import Hand
from pieces.drafting.alter import open_out
from pieces.drafting.garment import Garment
from pieces.piece import Cut, CutKind, Joining, Piece, Turns
from plans.answer.planner import plan_garment
from plans.errors import ContradictionError, NothingFitsError
from plans.folds.measured import with_measured_width
from plans.order import Order, PlanProgress
from plans.plan import FabricPlan, Plan
from tests.plans.demo import CLOTH, cloth_for, demo_plan, garment

FOLDS = [fold.value for fold in Fold]


def plan_on(pieces: Garment, fold: str, **cloth: Fabric) -> Plan:
    return plan_garment(Order(garment=pieces, cloth=cloth, fold=fold, effort="quick", ends=0.0))


def checked(entry: FabricPlan, pieces: Garment, makes: int) -> None:
    """Check a fabric's copies from the plan alone, against the garment."""
    made: Counter[str] = Counter()
    for placed in entry.placements:
        for copy in placed.copies:
            made[placed.piece] += 1
            outline = Polygon(copy.outline)
            assert outline.is_valid
            assert outline.exterior.is_ccw
            x1, y1, x2, y2 = outline.bounds
            assert x1 >= -0.01
            assert x2 <= entry.length + 0.01
            assert y1 >= entry.fabric.selvage_cut - 0.01
            assert y2 <= entry.fabric.width_cut - entry.fabric.selvage_cut + 0.01
    for role in entry.roles:
        for piece in pieces.pieces:
            cut = piece.cut_for(role)
            if cut is None or piece.joining is not None:
                continue
            names = {piece.name, f"{piece.name} ({role})"}
            assert sum(made[name] for name in names) >= cut.count * makes
            area = Polygon(open_out(piece).outline if cut.kind is CutKind.FOLD else piece.outline)
            for placed in entry.placements:
                if placed.piece in names and placed.role == role:
                    assert all(
                        Polygon(copy.outline).area == pytest.approx(area.area, abs=0.5)
                        for copy in placed.copies
                    )


@pytest.mark.parametrize("name", CLOTH)
def test_every_demo_garment_is_planned(name: str) -> None:
    """Auto: every role once, copies counted, on the cloth, bound below, account complete."""
    plan = demo_plan(name)
    assert plan.complete
    assert sorted(role for f in plan.fabrics for role in f.roles) == sorted(garment(name).roles)
    for entry in plan.fabrics:
        checked(entry, garment(name), 1)
        assert entry.bound <= entry.length + 1e-6
        shares = entry.pieces_share + entry.leftover_share + entry.scrap_share
        assert shares == pytest.approx(1.0)
        assert entry.scrap_share >= 0.0
        assert entry.min_width <= entry.fabric.width


@pytest.mark.parametrize(
    ("name", "fold"), [*(("pinafore", fold) for fold in FOLDS), ("layered-top", "sectioned")]
)
def test_every_fold_works(name: str, fold: str) -> None:
    """Each kind of spread gives a valid plan of the asked-for kind."""
    for entry in demo_plan(name, fold).fabrics:
        assert entry.fold is Fold.named(fold)
        checked(entry, garment(name), 1)


@pytest.mark.parametrize("name", CLOTH)
def test_open_is_never_longer_than_a_fold(name: str) -> None:
    """A folded layout opened out is a layout for open."""
    for entry in demo_plan(name).fabrics:
        bought = {report.fold: report.buy for report in entry.other_folds}
        bought[entry.fold] = entry.purchase.bought
        single = bought.pop(Fold.OPEN)
        assert single is not None
        assert all(single <= other + 1e-6 for other in bought.values() if other is not None)


def test_auto_takes_the_simplest_fold_within_a_step() -> None:
    """A lengthwise fold that costs one step more than open is still taken."""
    for name in CLOTH:
        for entry in demo_plan(name).fabrics:
            least = min(
                [entry.purchase.bought] + [r.buy for r in entry.other_folds if r.buy is not None]
            )
            assert entry.purchase.bought <= least + entry.fabric.step + 0.011


def test_makes_multiply_the_copies() -> None:
    """Two of the garment from one purchase, in less than twice the cloth."""
    one, two = demo_plan("layered-top", "open"), demo_plan("layered-top", "open", makes=2)
    for single, double in zip(one.fabrics, two.fabrics, strict=True):
        checked(double, garment("layered-top"), 2)
        assert double.length <= 2 * single.length + double.gap + 0.01
        assert double.purchase.bought <= 2 * single.purchase.bought + double.fabric.step


def test_roles_on_the_same_fabric_share_one_layout() -> None:
    """Base and overlay of one cloth are one purchase."""
    cloth = find_fabric("150cm")
    plan = plan_on(garment("layered-top"), "open", base=cloth, overlay=cloth)
    assert len(plan.fabrics) == 1
    assert plan.fabrics[0].roles == ("base", "overlay")


def test_same_order_same_plan() -> None:
    """Whatever order the screenings finish in."""
    order = Order(garment("wrap-skirt"), cloth_for("wrap-skirt"), effort="quick")
    assert plan_garment(order) == plan_garment(order)


def test_one_way_cloth_keeps_heads_alike() -> None:
    """All along pieces head one way on velveteen."""
    plan = plan_on(garment("trousers"), "turned", main=find_fabric("demo-velveteen"))
    headings = {c.heading_deg for p in plan.fabrics[0].placements for c in p.copies}
    assert headings == {0.0}


@pytest.mark.parametrize("fold", ["open", "lengthwise"])
def test_check_fabric_matches_the_blouse(fold: str) -> None:
    """Match points of the group lie whole repeats apart along, and on one phase across.

    Followed to the cloth by the plies alone. Copies that are mirrored there have the phase
    mirrored in an axis of the design. 0.5 mm as in the check of every layout.
    """
    entry = demo_plan("blouse", fold).fabrics[0]
    repeat = entry.fabric.repeat
    assert repeat is not None
    assert repeat.axis is not None
    along: list[float] = []
    across: list[float] = []
    for placed in entry.placements:
        section = entry.sections[placed.section]
        plies = [p for p in section.spread.plies if p.name in placed.plies]
        for ply, copy in zip(plies[: len(placed.copies)], placed.copies, strict=True):
            for match in placed.match:
                ((x, y),) = ply.to_cloth(
                    np.array([match.at]), section.lay_length, section.cloth_from
                ).tolist()
                side = -1.0 if copy.hand is Hand.OTHER else 1.0
                along.append(x)
                across.append(side * (y - repeat.axis))
    assert len(along) >= 5
    for points, pitch in ((along, repeat.along), (across, repeat.across)):
        offs = [(point - points[0] + pitch / 2.0) % pitch - pitch / 2.0 for point in points]
        assert max(map(abs, offs)) <= 0.5


def test_ends_and_margin_are_added() -> None:
    """Squared-off ends lengthen the layout, half before the first piece; the margin is bought."""
    order = Order(
        garment("trousers"), {"main": find_fabric("140cm")}, fold="open", effort="quick",
        ends=40.0, margin=300.0,
    )  # fmt: skip
    entry = plan_garment(order).fabrics[0]
    plain = plan_garment(replace(order, ends=0.0, margin=0.0)).fabrics[0]
    assert entry.length == pytest.approx(plain.length + 40.0)
    first = min(x for p in entry.placements for c in p.copies for x, _ in c.outline)
    assert first == pytest.approx(20.0, abs=0.01)
    assert entry.purchase.bought >= entry.length + 300.0 - 0.01


@pytest.mark.parametrize(
    ("fold", "width", "least"), [("open", 423.0, 423.0), ("lengthwise", 423.0, 420.0)]
)
def test_the_narrowest_width_just_carries_the_pieces(fold: str, width: float, least: float) -> None:
    """A pair 20 cm wide: side by side with the gap, or one on two plies; and selvages of 1 cm.

    The gap is kept to the hair, and half of it off the fold. Planned again on that width it takes
    as much, and on a millimetre less than any layout needs it takes more.
    """
    pieces = Garment("t", "T", (plain("panel", box(300.0, 200.0), Cut("main", CutKind.PAIR, 2)),))
    wide = find_fabric("140cm,step=1cm")
    entry = plan_on(pieces, fold, main=wide).fabrics[0]
    assert entry.min_width == width
    again = plan_on(pieces, fold, main=replace(wide, width=width)).fabrics[0]
    assert again.purchase.bought == pytest.approx(entry.purchase.bought)
    with suppress(NothingFitsError):
        less = plan_on(pieces, fold, main=replace(wide, width=least - 1.0)).fabrics[0]
        assert less.purchase.bought > entry.purchase.bought + 100.0


def test_joinable_strips_are_split_where_they_must_be() -> None:
    """A bias strip longer than the cloth allows is cut in parts, and the plan says so."""
    entry = plan_on(
        garment("layered-top"), "open", base=find_fabric("60cm"), overlay=find_fabric("60cm")
    ).fabrics[0]
    parts = [p for p in entry.placements if "part" in p.piece]
    assert len(parts) >= 2
    assert any("joined" in note for note in entry.notes)


def test_strips_that_may_not_be_joined_are_not() -> None:
    """Without leave to join, a strip that is too wide for the cloth fits nowhere."""
    tie = Piece(
        "tie",
        ((0, 0), (900, 0), (900, 50), (0, 50)),
        ((100, 25), (800, 25)),
        (Cut("main", CutKind.SAME_WAY, 1),),
        turns=Turns.ACROSS,
        strip=(900.0, 50.0),
    )
    narrow = find_fabric("60cm")
    with pytest.raises(NothingFitsError, match="'tie'"):
        plan_on(Garment("t", "T", (tie,)), "open", main=narrow)
    joined = replace(tie, joining=Joining(200.0, 10.0))
    assert plan_on(Garment("t", "T", (joined,)), "open", main=narrow).complete


def test_measured_width_is_planned_on() -> None:
    """The washed width is what was measured."""
    fabric = with_measured_width(find_fabric("demo-linen"), 1400.0)
    assert fabric.width_cut == pytest.approx(1400.0)
    with pytest.raises(ContradictionError, match="2 cm"):
        with_measured_width(find_fabric("demo-linen"), 20.0)
    with pytest.raises(ContradictionError, match="3/4 in of '60in'"):
        with_measured_width(find_fabric("60in"), 19.0)


def test_contradictions_are_named() -> None:
    """Roles without cloth, cloth without role, a fold that the cloth forbids."""
    trousers = garment("trousers")
    with pytest.raises(ContradictionError, match="no cloth for role 'main'"):
        plan_on(trousers, "auto")
    with pytest.raises(ContradictionError, match="'lining', which no piece"):
        plan_on(trousers, "auto", main=find_fabric("140cm"), lining=find_fabric("140cm"))
    with pytest.raises(ContradictionError, match="opposite directions"):
        plan_on(trousers, "crosswise", main=find_fabric("demo-velveteen"))


def test_misfits_say_by_how_much_and_what_would_do() -> None:
    """A piece wider than the cloth: exit with the figures."""
    with pytest.raises(NothingFitsError, match=r"needs 35 cm .* cloth at least 37\.1 cm wide"):
        plan_on(garment("trousers"), "auto", main=find_fabric("35cm"))


def test_progress_is_told() -> None:
    """Better lengths are reported with fabric and fold, stages in words."""
    told: list[PlanProgress] = []
    order = Order(garment("trousers"), {"main": find_fabric("140cm")}, effort="quick")
    plan_garment(order, told.append)
    found = [progress for progress in told if progress.length_mm is not None]
    assert {progress.fabric for progress in found} == {"140cm"}
    assert len({progress.fold for progress in found}) > 3
    assert told[0].stage == "laying out on 140cm: trying 7 ways to fold"


def test_faces_out_swap_the_hands_of_single_plies() -> None:
    """On cloth laid right side down, a piece as drawn lies printed side down."""
    panel = Piece(
        "panel",
        ((0, 0), (300, 0), (300, 100), (0, 200)),
        ((20, 20), (200, 20)),
        (Cut("main", CutKind.SAME_WAY, 1),),
    )
    out = replace(find_fabric("140cm"), faces=Faces.OUT)
    entry = plan_on(Garment("t", "T", (panel,)), "open", main=out).fabrics[0]
    assert entry.placements[0].face_down
    assert entry.placements[0].copies[0].hand is Hand.DRAWN


@settings(max_examples=9, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.floats(80.0, 500.0),
            st.floats(60.0, 250.0),
            st.floats(0.2, 1.0),
            st.sampled_from(["pair", "same way", "fold"]),
            st.integers(1, 2),
        ),
        min_size=1,
        max_size=4,
    ),
    st.sampled_from(["lengthwise", "partial", "double", "crosswise", "turned", "sectioned"]),
)
def test_random_garments_open_is_never_longer(
    drawn: list[tuple[float, float, float, str, int]], fold: str
) -> None:
    """Random panels in any fold: hands and counts exact (validated), open buys no more."""
    pieces = []
    for k, (long, wide, slope, kind, count) in enumerate(drawn):
        ring = ((0.0, 0.0), (long, 0.0), (long, wide * slope), (0.0, wide))
        on_fold = kind == "fold"
        copies = 2 * count if kind == "pair" else count
        pieces.append(
            Piece(
                f"p{k}", ring, ((long * 0.2, 10.0), (long * 0.8, 10.0)),
                (Cut("main", CutKind(kind), copies),),
                fold=((0.0, 0.0), (long, 0.0)) if on_fold else None,
            )
        )  # fmt: skip
    pattern = Garment("random", "Random", tuple(pieces))
    cloth = find_fabric("140cm")
    order = Order(pattern, {"main": cloth}, fold="auto", effort="quick")
    entry = plan_garment(order).fabrics[0]
    bought = {report.fold: report.buy for report in entry.other_folds}
    bought[entry.fold] = entry.purchase.bought
    assert Fold.named(fold) in bought
    other = bought[Fold.named(fold)]
    assert other is None or (bought[Fold.OPEN] or 0.0) <= other + 1e-6


def plain(name: str, ring: tuple[tuple[float, float], ...], cut: Cut, **more: object) -> Piece:
    """A piece whose grain runs along x."""
    xs = [x for x, _ in ring]
    arrow = ((min(xs) + 20.0, 20.0), (max(xs) - 20.0, 20.0))
    return Piece(name, ring, arrow, (cut,), **more)  # type: ignore[arg-type]


def box(length: float, width: float) -> tuple[tuple[float, float], ...]:
    return ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))


def test_a_half_is_opened_out_where_the_fold_edge_is_full() -> None:
    """Beside the one half on the fold the other is cut whole, through the upper ply only.

    Two halves of 600 mm one after another would need 1203 mm of fold.
    """
    halves = tuple(
        plain(
            name, box(600.0, 150.0), Cut("main", CutKind.FOLD, 1),
            fold=((0.0, 0.0), (600.0, 0.0)),
        )
        for name in ("front", "back")
    )  # fmt: skip
    entry = plan_on(Garment("t", "T", halves), "lengthwise", main=find_fabric("140cm")).fabrics[0]
    assert entry.length == pytest.approx(600.0, abs=0.1)
    assert entry.bound <= entry.length + 1e-6
    assert any(placed.upper_only for placed in entry.placements)


def test_boxes_that_find_no_room_do_not_spoil_a_plan() -> None:
    """A piece as wide as the lay, which may not keep clear of the fold, and a narrow one."""
    pieces = (
        plain("wide", box(100.0, 690.0), Cut("main", CutKind.PAIR, 2)),
        plain("narrow", box(100.0, 90.0), Cut("main", CutKind.PAIR, 2)),
    )
    entry = plan_on(Garment("t", "T", pieces), "lengthwise", main=find_fabric("140cm")).fabrics[0]
    assert entry.boxes >= entry.bound
    assert entry.boxes < 1e6


def test_pieces_lie_any_way_round_on_cloth_without_grain() -> None:
    """Non-woven interfacing: a band as long as the cloth is wide lies across it."""
    band = plain("band", box(860.0, 60.0), Cut("main", CutKind.SAME_WAY, 1))
    pattern = Garment("t", "T", (band,))
    woven = plan_on(pattern, "open", main=find_fabric("90cm")).fabrics[0]
    felt = plan_on(pattern, "open", main=find_fabric("demo-interfacing")).fabrics[0]
    assert woven.length == pytest.approx(860.0, abs=0.1)
    assert felt.length == pytest.approx(60.0, abs=0.1)
    assert felt.bound == pytest.approx(60.0, abs=0.1)


def test_a_fold_that_spares_hardly_any_tracing_is_not_taken() -> None:
    """Two long panels and a pair of tabs: a fold for the tabs alone is not worth its length."""
    pieces = Garment(
        "tabs", "Tabs",
        (
            plain("front", box(900.0, 600.0), Cut("main", CutKind.SAME_WAY, 1)),
            plain("back", box(900.0, 600.0), Cut("main", CutKind.SAME_WAY, 1)),
            plain("tab", box(60.0, 50.0), Cut("main", CutKind.PAIR, 2)),
            *(
                plain(f"band {k}", box(400.0, 60.0), Cut("main", CutKind.SAME_WAY, 1))
                for k in range(6)
            ),
        ),
    )  # fmt: skip
    cloth = find_fabric("140cm,washed")
    entry = plan_on(pieces, "auto", main=cloth).fabrics[0]
    assert entry.fold is Fold.OPEN
    partial = next(report for report in entry.other_folds if report.fold is Fold.PARTIAL)
    assert partial.buy is not None
    assert partial.buy >= entry.purchase.bought


def test_halves_lie_on_folds_where_that_costs_nothing() -> None:
    """Front and back of the top each on a fold of their own, rather than one traced whole."""
    base = next(entry for entry in demo_plan("layered-top").fabrics if "base" in entry.roles)
    assert base.fold is Fold.DOUBLE
    assert not any(placed.opened for placed in base.placements)
