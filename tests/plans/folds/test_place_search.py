"""Searching on where flawed cloth is folded across: the fold moves, the pieces make room."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fabrics.spread import Fold
from layout.effort import Effort
from layout.layout import EndedBy, Layout
from layout.problem import Placement, Pose
from layout.search.within.around import Around
from layout.search.within.by_orders import ByOrders
from layout.search.within.tries import Tries
from layout.validator import validate
from pieces.geometry_types import Ring
from pieces.lengths import INCH_MM
from plans.folds import fold_search
from plans.folds.across.fold_place import folded_at
from plans.folds.across.place_search import searched_with_place
from plans.folds.fold_search import deepen, screen
from plans.folds.job import FabricJob
from plans.folds.jobs import job_for
from plans.folds.outcome import FoldResult, Variant
from plans.order import Order
from tests.layout.test_flaws import bars_across
from tests.plans.demo import cloth_for, garment
from tests.plans.folds.test_fold_place import ACROSS, cloth
from tests.plans.rectangles import project, rectangle

SEARCH = replace(Effort.BRISK, evaluations=1_500_000, members=1)

BLOCKS = {
    Fold.CROSSWISE: ((360, 420), (480, 580), (160, 300), (520, 580), (260, 350), (540, 390)),
    Fold.TURNED: ((470, 580), (540, 420), (570, 590), (580, 270), (350, 460), (270, 380)),
}
"""Length and width (mm) of pairs of blocks."""


def job_of(fold: Fold, *flaws: Ring) -> FabricJob:
    """Pairs of blocks on washed cloth of 100 cm."""
    blocks = project(
        *(
            rectangle(f"block {k}", long / INCH_MM, wide / INCH_MM, 2)
            for k, (long, wide) in enumerate(BLOCKS[fold])
        )
    )
    fabric = cloth(*flaws)
    return job_for(Order(blocks, {"cloth": fabric}, ends=0.0), ("cloth",), fabric)


def spots(half: float) -> tuple[Ring, ...]:
    """One under each ply, and one near the fold; `half` (mm) of the cloth is the lay."""
    corners = ((0.4 * half, 300.0), (0.9 * half, 700.0), (1.6 * half, 500.0))
    return tuple(((x, y), (x + 20.0, y), (x + 20.0, y + 20.0), (x, y + 20.0)) for x, y in corners)


def quick(job: FabricJob, fold: Fold) -> FoldResult:
    found = screen(job, fold, Effort.QUICK, Effort.GLANCE)
    assert isinstance(found, FoldResult)
    return found


def glanced(job: FabricJob, fold: Fold, monkeypatch: pytest.MonkeyPatch) -> FoldResult:
    """With the fold in the best of the places that are tried at a glance."""
    with monkeypatch.context() as patched:
        patched.setattr(fold_search, "searched_with_place", lambda _job, result, *_: result)
        return quick(job, fold)


@pytest.mark.parametrize("fold", ACROSS)
def test_searching_on_moves_the_fold_where_flaws_hardly_cost(
    fold: Fold, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Found at a glance with far more cloth than its flaws must cost."""
    sound = quick(job_of(fold), fold)
    job = job_of(fold, *spots(sound.length / 2.0))
    glance = glanced(job, fold, monkeypatch)
    found = deepen(job, glance, SEARCH)
    assert found.is_sound
    assert glance.length > 1.05 * sound.length
    assert found.length < 1.02 * sound.length
    assert found.sections[0].fold_at < glance.sections[0].fold_at - 20.0
    again = deepen(job, glance, SEARCH)
    assert again.layout == found.layout


@pytest.mark.parametrize("fold", ACROSS)
def test_quick_effort_looks_for_the_place_too(fold: Fold, monkeypatch: pytest.MonkeyPatch) -> None:
    """By orders alone; never longer than with the place that a glance gave, and the same again."""
    sound = quick(job_of(fold), fold)
    job = job_of(fold, *spots(sound.length / 2.0))
    found = quick(job, fold)
    assert found.is_sound
    assert found.length <= glanced(job, fold, monkeypatch).length
    assert found.length < 1.03 * sound.length
    assert found.layout.ended_by is EndedBy.EFFORT
    again = quick(job, fold)
    assert (again.layout, again.sections) == (found.layout, found.sections)


@pytest.mark.parametrize(
    ("along", "across", "most"),
    [
        # Some pieces lie as far before it as they can, others behind it.
        (0.5, 0.5, 1.2),
        # It is on the ply that the back is not cut through, which lies over it.
        (0.7, 0.9, 1.01),
    ],
)
def test_a_flaw_in_the_cloth_is_laid_around_at_quick_effort(
    along: float, across: float, most: float
) -> None:
    """A large one, of 200 x 120 mm, at shares of the sound length and of the width."""
    skirt, cloth_of = garment("wrap-skirt"), cloth_for("wrap-skirt")["main"]
    cloth_of = replace(cloth_of, step=1.0, own_step=True)
    sound = quick(job_for(Order(skirt, {}), ("main",), cloth_of), Fold.CROSSWISE)
    x, y = along * sound.length - 100.0, across * cloth_of.width_cut - 60.0
    flaw = ((x, y), (x + 200.0, y), (x + 200.0, y + 120.0), (x, y + 120.0))
    job = job_for(Order(skirt, {}), ("main",), replace(cloth_of, flaws=(flaw,)))
    found = quick(job, Fold.CROSSWISE)
    assert found.is_sound
    assert found.length < most * sound.length


def test_an_interrupt_keeps_the_best_so_far() -> None:
    job = job_of(Fold.CROSSWISE, *spots(1000.0))
    before = quick(job, Fold.CROSSWISE)

    def interrupted(variant: Variant, effort: Effort, start: Layout) -> Layout:
        raise KeyboardInterrupt

    found = searched_with_place(job, before, SEARCH, interrupted)
    assert found.length == before.length
    assert found.layout.ended_by is EndedBy.INTERRUPT


def test_sound_cloth_is_that_with_the_fold_in_no_place() -> None:
    job = job_of(Fold.CROSSWISE, *spots(1000.0))
    variant = quick(job, Fold.CROSSWISE).variant
    assert variant.built.problem.flaws
    assert folded_at(job, variant, 0.0).built.problem.flaws == ()
    assert not any(section.fold_at for section in folded_at(job, variant, 0.0).sections)


@pytest.mark.parametrize(("kind", "work"), [(Around, 400_000), (ByOrders, 2000)])
@pytest.mark.parametrize("fold", ACROSS)
def test_pieces_make_room_for_flaws_that_lie_elsewhere(
    fold: Fold, kind: type[Tries], work: int
) -> None:
    """From where they lay on sound cloth, within a length that leaves room; none within less."""
    lengths = (200.0, 150.0)
    sound = bars_across(fold, 500.0, lengths, ())
    start = Layout(
        tuple(Placement(bar, 0, Pose(0.0), x, 0.0) for bar, x in enumerate((0.0, 203.0))), (353.0,)
    )
    assert validate(sound, start) == []
    flawed = bars_across(fold, 500.0, lengths, ((210.0, 230.0), (660.0, 665.0)))
    assert validate(flawed, start) != []
    tries = kind(work, 1, lambda: False)
    assert tries.fitted(flawed, start, 352.0) is None
    found = tries.fitted(flawed, start, 497.0)
    assert found is not None
    assert validate(flawed, found) == []
    assert found.extents[0] <= 497.0
    assert not tries.over
    assert kind(0, 1, lambda: False).over


@pytest.mark.parametrize("kind", [Around, ByOrders])
def test_a_start_that_reaches_beyond_the_fold_moves_no_flaw(kind: type[Tries]) -> None:
    """Flaws lie as the fold's place says, wherever the pieces lay before."""
    flawed = bars_across(Fold.CROSSWISE, 500.0, (200.0, 150.0), ((430.0, 440.0),))
    start = Layout(
        tuple(Placement(bar, 0, Pose(0.0), x, 0.0) for bar, x in enumerate((0.0, 503.0))), (653.0,)
    )
    found = kind(400_000, 1, lambda: False).fitted(flawed, start, 499.0)
    assert found is not None
    assert validate(flawed, found) == []
