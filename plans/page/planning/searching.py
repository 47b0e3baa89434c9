"""The view of a search while it goes on, and what may come of it: another one, changed a little."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from starlette.requests import Request as Asking
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from pieces.drafting.outfit import Ordered
from plans.orders.request import GarmentAsked, Request
from plans.page.asking import AskedError, sent
from plans.page.planning.choices import loaded
from plans.page.planning.form import begun
from plans.page.planning.tasks.laying import lay
from plans.page.rendering import page
from plans.page.work.jobs import Job
from plans.page.work.streams import jobs


def at_work(request: Asking, name: str) -> Response:
    """Show a search as far as it is; what it found where it is done."""
    job = jobs(request).of(name)
    go = job.result.get("go")
    if isinstance(go, str):
        return RedirectResponse(go, status_code=303)
    return page(
        request, "plan_work.html", f"Laying {job.title}", "plans",
        scripts=("plan_work.js",), work=job.name, waits=job.state.value == "waiting",
        again=f"/new/plan?again={job.name}" if job.task is lay else "",
    )  # fmt: skip


def lay_changed(request: Asking) -> Response:
    """Begin the same search with what an idea changes, where cloth was too short.

    Raises
    ------
    AskedError
        If there is no such idea, or no option asks for it.
    PieceError, PlanError, FabricError
        As `begun`.
    """
    job = jobs(request).of(request.path_params["work"])
    asked = sent(request)
    short = job.result.get("short", [])
    cloth = asked.whole("cloth", 0, max(0, len(short) - 1))
    ideas = _ideas(short[cloth]) if short else []
    number = asked.whole("idea", 1, max(1, len(ideas)))
    asked.finished()
    asks = ideas[number - 1]["asks"] if ideas else {}
    if not asks:
        raise AskedError("idea", "no option asks for that; change what was asked for, or the draft")
    return begun(request, changed(_wanted(job), asks))


def changed(wanted: Request, asks: dict[str, Any]) -> Request:
    """What was wanted, with the options of an idea.

    Parameters
    ----------
    wanted : Request
    asks : dict
        As `Change.asks`.
    """
    counts = asks.get("counts", {})
    options = {name: value for name, value in asks.items() if name != "counts"}
    if not counts:
        return replace(wanted, **options)
    garments = tuple(
        replace(one, count=counts.get(_owner(one), one.count * wanted.makes))
        for one in wanted.garments
    )
    return replace(wanted, **options, garments=garments, makes=1)


def _owner(asked: GarmentAsked) -> str:
    return Ordered(loaded(asked.name, asked.size), asked.count, asked.called).owner


def _ideas(told: dict[str, Any]) -> list[dict[str, Any]]:
    return [idea for group in told["groups"] for idea in group["ideas"]]


def _wanted(job: Job) -> Request:
    """What a search was asked for: only those of new plans tell of ideas."""
    wanted: Request = job.arguments[0]
    return wanted


ROUTES = [Route("/new/plan/changed/{work}", lay_changed, methods=["POST"])]
