"""Layouts of rectangles whose least length is a plain sum: it is found to the hair."""

from __future__ import annotations

import pytest

from fabrics.spread import Fold, make_spread
from layout.effort import Effort
from layout.layout import cloth_length
from layout.problem import Item, Section, Slot, Wanted
from layout.solver import solve
from layout.strip_problem import StripProblem
from layout.validator import validate
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
