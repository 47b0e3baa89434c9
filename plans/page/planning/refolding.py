"""A cloth of a plan in another fold: seen at once where it was made before, else planned again."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import quote

from starlette.requests import Request as Asking
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from fabrics.fold_words import taught_name
from fabrics.spread import Fold
from pieces.lengths import System
from pieces.name_length import with_ending
from plans.answer.planner import plan_jobs
from plans.answer.whose import told_apart
from plans.data.plan_json import PlanFileError
from plans.folds.jobs import jobs_for
from plans.orders.asked import request_behind
from plans.orders.making import order_of
from plans.orders.planning import plan_order
from plans.outputs.folder import PLAN_FILE, read_plan
from plans.page.asking import AskedError, sent
from plans.page.names import NotThereError, plan_folder
from plans.page.planning.tasks.laying import Place, kept
from plans.page.planning.tasks.telling import Telling
from plans.page.planning.titles import isolated
from plans.page.settings import units
from plans.page.surroundings import surroundings
from plans.page.work.process import NothingFoundError, Tell
from plans.page.work.streams import jobs
from plans.plan import FabricPlan, Plan

SUBJECT = "/plans"


def refold(request: Asking) -> Response:
    """Go to the plan with one cloth in another fold; begin to lay it if there is none yet.

    Raises
    ------
    AskedError, NotThereError, NothingAskedError, InputError
    """
    where = surroundings(request)
    folder = plan_folder(where.plans, request.path_params["name"])
    asked = sent(request)
    plan = read_plan(folder)
    if not plan.fabrics:
        raise AskedError("cloth", "all of this plan lies on leftovers, which are not folded")
    number = asked.whole("cloth", 0, len(plan.fabrics) - 1)
    folds = {report.fold.value for report in plan.fabrics[number].other_folds}
    fold = asked.one_of("fold", sorted(folds))
    asked.finished()
    wished = wished_name(folder.name, plan, number, Fold.named(fold))
    known = known_plan(where.plans, wished, plan, number, Fold.named(fold))
    if known is not None:
        return JSONResponse({"go": f"{SUBJECT}/{quote(known)}"})
    request_behind(plan, folder / PLAN_FILE)
    place = Place.of(where)
    title = f"{isolated(plan.title)}, {taught_name(Fold.named(fold))}"
    job = jobs(request).begin(
        title, SUBJECT, lay_folded, folder, number, fold, wished, units(request), place
    )
    return JSONResponse({"go": f"{SUBJECT}?work={job.name}"})


def wished_name(name: str, plan: Plan, number: int, fold: Fold) -> str:
    """Name of the folder of a plan with one cloth in another fold."""
    which = f"-{plan.fabrics[number].roles[0]}" if len(plan.fabrics) > 1 else ""
    return with_ending(name, f"{which}-{fold.value}")


def known_plan(plans: Path, wished: str, plan: Plan, number: int, fold: Fold) -> str | None:
    """Name of the plan that was made so before, of the same order; None if there is none."""
    try:
        folder = plan_folder(plans, wished)
        found = read_plan(folder)
    except (NotThereError, PlanFileError):
        return None
    same = [entry.roles for entry in found.fabrics] == [entry.roles for entry in plan.fabrics]
    if same and _asked(found) == _asked(plan) and found.fabrics[number].fold is fold:
        return folder.name
    return None


def _asked(plan: Plan) -> dict[str, Any]:
    """What a plan answers, whichever fold was asked for."""
    return {name: value for name, value in (plan.asked or {}).items() if name != "fold"}


def lay_folded(
    tell: Tell, folder: Path, number: int, fold: str, wished: str, system: System, place: Place
) -> dict[str, Any]:
    """Lay one cloth of a plan in a fold, and write the plan with it beside the first.

    Raises
    ------
    NothingFoundError
        If it was asked to end before anything was complete.
    PlanError, PieceError, FabricError
        If what the plan answers cannot be laid so.
    """
    telling = Telling(tell)
    plan = read_plan(folder)
    request = replace(
        request_behind(plan, folder / PLAN_FILE), fold=fold, system=system,
        members=plan.members if plan.members else None,
    )  # fmt: skip
    telling.begin(request.effort != "quick")
    found: Plan | None = None
    try:
        order = order_of(request, place.stash)
        if plan.on_leftovers or len(plan.fabrics) < 2:
            found = plan_order(request, order, place.stash, telling.hear, folder=folder)
        else:
            mine = [job for job in jobs_for(order) if job.roles == plan.fabrics[number].roles]
            new = plan_jobs(order, mine, telling.hear)
            found = told_apart(replace(plan, fabrics=_exchanged(plan, new.fabrics[0])), order)
    except KeyboardInterrupt:
        if found is None:
            raise NothingFoundError(
                "ended before any layout was complete; nothing is written"
            ) from None
    return kept(telling, found, wished, system, place)


def _exchanged(plan: Plan, new: FabricPlan) -> tuple[FabricPlan, ...]:
    return tuple(new if entry.roles == new.roles else entry for entry in plan.fabrics)


ROUTES = [Route("/plans/{name}/fold", refold, methods=["POST"])]
