"""A piece too wide for the cloth is told in the units of the user, whatever finds it out."""

from __future__ import annotations

import re

import pytest

from fabrics.fabric import Fabric
from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from layout.fit import NoLayoutError, Why
from pieces.lengths import System
from plans.answer.planner import plan_garment
from plans.errors import NothingFitsError
from plans.folds import fold_search
from plans.order import Order
from plans.problem.misfit import no_layout_message
from tests.plans.rectangles import project, rectangle

CASES = [
    # 60 in is 152.4 cm; 138 cm are usable, 68 cm on either half of it.
    ("open", System.METRIC, "needs 152.4 cm", "14.4 cm more than the 138 cm"),
    ("open", System.IMPERIAL, "needs 60 in", "in more than the 54 5/16 in"),
    ("lengthwise", System.METRIC, "needs 152.4 cm", "83.4 cm more than the 69 cm"),
    ("lengthwise", System.IMPERIAL, "needs 60 in", "more than the 27 3/16 in"),
    ("sectioned", System.METRIC, "needs 152.4 cm", "14.4 cm more than the 138 cm"),
    ("auto", System.METRIC, "needs 152.4 cm", "14.4 cm more than the 138 cm"),
    ("auto", System.IMPERIAL, "needs 60 in", "more than the 54 5/16 in"),
]


def cloth() -> Fabric:
    """A plain width of 140 cm with selvages of 1 cm."""
    return plain_fabric("140cm")


def planned(fold: str, system: System, wide: float = 60.0) -> str:
    """What is said of a piece so wide (inches), wide along as well."""
    order = Order(
        garment=project(rectangle("sail", 70.0, wide, 2)),
        cloth={"cloth": cloth()},
        fold=fold,
        effort="quick",
        system=system,
    )
    with pytest.raises(NothingFitsError) as caught:
        plan_garment(order)
    return str(caught.value)


@pytest.mark.parametrize(("fold", "system", "needs", "more"), CASES)
def test_too_wide_for_any_place(fold: str, system: System, needs: str, more: str) -> None:
    """By how much, and which width would do."""
    said = planned(fold, system)
    assert "'sail'" in said
    assert needs in said
    assert more in said
    assert not re.search(r"\bmm\b", said)


SECTIONS = {
    Fold.OPEN: "open",
    Fold.LENGTHWISE: "lengthwise",
    Fold.SECTIONED: "1 lengthwise",
}


@pytest.mark.parametrize("system", System)
@pytest.mark.parametrize("fold", SECTIONS)
def test_too_wide_as_the_search_finds_out(
    fold: Fold, system: System, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The search knows millimetres only; they never reach the user."""

    def refused(*_: object, **__: object) -> None:
        raise NoLayoutError(Why.TOO_WIDE, "sail", SECTIONS[fold], 762.0, 680.0, 1564.0)

    monkeypatch.setattr(fold_search, "solve", refused)
    said = planned(fold.value, system, wide=20.0)
    assert not re.search(r"\bmm\b", said)
    metric = system is System.METRIC
    assert ("needs 76.2 cm" if metric else "needs 30 in") in said
    assert ("156.4 cm wide would do" if metric else "61 5/8 in wide would do") in said
    assert ("section '1 lengthwise'" in said) is fold.sectioned


@pytest.mark.parametrize("why", [why for why in Why if why is not Why.TOO_WIDE])
def test_no_place_left(why: Why) -> None:
    """The piece, the cloth and the reason are named."""
    error = NoLayoutError(why, "sail", "open")
    said = no_layout_message(error, Fold.OPEN, cloth(), System.METRIC)
    assert "piece 'sail'" in said
    assert cloth().name in said
    assert why.value in said


def test_no_layout_at_all() -> None:
    """Where no piece is to blame, none is."""
    said = no_layout_message(NoLayoutError(Why.NOTHING_FOUND), Fold.OPEN, cloth(), System.METRIC)
    assert said == f"no layout was found on '{cloth().name}' (open)"
