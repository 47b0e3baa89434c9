"""Before buying on the page: what is asked for, the table as it fills, a cell, the chart."""

from __future__ import annotations

from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from fabrics.spread import Fold
from pieces.lengths import System
from plans.cli.main import front_door
from plans.compare.cells import Cell, with_best
from plans.folds.outcome import NEEDLESS
from plans.page.asking import Asked, AskedError
from plans.page.comparing.chart import HIGH, LOW, TOP, chart_of, nice_step
from plans.page.comparing.showing import NOT_YET, cell_facts, tables_of
from plans.page.comparing.task import ASKED, cell_from, comparing_task
from plans.page.comparing.wanted import Wanted, looked_up, wanted_of
from plans.page.work.jobs import Job, State
from tests.cli.programs import wait_until
from tests.page import Client, client

__all__ = ["client"]

ASK: dict[str, Any] = {
    "garments": [{"name": "wrap-skirt", "size": "M", "count": "1"}],
    "widths": "115cm; 140cm",
    "folds": ["lengthwise", "open"],
    "effort": "quick",
    "price": "12 EUR/m",
}
"""A comparison of eight cells."""


def wanted(**changed: Any) -> Wanted:
    """What a form says."""
    return wanted_of(Asked(ASK | changed), System.METRIC)


@pytest.fixture(scope="module")
def done() -> Iterator[tuple[list[dict[str, Any]], dict[str, Any], Wanted]]:
    """All that a comparison told, its result, and what was asked."""
    told: list[dict[str, Any]] = []
    asked = wanted(cloths=["demo-linen"])
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("plans.page.comparing.task.BETWEEN_S", 0.0)
        yield told, comparing_task(told.append, asked, "/nowhere/stash.db"), asked


def job_of(
    client: Client, told: list[dict[str, Any]], result: dict[str, Any], asked: Wanted
) -> str:
    """Put a comparison that is done among the jobs of the page."""
    job = Job("Before buying: skirt", comparing_task, (asked, ""), "/compare", state=State.DONE)
    job.result = result
    for version, said in enumerate(told, start=1):
        job.said[said["kind"]] = (version, said)
    client.inner.app.state.jobs._jobs[job.name] = job  # type: ignore[attr-defined]
    return job.name


def test_nothing_is_compared_yet_and_the_form_is_there(client: Client) -> None:
    """With everything that may be chosen; work that is lost is told."""
    text = client.get("/compare").text
    assert "Nothing is compared yet. Choose a garment" in text
    assert '<option value="wrap-skirt"' in text
    assert "demo-velveteen, 112 cm" in text
    assert "begin it again" in client.get("/compare?work=none").text


def test_a_bolt_may_stand_beside_the_widths(client: Client, tmp_path: Path) -> None:
    """Under its tag."""
    client.send("/cloth/bolt", fabric="demo-velveteen", length="2 m", washed="washed")
    assert 'value="stash:B1"' in client.get("/compare").text
    found = looked_up(wanted(cloths=["stash:B1"], widths=""), tmp_path / "stash.db")
    assert {question.job.fabric.bolt for question in found.questions} == {"B1"}


def test_sizes_and_roles_of_a_garment(client: Client) -> None:
    """Of the shelf only."""
    said = client.get("/compare/garment/wrap-skirt").json()
    assert said == {"sizes": ["S", "M", "L"], "roles": ["main"]}
    assert client.get("/compare/garment/..%2F..%2Fetc").status_code == 404
    assert client.get("/compare/garment/nothing").status_code == 404


def test_cells_come_with_their_layouts(
    done: tuple[list[dict[str, Any]], dict[str, Any], Wanted],
) -> None:
    """First all of them empty; every cell that has an answer has told what lies where."""
    told, result, _ = done
    first = next(said for said in told if said["kind"] == "cells")
    assert {cell["reason"] for cell in first["cells"]} == {"not reached"}
    assert len(first["cells"]) == len(result["cells"]) == 10
    laid = {said["kind"] for said in told if said["kind"].startswith("layout-")}
    for k, cell in enumerate(result["cells"]):
        assert (f"layout-{k}" in laid) == (cell["buy"] is not None)
    last = {said["kind"]: said for said in told}
    sections = last["layout-0"]["sections"]
    assert [name for name, _ in sections[0]["pieces"]].count("front") >= 1
    assert result["words"][0] == "Plain cloth at 12.00 EUR a metre."


def test_the_answer_is_that_of_the_command_line(
    client: Client, done: tuple[list[dict[str, Any]], dict[str, Any], Wanted]
) -> None:
    """To the last figure: the CSV is the same."""
    name = job_of(client, *done)
    answer = client.get(f"/compare/at-work/{name}/cells.csv")
    assert 'filename="wrap-skirt.csv"' in answer.headers["content-disposition"]
    asked = [
        "compare", "wrap-skirt:M", "--width", "115cm", "--width", "140cm", "--cloth", "demo-linen",
        "--fold", "lengthwise", "--fold", "open", "--effort", "quick", "--price", "12 EUR/m",
        "--csv",
    ]  # fmt: skip
    said = CliRunner().invoke(front_door, asked)
    assert answer.text.splitlines() == said.stdout.splitlines()


def test_tables_and_chart_are_told_in_the_chosen_units(
    client: Client, done: tuple[list[dict[str, Any]], dict[str, Any], Wanted]
) -> None:
    """A row for each cloth, a column for each fold; the best are marked."""
    name = job_of(client, *done)
    found = client.get(f"/compare/at-work/{name}/table").json()
    table = found["tables"][0]
    assert table["title"] == "main: without nap"
    assert table["folds"] == ["single layer", "lengthwise fold"]
    assert [row["cloth"] for row in table["rows"]] == ["115 cm", "140 cm", "demo-linen, 150 cm"]
    assert any(cell["best"] for row in table["rows"] for cell in row["cells"])
    assert [panel["what"] for panel in found["chart"][:2]] == ["to buy (m)", "cost (EUR)"]
    client.send("/settings", units="imperial")
    found = client.get(f"/compare/at-work/{name}/table").json()
    assert found["tables"][0]["rows"][0]["cloth"] == "45 1/4 in"
    assert found["chart"][0]["what"] == "to buy (yd)"
    assert [name["text"] for name in found["chart"][0]["names"]] == ["demo-linen"]


def test_a_cell_opens_its_layout_and_a_plan_of_the_same(
    client: Client, done: tuple[list[dict[str, Any]], dict[str, Any], Wanted]
) -> None:
    """The address fills the form of a new plan."""
    name = job_of(client, *done)
    said = client.get(f"/compare/at-work/{name}/cells/0").json()
    assert said["title"] == "115 cm; lengthwise fold; main: without nap"
    assert dict(said["rows"])["searched"] == "quick"
    assert said["sections"][0]["pieces"]
    assert said["plan"] == (
        "/new/plan?garment-1=wrap-skirt&size-1=M&count-1=1&cloth-main=115cm&fold=lengthwise&effort=quick"
    )
    assert client.get(f"/compare/at-work/{name}/cells/10").status_code == 404
    assert client.get(f"/compare/at-work/{name}/cells/99999999999999999999").status_code == 404


def test_with_nap_a_plan_asks_for_nap(
    done: tuple[list[dict[str, Any]], dict[str, Any], Wanted],
) -> None:
    """Two roles on one cloth are planned on one; what was asked beside it goes along."""
    _, result, asked = done
    napped = next(cell for cell in result["cells"] if cell["one_way"])
    assert napped[ASKED] == "115cm,nap"
    cell = cell_from(napped | {"roles": ["base", "overlay"]})
    plan = cell_facts(cell, "115cm,nap", wanted(margin="5 cm"), System.METRIC)["plan"]
    assert "cloth-base=115cm%2Cnap&cloth-overlay=%3Dwith%3Abase" in plan
    assert plan.endswith("margin=50+mm")
    assert asked.nap == "both"


def test_a_comparison_is_begun_and_ended_with_what_there_is(client: Client) -> None:
    """That will do: what was reached stays; another kind of work is no comparison."""
    answer = client.send("/compare", **ASK | {"effort": "thorough", "folds": []})
    assert answer.status_code == 200, answer.text
    name = answer.json()["go"].partition("work=")[2]
    jobs = client.inner.app.state.jobs  # type: ignore[attr-defined]
    wait_until(lambda: "cells" in jobs.of(name).said, "the cells were told")
    assert client.get(f"/compare/at-work/{name}/cells.csv").status_code == 404
    assert client.get(f"/compare?work={name}").status_code == 200
    client.send(answer.json()["end"])
    wait_until(lambda: jobs.of(name).state is State.DONE, "it ended")
    assert jobs.of(name).result["interrupted"]
    assert "not reached" in client.get(f"/compare/at-work/{name}/cells.csv").text
    assert "Nothing is known of it yet." in {
        client.get(f"/compare/at-work/{name}/cells/{k}").json()["reason"] for k in range(28)
    }


def test_ended_before_the_first_cell_it_still_tells_the_table() -> None:
    """Nothing is reached, and every cell says so."""

    def tell(said: dict[str, Any]) -> None:
        if said["kind"] == "cells":
            raise KeyboardInterrupt

    result = comparing_task(tell, wanted(), "/nowhere/stash.db")
    assert result["interrupted"]
    assert {cell["reason"] for cell in result["cells"]} == {"not reached"}


def test_the_form_is_filled_again_with_what_was_asked(
    client: Client, done: tuple[list[dict[str, Any]], dict[str, Any], Wanted]
) -> None:
    """So that it can be changed a little."""
    told, result, _ = done
    name = job_of(client, told, result, wanted(roles=["a+b"], gap="5 mm", widths='<b>"; 1m'))
    text = unescape(client.get(f"/compare?work={name}").text)
    assert 'value="5.0 mm"' in text
    assert '["a+b"]' in text
    assert "<b>" not in client.get(f"/compare?work={name}").text
    other = Job("plan", comparing_task, (), "/plans")
    client.inner.app.state.jobs._jobs[other.name] = other  # type: ignore[attr-defined]
    assert client.get(f"/compare/at-work/{other.name}/table").status_code == 404


@pytest.mark.parametrize(
    ("changed", "field", "part"),
    [
        ({"garments": []}, "garments", "names no garment"),
        ({"garments": [{"name": "../../etc/passwd"}]}, "garments[1].name", "no garment on the"),
        ({"garments": [{"name": "wrap-skirt", "size": "XXL"}]}, "garments[1].size", "S, M, L"),
        ({"garments": [{"name": "wrap-skirt", "count": "0"}]}, "garments[1].count", "from 1 to"),
        ({"garments": [{"name": "wrap-skirt", "count": 10**40}]}, "garments[1].count", "from 1"),
        ({"garments": [{"name": "wrap-skirt"}] * 61}, "garments", "more than 60"),
        ({"widths": "115"}, "widths", "has no unit"),
        ({"widths": "115 furlongs"}, "widths", "unknown unit"),
        ({"widths": "9" * 70 + "cm"}, "widths", "is not a length"),
        ({"widths": ";".join(f"{w}cm" for w in range(90, 160))}, "widths", "more than 60"),
        ({"widths": "115cm,nap", "nap": "without"}, "nap", "is one-way cloth"),
        ({"price": "dear"}, "price", "is no price"),
        ({"cloths": ["/etc/passwd"]}, "cloths", "is neither a fabric on the shelf nor a width"),
        ({"cloths": ["stash:B99"]}, "cloths", "B99"),
        ({"cloths": "demo-linen"}, "cloths", "no list of texts"),
        ({"roles": ["lining"]}, "roles", "lining"),
        ({"folds": ["sideways"]}, "folds", "is no fold"),
        ({"effort": "endless"}, "effort", "is none of"),
        ({"gap": "11 m"}, "gap", "is too much; at most 10 m"),
        ({"gap": "<b>"}, "gap", "is not a length"),
        ({"surprise": 1}, "surprise", "not known here"),
    ],
)
def test_what_cannot_be_compared_is_refused_at_its_field(
    tmp_path: Path, changed: dict[str, Any], field: str, part: str
) -> None:
    """Before any work begins."""
    with pytest.raises(AskedError) as refused:
        looked_up(wanted(**changed), tmp_path / "stash.db")
    assert refused.value.field == field
    assert part in str(refused.value)


def test_bare_figures_are_in_the_units_of_the_person_as_in_a_new_plan(client: Client) -> None:
    """The form says so; a limit is told in them, too, whatever unit was typed."""
    for system, unit, words in (
        (System.METRIC, 10.0, "taken as centimetres"),
        (System.IMPERIAL, 25.4, "taken as inches"),
    ):
        asked = Asked(ASK | {"gap": "1/2", "ends": "2", "margin": "0.5"})
        request = wanted_of(asked, system).request
        assert (request.gap, request.ends, request.margin) == (unit / 2, 2 * unit, unit / 2)
        client.send("/settings", units=system.value)
        assert words in client.get("/compare").text
    refused = client.send("/compare", **ASK | {"gap": "11 m"}).json()
    assert refused["lines"] == ["is too much; at most 393 11/16 in"]


def test_a_table_that_nobody_would_read_is_refused(tmp_path: Path) -> None:
    """It says how many cells it would have."""
    widths = "; ".join(f"{width}cm" for width in range(90, 150))
    with pytest.raises(AskedError, match="a table of 840 cells"):
        looked_up(wanted(widths=widths, folds=[]), tmp_path / "stash.db")


def cells(*figures: tuple[float, float | None]) -> tuple[Cell, ...]:
    """Cells of widths 900, 1000, ... mm with what is to buy (mm) and what that costs."""
    return with_best(
        [
            Cell(
                ("main",), f"{90 + 10 * k}cm", 900.0 + 100.0 * k, Fold.OPEN, False, length=buy,
                buy=buy, bound=buy, cost=cost, plain=True,
            )
            for k, (buy, cost) in enumerate(figures)
        ]
    )  # fmt: skip


def test_the_chart_stands_where_its_figures_are() -> None:
    """Nought at the axis; the least is ringed; without prices there is no panel for cost."""
    (panel,) = chart_of(cells((2000.0, None), (1000.0, None), (4000.0, None)), System.METRIC)
    assert [tick["text"] for tick in panel["ticks"]] == [
        "0",
        "1",
        "2",
        "3",
        "4",
        "90",
        "100",
        "110",
    ]
    (line,) = panel["lines"]
    heights = [float(point.split(",")[1]) for point in line["line"][1:].split()]
    assert heights[2] == TOP
    assert heights[0] == pytest.approx((TOP + HIGH - LOW) / 2.0)
    assert panel["rings"].count("Z") == 1
    assert chart_of((), System.METRIC) == []
    assert len(chart_of(cells((2000.0, 3.0)), System.METRIC)) == 2


@pytest.mark.parametrize("most", [0.0, 1e-9, 0.7, 1.0, 5.9, 6.1, 1e12, float("inf")])
def test_steps_of_an_axis_are_few_and_round(most: float) -> None:
    """Three to six of them, whatever there is to show."""
    step = nice_step(most)
    assert step > 0.0
    if 0.0 < most < float("inf"):
        assert 1.5 <= most / step <= 6.0 + 1e-9


def test_what_cannot_be_is_told_with_its_reason() -> None:
    """In a cell that is opened; what is not known yet says that."""
    cell = Cell(("main",), "90cm", 900.0, Fold.DOUBLE, False, reason="a piece is too wide")
    facts = cell_facts(cell, "90cm", wanted(), System.METRIC)
    assert facts["reason"] == "It cannot be: a piece is too wide."
    assert not facts["plan"]
    shown = tables_of((cell,), System.METRIC)[0]["rows"][0]["cells"][0]
    assert shown["why"] == "cannot be"
    assert not shown["buy"]
    waits = Cell(("main",), "90cm", 900.0, Fold.DOUBLE, False, reason=NOT_YET)
    assert not tables_of((waits,), System.METRIC)[0]["rows"][0]["cells"][0]["why"]


@pytest.mark.parametrize("reason", NEEDLESS)
def test_combined_folds_that_are_no_better_are_not_said_to_be_impossible(reason: str) -> None:
    """They were laid; one fold does as well."""
    cell = Cell(("main",), "90cm", 900.0, Fold.DOUBLE, False, reason=reason)
    shown = tables_of((cell,), System.METRIC)[0]["rows"][0]["cells"][0]
    assert shown["why"] == "no better than one fold"
    facts = cell_facts(cell, "90cm", wanted(), System.METRIC)
    assert facts["reason"] == f"It is no better than one fold: {reason}."
