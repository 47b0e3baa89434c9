"""Recording that a plan was cut: looked at beforehand, tags to write afterwards, taken back."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route

from fabrics.stash.records import Bolt, CutRecord, LeftoverRecord
from fabrics.stash.store import Stash
from pieces.lengths import System, format_purchase
from plans.leftover_use.recording import cuts_of, kept_text, new_cut, planned_bolts
from plans.outputs.folder import cut_sheet, read_plan
from plans.page.asking import Asked, AskedError, sent
from plans.page.cloth.pictures import leftover_picture
from plans.page.cloth.stash import contents, opened
from plans.page.cutting.sheet import sheet_task
from plans.page.names import NotThereError, plan_folder
from plans.page.rendering import page
from plans.page.settings import units
from plans.page.surroundings import surroundings
from plans.page.work.streams import address, jobs
from plans.plan import Plan
from plans.words.account_lines import leftover_size
from plans.words.columns import cloth_length, format_area
from plans.words.lists.cut_words import taken_lines, undone_text
from plans.words.lists.stash_tables import cut_line


def cut(request: Request) -> Response:
    """Show what recording would change, or what was recorded already."""
    name, plan = _plan(request)
    system = units(request)
    found = contents(request)
    kept = {one.tag: one for one in found.leftovers}
    done = _done(request, plan)
    return page(
        request,
        "cutting.html",
        f"I cut this: {plan.title or plan.garment}",
        "plans",
        scripts=("cloth.js", "cutting.js"),
        name=name,
        missing=plan.missing_roles,
        seen=_digest(plan),
        entries=[_entry(plan, k, found.bolts, system) for k in range(len(plan.fabrics))],
        used=[one.tag for one in plan.on_leftovers],
        gone=[one.tag for one in plan.on_leftovers if one.tag not in kept],
        done=[
            (
                record,
                cut_line(record, system),
                [_shown(kept[tag], system) for tag in record.left if tag in kept],
            )
            for record in done
        ],
    )


def look(request: Request) -> Response:
    """Tell what recording would change, and change nothing."""
    _, plan = _plan(request)
    system = units(request)
    asked = Asked(dict(request.query_params))
    sources, keep, again = _sources(asked, plan), "keep" in asked, "again" in asked
    with opened(request) if surroundings(request).stash.exists() else _nowhere(system) as base:
        seen = base.look_at_cut(new_cut(base, plan, sources, keep, again))
    rest = {bolt.tag: bolt.length for bolt in seen.bolts}
    return JSONResponse(
        {
            "lines": taken_lines(seen.record, rest, system),
            "left": [_shown(one, system) for one in seen.left],
        }
    )


def record(request: Request) -> Response:
    """Record that a plan was cut."""
    name, plan = _plan(request)
    asked = sent(request)
    if asked.text("seen") != _digest(plan):
        raise AskedError("", "the plan is another since you looked at it; look again first")
    sources, keep, again = _sources(asked, plan), asked.flag("keep"), asked.flag("again")
    asked.finished()
    with opened(request) as base:
        made = base.record_cut(new_cut(base, plan, sources, keep, again))
    left = f"; write {' and '.join(made.left)} on what is left" if made.left else ""
    return JSONResponse(
        {"go": f"/plans/{quote(name)}/cut", "well": f"Cut {made.number} is recorded{left}."}
    )


def undo(request: Request) -> Response:
    """Undo the cut of a number."""
    asked = sent(request)
    number = asked.whole("number", 1, 2**31)
    asked.finished()
    with opened(request) as base:
        undone = base.undo_cut(number)
    return JSONResponse({"well": undone_text(undone, units(request))})


def draw_sheet(request: Request) -> Response:
    """Begin to draw the leftovers of a cut to scale, with their tags, into a PDF."""
    name, plan = _plan(request)
    number = _number(request)
    if number not in [one.number for one in _done(request, plan)]:
        raise NotThereError(f"cut {number} is none of this plan (any more)")
    place = surroundings(request)
    job = jobs(request).begin(
        f"Sheet of the leftovers of cut {number}", f"/plans/{quote(name)}/cut", sheet_task,
        str(place.stash), number, str(cut_sheet(plan_folder(place.plans, name), number)),
        units(request).value,
    )  # fmt: skip
    return JSONResponse(
        {**address(job), "file": f"/plans/{quote(name)}/cut/{number}/leftovers.pdf"}
    )


def sheet(request: Request) -> Response:
    """Hand over a sheet that was drawn."""
    name, _ = _plan(request)
    path = cut_sheet(plan_folder(surroundings(request).plans, name), _number(request))
    if path.is_symlink() or not path.is_file():
        raise NotThereError("this sheet is not drawn yet")
    return FileResponse(path, media_type="application/pdf", filename=path.name)


def _plan(request: Request) -> tuple[str, Plan]:
    name = request.path_params["name"]
    return name, read_plan(plan_folder(surroundings(request).plans, name))


def _number(request: Request) -> int:
    number: int = request.path_params["number"]
    return number


def _digest(plan: Plan) -> str:
    return hashlib.sha256(kept_text(plan).encode()).hexdigest()


def _done(request: Request, plan: Plan) -> list[CutRecord]:
    if not surroundings(request).stash.exists():
        return []
    with opened(request) as base:
        return cuts_of(base, plan)


def _nowhere(system: System) -> Stash:
    """A stash without a file: looking makes none."""
    return Stash(Path(":memory:"), system=system)


def _entry(plan: Plan, k: int, bolts: tuple[Bolt, ...], system: System) -> dict[str, Any]:
    """What is known of one fabric of a plan: what it takes, and the bolts that it may come off."""
    entry = plan.fabrics[k]
    planned = planned_bolts(plan)
    own = System.IMPERIAL if entry.fabric.imperial else System.METRIC
    return {
        "field": f"bolt-{k}",
        "title": entry.fabric.title or entry.fabric.name,
        "roles": ", ".join(entry.roles),
        "takes": format_purchase(entry.purchase.bought, own),
        "planned": next((planned[role] for role in entry.roles if role in planned), ""),
        "bolts": [
            (bolt.tag, f"{cloth_length(bolt.length, system)}, {_state(bolt.washed)}")
            for bolt in bolts
            if bolt.fabric.name == entry.fabric.name
        ],
    }


def _state(washed: bool) -> str:
    return "washed" if washed else "unwashed"


def _sources(asked: Asked, plan: Plan) -> dict[str, str]:
    """Tag of the bolt by role, where one was chosen."""
    sources: dict[str, str] = {}
    for k, entry in enumerate(plan.fabrics):
        tag = asked.text(f"bolt-{k}", "")
        if tag:
            sources |= dict.fromkeys(entry.roles, tag)
    return sources


def _shown(one: LeftoverRecord, system: System) -> dict[str, str]:
    """A leftover for a card: its tag, what it is, and its outline."""
    picture = leftover_picture(one.region, one.tag, system)
    return {
        "tag": one.tag,
        "fabric": one.fabric.title or one.fabric.name,
        "size": f"holds {leftover_size(one.region, system)}, along the grain x across it; "
        f"{format_area(one.region.area, system)}",
        "view": picture.view, "cloth": picture.cloth, "rectangle": picture.rectangle,
        "grain": picture.grain, "words": picture.words, "selvages": "",
    }  # fmt: skip


ROUTES = [
    Route("/plans/{name}/cut", cut),
    Route("/plans/{name}/cut", record, methods=["POST"]),
    Route("/plans/{name}/cut/look", look),
    Route("/plans/{name}/cut/{number:int}/sheet", draw_sheet, methods=["POST"]),
    Route("/plans/{name}/cut/{number:int}/leftovers.pdf", sheet),
    Route("/cuts/undo", undo, methods=["POST"]),
]
