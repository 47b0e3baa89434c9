"""What a comparison proves of its cells: that nothing buys less, the same from any source."""

from __future__ import annotations

import json
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest

from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from layout.bounds.best import Care
from layout.effort import Effort
from pieces.lengths import EXCESS_MM, System
from plans.compare import search
from plans.compare.cells import Cell, Question, cell_of
from plans.compare.proving import care_of, proof_of
from plans.compare.results import ResultCache
from plans.compare.search import compare
from plans.compare.table import PROVED, comparison_csv, comparison_json, comparison_text
from plans.errors import FaultError
from plans.folds.bound import least_bound
from plans.folds.fold_search import screen
from plans.folds.jobs import job_for
from plans.folds.levels import level_for
from plans.folds.outcome import FoldResult
from plans.order import Order
from tests.plans.demo import garment

SKIRT = garment("wrap-skirt")
FOLDS = (Fold.LENGTHWISE, Fold.TURNED)


def asked(*widths: str) -> list[Question]:
    jobs = [job_for(Order(SKIRT, {}), ("main",), plain_fabric(width)) for width in widths]
    return [Question(job, fold) for job in jobs for fold in FOLDS]


def least(cell: Cell, question: Question) -> float:
    return question.job.bought((cell.bound or 0.0) - question.job.beyond)


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> ResultCache:
    return ResultCache(tmp_path_factory.mktemp("kept") / "results.sqlite")


@pytest.fixture(scope="module")
def cells(store: ResultCache) -> tuple[Cell, ...]:
    with ThreadPoolExecutor(2) as threads:
        found, interrupted = compare(asked("140cm", "150cm"), "normal", store, threads)
    assert not interrupted
    return found


def test_a_proof_says_that_nothing_buys_less(cells: tuple[Cell, ...]) -> None:
    """Each is marked that buys what its bound does, and no other; one needs a search for it."""
    for cell, question in zip(cells, asked("140cm", "150cm"), strict=True):
        assert cell.buy is not None
        assert cell.proved == (cell.buy <= least(cell, question) + EXCESS_MM)
        assert (cell.bound or 0.0) <= (cell.length or 0.0)
    folded = cells[0]
    assert (folded.fold, folded.proved, folded.effort) == (Fold.LENGTHWISE, True, "normal")
    result = screen(asked("140cm")[0].job, Fold.LENGTHWISE, Effort.QUICK, Effort.GLANCE)
    assert isinstance(result, FoldResult)
    assert not cell_of(asked("140cm")[0], result).proved


def test_tables_tell_it(cells: tuple[Cell, ...]) -> None:
    """Beside what is best, with what it means; only where something is proved."""
    text = comparison_text(cells, System.METRIC)
    assert "best, proved" in text
    assert PROVED in " ".join(text.split())
    assert max(len(line) for line in text.splitlines()) <= 100
    assert [row["proved"] for row in comparison_json(cells)["cells"]] == [c.proved for c in cells]
    assert comparison_csv(cells).splitlines()[0].split(",")[-2:] == ["proved", "reason"]
    plain = tuple(replace(cell, proved=False) for cell in cells)
    assert "roved" not in comparison_text(plain, System.METRIC)


def test_nothing_is_proved_twice(
    cells: tuple[Cell, ...], store: ResultCache, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("proved again")

    monkeypatch.setattr(search, "proof_of", refuse)
    with ThreadPoolExecutor(1) as threads:
        again, _ = compare(asked("140cm", "150cm"), "normal", store, threads)
    assert again == cells


def test_it_does_not_matter_who_proves(cells: tuple[Cell, ...]) -> None:
    """One after another in this process, without a cache: the same to the last figure."""
    with ThreadPoolExecutor(1) as threads:
        alone, _ = compare(asked("140cm", "150cm"), "normal", None, threads)
    assert alone == cells


def test_a_first_look_proves_no_more_than_it_knows(store: ResultCache) -> None:
    with ThreadPoolExecutor(1) as threads:
        quick, _ = compare(asked("140cm"), "quick", store, threads)
    for cell, question in zip(quick, asked("140cm"), strict=True):
        result = store.get(question.job, question.fold, search.screening(level_for("quick")))
        assert isinstance(result, FoldResult)
        known = least_bound(question.job, result.variant, Care.CLOSE).length
        assert (cell.bound or 0.0) == pytest.approx(known + question.job.beyond, abs=1e-9)


def test_an_interrupt_keeps_what_is_proved_so_far() -> None:
    """One that comes after the last proof takes nothing away."""
    questions = asked("140cm")[:1]

    def stop(done: int, total: int) -> None:
        if done == total == 4:
            raise KeyboardInterrupt

    with ThreadPoolExecutor(1) as threads:
        found, interrupted = compare(questions, "normal", None, threads, stop)
    assert interrupted
    assert found[0].proved


def test_a_damaged_proof_is_not_believed(tmp_path: Path) -> None:
    """Whatever stands in its row: another length, no length, no list."""
    question = asked("140cm")[1]
    result = screen(question.job, question.fold, Effort.GLANCE, Effort.GLANCE)
    assert isinstance(result, FoldResult)
    store = ResultCache(tmp_path / "results.sqlite")
    assert store.get_proof(question.job, "proof", result) is None
    store.put_proof(question.job, "proof", result, 1234.5)
    assert store.get_proof(question.job, "proof", result) == 1234.5
    assert store.get_proof(question.job, "other proof", result) is None
    with store._open() as base:
        kept = json.loads(base.execute("SELECT body FROM result").fetchone()[0])
    for body in ([1235.5, kept[1]], ["1234.5", kept[1]], [1234.5], {"a": 1, "b": 2}, 3.0, None):
        with store._open() as base:
            base.execute("UPDATE result SET body = ?", (json.dumps(body),))
        assert store.get_proof(question.job, "proof", result) is None


def test_care_is_that_of_the_search() -> None:
    assert care_of(Effort.NORMAL, searched=False) is Care.SEARCHED
    assert care_of(Effort.NORMAL, searched=True) is Care.PROVED
    assert care_of(Effort.THOROUGH, searched=False) is Care.PROVED


def test_a_bound_above_a_layout_is_a_fault() -> None:
    question = asked("140cm")[1]
    result = screen(question.job, question.fold, Effort.GLANCE, Effort.GLANCE)
    assert isinstance(result, FoldResult)
    short = replace(result, length=0.5 * result.length)
    with pytest.raises(FaultError, match="exceeds the layout found"):
        proof_of(question.job, short, Care.GLANCE)
    with pytest.raises(FaultError, match="exceeds the layout found"):
        cell_of(question, short)
