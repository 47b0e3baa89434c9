"""Before buying: the form, the table while it fills and afterwards, a cell, and its CSV."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from fabrics.fold_words import explained_name
from fabrics.shelf import on_shelves
from fabrics.spread import Fold
from pieces.lengths import System, format_width
from pieces.readers.shelf import all_names
from plans.compare.cells import with_best
from plans.compare.cloths import USUAL, WAYS
from plans.compare.table import comparison_csv
from plans.folds.levels import EFFORTS
from plans.orders.making import load_by_name
from plans.orders.request import MOST_MAKES
from plans.outputs.folder import file_stem
from plans.page.asking import sent
from plans.page.bolts import offered_bolts
from plans.page.comparing.chart import chart_of
from plans.page.comparing.showing import cell_facts, tables_of
from plans.page.comparing.task import ASKED, cell_from, comparing_task
from plans.page.comparing.wanted import STASH, Wanted, looked_up, wanted_of
from plans.page.names import NotThereError
from plans.page.rendering import handed_over, page
from plans.page.settings import units
from plans.page.surroundings import surroundings
from plans.page.work.jobs import Job, NoSuchJobError
from plans.page.work.streams import address, jobs
from plans.words.columns import cloth_length

SUBJECT = "/compare"


def compare(request: Request) -> Response:
    """The form, and the comparison that the address names."""
    work = request.query_params.get("work", "")
    job: Job | None = None
    lost = ""
    if work:
        try:
            job = _job(request, work)
        except NoSuchJobError as error:
            lost = str(error)
    system = units(request)
    return page(
        request,
        "comparing.html",
        "Before buying",
        "compare",
        scripts=("comparing.js",),
        garments=all_names(),
        most=MOST_MAKES,
        folds=[(fold.value, explained_name(fold)) for fold in Fold],
        cloths=_cloths(request, system),
        ways=[(way, _WAYS[way]) for way in WAYS],
        efforts=EFFORTS,
        usual="; ".join(USUAL[system]),
        wanted=_wanted(job) if job else None,
        chosen=request.query_params.get("garment", ""),
        work=job.name if job else "",
        what=job.title if job else "",
        lost=lost,
    )


_WAYS = {"without": "without nap", "with": "with nap (one way)", "both": "both"}


def garment(request: Request) -> Response:
    """Tell the sizes and roles of a garment."""
    name = request.path_params["name"]
    if name not in all_names():
        raise NotThereError(f"there is no garment '{name}' on the shelf (any more)")
    found = load_by_name(name, None)
    return JSONResponse({"sizes": list(found.sizes), "roles": list(found.roles)})


def begin(request: Request) -> Response:
    """Begin a comparison, if what is asked for is sound."""
    wanted = wanted_of(sent(request), units(request))
    stash = surroundings(request).stash
    found = looked_up(wanted, stash)
    job = jobs(request).begin(
        f"Before buying: {found.order.garment.title}", SUBJECT, comparing_task, wanted, str(stash)
    )
    return JSONResponse({"go": f"{SUBJECT}?work={job.name}", **address(job)})


def table(request: Request) -> Response:
    """The table and the chart as they are, in the chosen units."""
    job = _job(request, request.path_params["job"])
    data = _data(job)
    # What needs least is known of what there is so far.
    cells = with_best([cell_from(one) for one in data])
    system = units(request)
    return JSONResponse({"tables": tables_of(cells, system), "chart": chart_of(cells, system)})


def cell(request: Request) -> Response:
    """One cell: its figures, its layout, and the way to a plan."""
    job = _job(request, request.path_params["job"])
    data, k = _data(job), request.path_params["k"]
    if k >= len(data):
        raise NotThereError(f"this comparison has no cell {k}")
    cells = with_best([cell_from(one) for one in data])
    facts = cell_facts(cells[k], data[k][ASKED], _wanted(job), units(request))
    _, layout = job.said.get(f"layout-{k}", (0, {}))
    sections = layout.get("sections", []) if facts["rows"] else []
    return JSONResponse({**facts, "sections": sections})


def csv(request: Request) -> Response:
    """The cells as CSV, as the command line writes them."""
    job = _job(request, request.path_params["job"])
    if not job.state.is_over:
        raise NotThereError("the comparison is not done yet; end it first")
    cells = with_best([cell_from(one) for one in _data(job)])
    name = f"{file_stem('-'.join(one.name for one in _wanted(job).request.garments))[:80]}.csv"
    return handed_over(comparison_csv(cells), "text/csv", name)


def _job(request: Request, name: str) -> Job:
    """A comparison by its name; raises NoSuchJobError for work of another kind, too."""
    job = jobs(request).of(name)
    if job.subject != SUBJECT:
        raise NoSuchJobError("this work is no comparison; begin one")
    return job


def _wanted(job: Job) -> Wanted:
    wanted: Wanted = job.arguments[0]
    return wanted


def _data(job: Job) -> list[dict[str, Any]]:
    """The cells of a comparison, as far as they are known."""
    if "cells" in job.result:
        found: list[dict[str, Any]] = job.result["cells"]
        return found
    _, said = job.said.get("cells", (0, {"cells": []}))
    cells: list[dict[str, Any]] = said["cells"]
    return cells


def _cloths(request: Request, system: System) -> list[tuple[str, list[tuple[str, str]]]]:
    """Cloth that may stand beside the widths: bolts, own fabrics, demos; what it is called."""
    bolts = [
        (
            f"{STASH}{bolt.tag}",
            f"{bolt.tag}: {bolt.fabric.title or bolt.fabric.name}, "
            f"{cloth_length(bolt.length, system)}",
        )
        for bolt in offered_bolts(surroundings(request).stash, system)
    ]
    shelf = [
        (one.own, (one.name, f"{one.name}, {format_width(one.fabric.width, system)}"))
        for one in on_shelves()
        if one.fabric is not None
    ]
    groups = [
        ("Bolts", bolts),
        ("Yours", [row for own, row in shelf if own]),
        ("Demo", [row for own, row in shelf if not own]),
    ]
    return [(title, rows) for title, rows in groups if rows]


ROUTES = [
    Route("/compare", compare),
    Route("/compare", begin, methods=["POST"]),
    Route("/compare/garment/{name}", garment),
    Route("/compare/at-work/{job}/table", table),
    Route("/compare/at-work/{job}/cells/{k:int}", cell),
    Route("/compare/at-work/{job}/cells.csv", csv),
]
