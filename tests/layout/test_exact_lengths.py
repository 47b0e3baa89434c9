"""Layouts of rectangles whose least length is a plain sum: it is found to the hair."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fabrics.spread import Fold, make_spread
from layout.effort import Effort
from layout.layout import cloth_length
from layout.problem import Item, Pose, Section, Slot, Wanted
from layout.solver import solve
from layout.strip_problem import StripProblem
from layout.validator import validate
from pieces.geometry_types import Ring
from tests.layout.examples import ALONG, rect

INCH = 25.4


def rectangles(
    kinds: list[tuple[float, float, int]], width: float, gap: float, fold: Fold = Fold.OPEN
) -> StripProblem:
    """Rectangles (length, width, how many) cut through all the plies of a fold's widest zone."""
    d1 = 0.3 * width if fold is Fold.PARTIAL else None
    spread = make_spread(fold, width, 0.0, d1)
    zone = max(range(len(spread.zones)), key=lambda k: len(spread.zones[k].plies))
    plies = spread.zones[zone].plies
    items = tuple(
        Item(f"r{k}", (rect(long, wide),), count, (Slot(0, zone, plies, 0, ALONG),))
        for k, (long, wide, count) in enumerate(kinds)
    )
    wanted = {f"r{k}": Wanted(either=len(plies) * kind[2]) for k, kind in enumerate(kinds)}
    return StripProblem(items, (Section(fold.value, spread),), gap=gap, wanted=wanted)


@pytest.mark.parametrize("fold", [Fold.OPEN, Fold.LENGTHWISE, Fold.PARTIAL])
@pytest.mark.parametrize("gap", [0.0, 3.0, INCH / 8, 5.0])
def test_squares_in_rows(fold: Fold, gap: float) -> None:
    """Sixteen rows of squares and the gaps between them, not a tenth of a millimetre more."""
    side = 9.5 * INCH
    across = 2
    usable = across * side + (across - 1) * gap + 20.0
    width = {Fold.OPEN: usable, Fold.LENGTHWISE: 2.0 * usable, Fold.PARTIAL: usable / 0.3}[fold]
    problem = rectangles([(side, side, 16 * across - 1)], width, gap, fold)
    layout = solve(problem, Effort.QUICK)
    assert not validate(problem, layout)
    assert cloth_length(problem, layout.extents) == pytest.approx(16 * side + 15 * gap, abs=1e-3)


def test_squares_of_inches_on_a_width_in_inches() -> None:
    """63 squares of 9 1/2 in on 42 in, seam to seam: sixteen rows of four, 152 in."""
    problem = rectangles([(9.5 * INCH, 9.5 * INCH, 63)], 42 * INCH, 0.0)
    layout = solve(problem, Effort.QUICK)
    assert cloth_length(problem, layout.extents) / INCH == pytest.approx(152.0, abs=1e-7)


def test_centimetres_and_inches_in_one_row() -> None:
    """Pieces measured with two rulers lie one behind the other, whatever their order."""
    kinds = [(254.0, 400.0, 2), (10.5 * INCH, 16.0 * INCH, 3), (333.3, 410.0, 1)]
    problem = rectangles(kinds, 500.0, INCH / 4)
    total = sum(long * count for long, _, count in kinds) + 5 * INCH / 4
    layout = solve(problem, Effort.QUICK)
    assert cloth_length(problem, layout.extents) == pytest.approx(total, abs=1e-3)


def test_strips_side_by_side_and_behind_each_other() -> None:
    """Strips of a third of the width, seven of them: three rows."""
    problem = rectangles([(711.2, 80.0, 7)], 3 * 80.0 + 2 * 3.0, 3.0)
    layout = solve(problem, Effort.QUICK)
    assert cloth_length(problem, layout.extents) == pytest.approx(3 * 711.2 + 6.0, abs=1e-3)


@pytest.mark.parametrize(("fold", "gap"), [(Fold.LENGTHWISE, 3.0), (Fold.PARTIAL, 6.35)])
def test_halves_on_the_fold(fold: Fold, gap: float) -> None:
    """Halves that all need the one fold edge lie one behind the other."""
    spread = make_spread(fold, 1000.0, 10.0, 300.0 if fold is Fold.PARTIAL else None)
    edge = spread.fold_edges[0]
    zone = next(
        k for k, z in enumerate(spread.zones) if len(z.plies) == 2 and edge.at in (z.y_from, z.y_to)
    )
    # Flipped where the fold is at the upper end of its zone.
    pose = Pose(0.0, edge.side < 0)
    items, wanted = [], {}
    for k, (long, wide, count) in enumerate([(301.7, 200.0, 2), (9.5 * INCH, 180.0, 3)]):
        whole: Ring = ((0.0, -wide), (long, -wide), (long, wide), (0.0, wide))
        slot = Slot(0, zone, spread.zones[zone].plies, 0, (pose,), 0)
        line = ((0.0, 0.0), (long, 0.0))
        items.append(Item(f"h{k}", (rect(long, wide),), count, (slot,), (line,), (whole,)))
        wanted[f"h{k}"] = Wanted(either=count)
    problem = StripProblem(tuple(items), (Section(fold.value, spread),), gap=gap, wanted=wanted)
    layout = solve(problem, Effort.QUICK)
    assert not validate(problem, layout)
    total = 2 * 301.7 + 3 * 9.5 * INCH + 4 * gap
    assert cloth_length(problem, layout.extents) == pytest.approx(total, abs=1e-3)


def test_the_separation_ends_exact_too() -> None:
    """Its contacts have a slack, which the final layout has not."""
    problem = rectangles([(200.0, 100.0, 7), (150.0, 130.0, 5)], 420.0, 3.0)
    layout = solve(problem, replace(Effort.BRISK, evaluations=200_000), seed=3)
    again = solve(problem, Effort.GLANCE, start=layout)
    assert not validate(problem, layout)
    length = cloth_length(problem, layout.extents)
    sums = [200.0 * a + 150.0 * b + 3.0 * (a + b - 1) for a in range(8) for b in range(6)]
    assert min(abs(length - one) for one in sums) < 1e-6
    assert cloth_length(problem, again.extents) <= length + 1e-6
