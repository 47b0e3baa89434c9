"""Comparing cloths: what is true of cloth is true of the figures; nothing is worked out twice."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest

from fabrics.fabric import Fabric, Repeat
from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from pieces.lengths import System
from pieces.readers.garment_toml import load_garment
from pieces.shelf import find_garment
from plans.compare.cells import Cell, Question, alike_but_for_width
from plans.compare.search import compare
from plans.compare.table import comparison_csv, comparison_json, comparison_text
from plans.fold_search import FoldResult
from plans.jobs import job_for
from plans.order import Order
from plans.results import ResultCache


@pytest.fixture(scope="module")
def threads() -> Iterator[ThreadPoolExecutor]:
    with ThreadPoolExecutor(2) as pool:
        yield pool


def order(garment: str) -> Order:
    return Order(load_garment(find_garment(garment)), {})


def questions(garment: str, role: str, fabrics: list[Fabric]) -> list[Question]:
    return [
        Question(job_for(order(garment), (role,), fabric), fold)
        for fabric in fabrics
        for fold in SOME_FOLDS
    ]


WIDTHS = ("90cm", "112cm", "115cm")
SOME_FOLDS = (Fold.OPEN, Fold.LENGTHWISE, Fold.PARTIAL, Fold.DOUBLE, Fold.CROSSWISE)


@pytest.fixture(scope="module")
def filled(threads: ThreadPoolExecutor) -> tuple[Cell, ...]:
    cloths = [
        replace(plain_fabric(width), one_way=way) for way in (False, True) for width in WIDTHS
    ]
    cells, interrupted = compare(
        questions("layered-top", "overlay", cloths), "quick", executor=threads
    )
    assert not interrupted
    return cells


def test_wider_cloth_never_needs_more(filled: tuple[Cell, ...]) -> None:
    """Under the same fold rule, with all else equal."""
    compared = 0
    for fold in SOME_FOLDS:
        for way in (False, True):
            chain = [c for c in filled if c.fold is fold and c.one_way is way]
            for narrow, wide in itertools.pairwise(chain):
                assert narrow.width < wide.width
                if narrow.length is None:
                    continue
                assert wide.length is not None
                assert wide.length <= narrow.length + 1e-6
                assert (wide.buy or 0.0) <= (narrow.buy or 0.0)
                compared += 1
    assert compared > 15


def test_one_way_never_needs_less_than_without_nap(filled: tuple[Cell, ...]) -> None:
    """A one-way layout is a layout of cloth without nap."""
    lengths = {(c.width, c.fold, c.one_way): c.length for c in filled}
    pairs = 0
    for (width, fold, way), length in lengths.items():
        free = lengths[(width, fold, False)]
        if way and length is not None and free is not None:
            assert length >= free - 1e-6
            pairs += 1
    assert pairs > 10


def test_open_never_needs_more_than_a_fold(filled: tuple[Cell, ...]) -> None:
    """A folded layout, opened out, is a layout in a single layer."""
    lengths = {(c.width, c.fold, c.one_way): c.length for c in filled}
    for (width, _fold, way), length in lengths.items():
        single = lengths[(width, Fold.OPEN, way)]
        assert length is None or (single is not None and single <= length + 1e-6)


def test_cells_that_cannot_be_say_why(filled: tuple[Cell, ...]) -> None:
    """Crosswise on one-way cloth; the others have every figure, and a bound below it."""
    for cell in filled:
        if cell.length is None:
            assert "opposite directions" in cell.reason
            assert cell.one_way
            assert cell.fold is Fold.CROSSWISE
        else:
            assert not cell.reason
            assert cell.bound is not None
            assert cell.waste is not None
            assert cell.bound <= cell.length + 1e-6
            assert 0.0 < cell.waste < 1.0
            assert (cell.buy or 0.0) >= cell.length - 0.01


def test_the_best_is_the_least_to_buy(filled: tuple[Cell, ...]) -> None:
    """Marked for each direction of nap."""
    for way in (False, True):
        group = [c for c in filled if c.one_way is way and c.buy is not None]
        least = min(c.buy or 0.0 for c in group)
        assert {c.buy for c in group if c.best} == {least}
        assert all((c.buy or 0.0) > least for c in group if not c.best)


def test_tables_fit_and_plain_data_is_complete(filled: tuple[Cell, ...]) -> None:
    """At most 100 columns in both systems; JSON and CSV carry every cell."""
    for system in System:
        text = comparison_text(filled, system)
        assert max(len(line) for line in text.splitlines()) <= 100
        assert "opposite directions" in " ".join(text.split())
    cells = comparison_json(filled)["cells"]
    assert len(cells) == len(filled)
    assert {
        "roles", "width_mm", "fold", "one_way", "length_mm", "buy_mm", "bound_mm", "waste", "cost",
        "reason",
    } <= set(cells[0])  # fmt: skip
    assert all((cell["length_mm"] is None) == bool(cell["reason"]) for cell in cells)
    assert len(comparison_csv(filled).splitlines()) == len(filled) + 1


def test_a_second_comparison_works_nothing_out(
    tmp_path: Path, threads: ThreadPoolExecutor, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every cell comes from the cache, validated again; another question is worked out."""
    asked = questions("toy-hare", "cotton", [plain_fabric("60cm"), plain_fabric("70cm")])
    store = ResultCache(tmp_path / "results.sqlite")
    first, _ = compare(asked, "quick", store, threads)

    def refuse(*_: object) -> None:
        raise AssertionError("worked out again")

    monkeypatch.setattr("plans.compare.search.screen", refuse)
    steps: list[int] = []
    again, _ = compare(asked, "quick", store, threads, lambda done, total: steps.append(done))
    assert again == first
    assert not steps
    other = questions("toy-hare", "cotton", [plain_fabric("80cm")])
    with pytest.raises(AssertionError, match="worked out again"):
        compare(other, "quick", store, threads)


def test_a_damaged_cache_costs_nothing_but_time(
    tmp_path: Path, threads: ThreadPoolExecutor
) -> None:
    """Not a database, a row of nonsense, a layout that overlaps: each is worked out anew."""
    asked = questions("toy-hare", "cotton", [plain_fabric("60cm")])[:2]
    path = tmp_path / "results.sqlite"
    path.write_text("not a database")
    store = ResultCache(path)
    first, _ = compare(asked, "quick", store, threads)
    known = store.get(asked[0].job, asked[0].fold, "quick")
    assert isinstance(known, FoldResult)
    base = store._open()
    with base:
        base.execute("UPDATE result SET body = json_set(body, '$.placements[0][5]', 1e6)")
    base.close()
    assert store.get(asked[0].job, asked[0].fold, "quick") is None
    again, _ = compare(asked, "quick", store, threads)
    assert again == first


def test_an_interrupt_keeps_what_there_is(threads: ThreadPoolExecutor) -> None:
    """Ctrl-C in the middle: finished cells stand, the others say that they were not reached."""
    asked = questions("toy-hare", "cotton", [plain_fabric("60cm"), plain_fabric("70cm")])

    def stop(done: int, _total: int) -> None:
        if done == 3:
            raise KeyboardInterrupt

    cells, interrupted = compare(asked, "quick", executor=threads, on_step=stop)
    assert interrupted
    assert any(cell.length is not None for cell in cells)
    assert any(cell.reason == "not reached" for cell in cells)


def test_layouts_are_not_passed_on_where_the_cloth_differs_in_more_than_width() -> None:
    """A design across the cloth or a flaw lies elsewhere; faces matter; how it is sold does not."""
    plain = plain_fabric("140cm")
    assert alike_but_for_width(plain) == alike_but_for_width(plain_fabric("150cm"))
    assert alike_but_for_width(plain) == alike_but_for_width(plain_fabric("60in"))
    assert alike_but_for_width(plain) != alike_but_for_width(replace(plain, faces_alike=True))
    assert alike_but_for_width(replace(plain, repeat=Repeat(100.0, 80.0, 0.0))) is None
    assert alike_but_for_width(replace(plain, repeat=Repeat(100.0))) is not None
    flaw = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0))
    assert alike_but_for_width(replace(plain, flaws=(flaw,))) is None
