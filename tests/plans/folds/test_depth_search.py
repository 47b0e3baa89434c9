"""The depth of a fold is searched: other depths at a glance, then those beside the best."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fabrics.folds.cloth import ClothToFold, DesignAcross, ToBeFolded
from fabrics.folds.tape import FOLDABLE_MM
from fabrics.shelf import find_fabric
from fabrics.spread import Fold, make_spread
from layout.effort import Effort
from plans.folds.depth_search import MOST_UNITS, other_depths
from plans.folds.fold_search import screen
from plans.folds.job import FabricJob
from plans.folds.jobs import job_for
from plans.folds.outcome import FoldResult, Variant
from plans.folds.variants import variants
from plans.order import Order
from tests.plans.demo import garment

CLOTH = ClothToFold("cloth", 1400.0, 10.0)
WANTED = ToBeFolded((300.0, 150.0), (260.0, 120.0, 60.0), 3.0, (600.0, 300.0, 120.0))


def pinafore(makes: int = 1) -> FabricJob:
    """All of the pinafore on lawn that is sold by the millimetre: the shortest layout counts."""
    cloth = replace(find_fabric("demo-cotton-lawn"), step=1.0, own_step=True)
    loaded = garment("pinafore")
    return job_for(Order(loaded, {}, makes=makes), loaded.roles, cloth)


def on_a_tape(depth: float) -> bool:
    return any(abs(depth / step - round(depth / step)) < 1e-6 for step in FOLDABLE_MM)


@pytest.mark.parametrize("fold", [Fold.PARTIAL, Fold.DOUBLE])
def test_further_depths_can_be_folded(fold: Fold) -> None:
    """Each lies on a tape, leaves room, and differs from the others; few enough for a glance."""
    found = fold.also_worth_trying(CLOTH, WANTED)
    assert 4 < len(found) == len(set(found)) <= 16
    for given in found + fold.beside(CLOTH, (310.0, 160.0), 20.0):
        depths = [depth for depth in given if depth is not None]
        assert all(on_a_tape(depth) for depth in depths)
        assert 0.0 < sum(depths) <= CLOTH.width / 2.0
        make_spread(fold, CLOTH.width, CLOTH.selvage, *given)


def test_a_partial_fold_holds_each_piece_and_each_two() -> None:
    """310 mm for the wide half, 313 for it beside nothing else, 160 for the narrow one."""
    given = Fold.PARTIAL.also_worth_trying(CLOTH, WANTED)
    depths = {first for first, _ in given if first is not None}
    assert any(abs(depth - 160.0) < 5.0 for depth in depths)
    assert any(abs(depth - 310.0) < 5.0 for depth in depths)
    assert any(abs(depth - (10.0 + 150.0 + 3.0 + 150.0)) < 6.5 for depth in depths)


def test_a_design_decides_on_the_depths() -> None:
    """Where it must match, folds lie on its axes only."""
    design = DesignAcross(90.0, 45.0)
    striped = replace(CLOTH, design=design)
    for first, second in Fold.PARTIAL.also_worth_trying(striped, WANTED):
        assert first is not None
        assert second is None
        assert design.on_axis(first, declared=True)


def test_depths_between_the_usual_ones_are_found() -> None:
    """A partial fold takes 593 mm with the usual depths alone."""
    found = screen(pinafore(), Fold.PARTIAL, Effort.QUICK, Effort.GLANCE)
    assert isinstance(found, FoldResult)
    assert found.is_sound
    assert found.length <= 555.0


@pytest.mark.parametrize("makes", [1, 2])
def test_what_is_spent_on_depths_is_counted(makes: int) -> None:
    """Two orders of every glance, whatever the number of pieces; no depth twice."""
    job = pinafore(makes)
    looked: list[tuple[float, tuple[int, ...]]] = []
    units = 0

    def laid(variant: Variant) -> FoldResult:
        nonlocal units
        units += 2 * sum(item.demand for item in variant.built.problem.items)
        looked.append((variant.sections[0].spread.d1, variant.built.pairing))
        return replace(first, variant=variant)

    variant = next(v for v in variants(job, Fold.PARTIAL) if isinstance(v, Variant))
    found = screen(pinafore(), Fold.OPEN, Effort.GLANCE, Effort.GLANCE)
    assert isinstance(found, FoldResult)
    first = replace(found, variant=variant)
    assert len(list(other_depths(job, Fold.PARTIAL, [first], laid))) == len(looked) > 0
    assert len(set(looked)) == len(looked)
    assert 0 < units <= MOST_UNITS // makes


def test_folds_that_fix_their_depth_have_no_others() -> None:
    """Open, lengthwise, and folds across."""
    for fold in (Fold.OPEN, Fold.LENGTHWISE, Fold.CROSSWISE, Fold.TURNED):
        assert fold.also_worth_trying(CLOTH, WANTED) == []
        assert fold.beside(CLOTH, (0.0, 0.0), 20.0) == []


def test_folds_in_sections_are_not_taken_for_their_first_section() -> None:
    """What came of a search for combined folds was a partial fold by itself, under its name."""
    job = pinafore()

    def laid(variant: Variant) -> FoldResult:
        raise AssertionError(f"a {variant.fold.value} fold was laid")

    variants_there = (v for v in variants(job, Fold.SECTIONED) if isinstance(v, Variant))
    variant = next(v for v in variants_there if v.sections[0].spread.fold is Fold.PARTIAL)
    first = screen(job, Fold.OPEN, Effort.GLANCE, Effort.GLANCE)
    assert isinstance(first, FoldResult)
    found = [replace(first, variant=variant)]
    assert list(other_depths(job, Fold.SECTIONED, found, laid)) == []
