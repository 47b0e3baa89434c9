"""Comparing cloths: what is true of cloth is true of the figures; nothing is worked out twice."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from fabrics.buying import purchase
from fabrics.fabric import Fabric, Repeat
from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from layout.effort import Effort
from pieces.lengths import System
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment
from plans.compare import search
from plans.compare.cells import Cell, Question, alike_but_for_width, cell_of
from plans.compare.chart import comparison_figure
from plans.compare.cloths import asked_price, plain_cloths
from plans.compare.rebuild import holds
from plans.compare.results import ResultCache
from plans.compare.search import compare, screening
from plans.compare.size_chart import chart_text, needs_of, note
from plans.compare.table import (
    NOTHING_COMPLETE,
    comparison_csv,
    comparison_json,
    comparison_text,
    price_words,
)
from plans.errors import ContradictionError
from plans.folds.fold_search import screen
from plans.folds.jobs import job_for
from plans.folds.levels import level_for
from plans.folds.outcome import FoldResult, Outcome
from plans.order import Order


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
        "reason", "proved",
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
    known = store.get(asked[0].job, asked[0].fold, screening(level_for("quick")))
    assert isinstance(known, FoldResult)
    base = store._open()
    with base:
        base.execute("UPDATE result SET body = json_set(body, '$.placements[0].y', 1e6)")
    base.close()
    assert store.get(asked[0].job, asked[0].fold, screening(level_for("quick"))) is None
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


def test_a_comparison_is_a_function_of_its_question(
    tmp_path: Path, threads: ThreadPoolExecutor
) -> None:
    """What another comparison found and passed on is not remembered: with the cache or without."""
    both = questions("layered-top", "overlay", [plain_fabric("112cm"), plain_fabric("115cm")])
    both = [one for one in both if one.fold in (Fold.OPEN, Fold.PARTIAL)]
    wide = both[len(both) // 2 :]
    store = ResultCache(tmp_path / "results.sqlite")
    alone, _ = compare(wide, "quick", executor=threads)
    compare(both, "quick", store, threads)
    after, _ = compare(wide, "quick", store, threads)
    assert after == alone


def test_the_cells_that_decide_are_searched_on(
    tmp_path: Path, threads: ThreadPoolExecutor, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The best and those within a step, at normal effort; the rest say that they were screened."""
    asked = questions("toy-hare", "cotton", [plain_fabric("60cm"), plain_fabric("70cm")])
    store = ResultCache(tmp_path / "results.sqlite")
    rough, _ = compare(asked, "quick", store, threads)
    cells, _ = compare(asked, "normal", store, threads)
    found = [cell for cell in cells if cell.buy is not None]
    least = min(cell.buy or 0.0 for cell in found)
    for cell in found:
        near = (cell.buy or 0.0) <= least + cell.step + 1e-6
        assert cell.effort == "normal" or not near
    assert {cell.effort for cell in cells} == {"quick", "normal"}
    for before, after in zip(rough, cells, strict=True):
        assert (after.length or 0.0) <= (before.length or 0.0) + 1e-6
    assert "searched at normal effort" in " ".join(comparison_text(cells, System.METRIC).split())
    assert "a first look" in comparison_text(rough, System.METRIC)
    assert comparison_json(cells)["cells"][0]["effort"] in ("quick", "normal")

    def refuse(*_: object) -> None:
        raise AssertionError("worked out again")

    monkeypatch.setattr("plans.compare.search.screen", refuse)
    monkeypatch.setattr("plans.compare.search.deepen", refuse)
    again, _ = compare(asked, "normal", store, threads)
    assert again == cells


def test_a_chart_of_sizes_is_that_of_each_size(threads: ThreadPoolExecutor) -> None:
    """No size is given another's layout, though all have the same number of pieces."""
    path = find_garment("wrap-skirt")
    sizes = load_garment(path).sizes

    def asked(size: str) -> Question:
        order = Order(load_garment(path, size), {})
        return Question(job_for(order, ("main",), plain_fabric("115cm")), Fold.OPEN)

    assert len(sizes) > 2
    together, _ = compare(
        [asked(size) for size in sizes], "quick", executor=threads, every_cloth=True
    )
    for size, mine in zip(sizes, together, strict=True):
        (alone,), _ = compare([asked(size)], "quick", executor=threads, every_cloth=True)
        assert mine.length == alone.length


def test_a_layout_of_other_pieces_is_refused(threads: ThreadPoolExecutor) -> None:
    """Whatever is shown was validated against the demands of its own cell."""
    path = find_garment("wrap-skirt")
    cloth = plain_fabric("115cm")
    small, large = (
        job_for(Order(load_garment(path, size), {}), ("main",), cloth) for size in ("S", "L")
    )
    outcome = screen(small, Fold.OPEN, Effort.GLANCE, Effort.GLANCE)
    assert isinstance(outcome, FoldResult)
    assert holds(small, outcome)
    assert not holds(large, outcome)


def test_widths_are_named_as_they_are_asked_for_and_a_column_has_one_unit(
    filled: tuple[Cell, ...],
) -> None:
    """112 cm, never 1.12 m; lengths all in metres where one is a metre or more."""
    text = comparison_text(filled, System.METRIC)
    assert "112 cm" in text
    assert "Of a plain width 1 cm at each edge is selvage" in " ".join(text.split())
    assert "1.12 m" not in text
    tables = re.split(r"overlay: ", text)[1:]
    assert len(tables) == 2
    for table in tables:
        units = re.findall(r"(?:open|lengthwise|partial|double|crosswise) +[\d.]+ (c?m) ", table)
        assert len(units) > 10
        assert len(set(units)) == 1


def test_a_price_is_for_one_unit_in_a_table() -> None:
    """12/m is a price a metre of 60 in cloth, too."""
    asked = asked_price("12/m", "EUR", System.METRIC)
    cloths = plain_cloths(("140cm", "60in"), "without", asked)
    assert {(cloth.price, cloth.price_unit) for cloth in cloths} == {(12.0, 1000.0)}
    bare = asked_price("12", "EUR", System.IMPERIAL)
    assert bare is not None
    assert bare.unit == pytest.approx(914.4)
    cloths = plain_cloths(("60in",), "without", bare)
    assert price_words(bare, cloths, System.IMPERIAL) == "Plain cloth at 12.00 EUR a yard."


def test_a_chart_without_prices_has_no_panel_of_costs(filled: tuple[Cell, ...]) -> None:
    """One panel for each direction of nap; what is plotted is what the table says to buy."""
    figure = comparison_figure(filled, "Overlay", System.METRIC)
    labels = [axes.get_ylabel() for axes in figure.axes]
    assert labels == ["to buy (m)", "to buy (m)"]
    plotted = {
        round(float(y), 3) for axes in figure.axes for y in np.asarray(axes.lines[0].get_ydata())
    }
    assert plotted <= {round((cell.buy or 0.0) / 1000.0, 3) for cell in filled}
    priced = tuple(
        replace(cell, cost=1.0, currency="") if cell.one_way and cell.buy else cell
        for cell in filled
    )
    labels = [axes.get_ylabel() for axes in comparison_figure(priced, "t", System.METRIC).axes]
    assert labels == ["to buy (m)", "to buy (m)", "cost (no currency named)"]


def test_yards_in_a_table_are_the_yards_of_its_chart() -> None:
    """Plain cloth in imperial units is bought in eighths of a yard, and plotted so."""
    order = Order(load_garment(find_garment("toy-hare")), {}, system=System.IMPERIAL)
    question = Question(job_for(order, ("cotton",), plain_fabric("90cm")), Fold.OPEN)
    (cell,), _ = compare([question], "quick")
    assert cell.imperial
    eighths = (cell.buy or 0.0) / 914.4 * 8
    assert eighths == pytest.approx(round(eighths))


def test_cloths_of_one_width_are_told_apart(threads: ThreadPoolExecutor) -> None:
    """What is stated beside a width stands under the table; each row names its cloth."""
    cloths = [plain_fabric("70cm,shrinkage=10%x0%"), plain_fabric("70cm")]
    asked = [
        Question(job_for(order("toy-hare"), ("cotton",), cloth), Fold.OPEN) for cloth in cloths
    ]
    cells, _ = compare(asked, "quick", executor=threads)
    text = comparison_text(cells, System.METRIC)
    assert re.search(r"^70 cm\* +open", text, re.MULTILINE)
    assert re.search(r"^70 cm +open", text, re.MULTILINE)
    assert "70cm*: shrinkage=10%x0%" in text
    assert (cells[0].buy or 0.0) >= (cells[1].buy or 0.0)


def test_a_price_of_its_own_is_not_overruled() -> None:
    """The table says which cloth the price asked for is for."""
    asked = asked_price("12/m", "", System.METRIC)
    cloths = plain_cloths(("140cm,price=9/m", "60in"), "without", asked)
    assert [cloth.price for cloth in cloths] == [9.0, 12.0]
    assert price_words(asked, cloths, System.METRIC).startswith(
        "Plain cloth that names no price of its own at"
    )
    with pytest.raises(ContradictionError, match="leave out --nap without"):
        plain_cloths(("140cm,nap",), "without")


def test_a_chart_buys_what_shrinks(threads: ThreadPoolExecutor) -> None:
    """Each cloth has its column, and its length before washing."""
    cloths = plain_cloths(("70cm", "70cm,shrinkage=10%x0%", "80cm,nap"))
    asked = [
        Question(job_for(order("toy-hare"), ("cotton",), cloth), Fold.OPEN) for cloth in cloths
    ]
    cells, _ = compare(asked, "quick", executor=threads, every_cloth=True)
    needs = needs_of("", cells, cloths)
    assert len(needs) == 5
    plain, shrinking = (need for need in needs if need.cloth.width == 700.0 and not need.one_way)
    assert shrinking.length == plain.length
    assert shrinking.bought(System.METRIC) == pytest.approx(
        purchase((plain.length or 0.0) / 0.9, plain_fabric("70cm")).bought
    )
    text = chart_text(needs, "Toy hare", note(30.0, "quick"))
    assert "70 cm (28 in), shrinkage=10%x0%" in text
    assert "3 cm (1 3/16 in) for squaring off" in " ".join(text.split())


def test_what_is_ended_late_keeps_its_cells(
    threads: ThreadPoolExecutor, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While figures are worked out from layouts, too; without any layout it says so."""
    calls = 0
    work_out = cell_of

    def ended(question: Question, outcome: Outcome | None, *proved: float) -> Cell:
        nonlocal calls
        calls += 1
        if calls == 1:
            raise KeyboardInterrupt
        return work_out(question, outcome, *proved)

    monkeypatch.setattr(search, "cell_of", ended)
    asked = questions("toy-hare", "cotton", [plain_fabric("60cm")])[:1]
    cells, interrupted = compare(asked, "quick", None, threads)
    assert interrupted
    assert cells[0].length is not None
    none = tuple(work_out(question, None) for question in asked)
    assert comparison_text(none, System.METRIC) == f"{NOTHING_COMPLETE}\n"
