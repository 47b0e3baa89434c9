"""The view of a plan."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from pieces.lengths import System
from pieces.name_length import is_numbered
from plans.data.plan_json import PlanFileError
from plans.outputs.folder import PLAN_FILE, read_plan
from plans.page.names import plan_folder
from plans.page.planning.keeping import REPORT, files_of, made_in
from plans.page.planning.plan_words import ShownPlan, shown_plan
from plans.page.rendering import page
from plans.page.settings import units
from plans.page.surroundings import surroundings

Known = tuple[ShownPlan, bool, System | None]
"""What is said of a plan, whether it says what it answers, and the units of its files."""


def show(request: Request) -> Response:
    """Show a plan: its lays, what to buy, and everything to pin and cut by."""
    folder = plan_folder(surroundings(request).plans, request.path_params["name"])
    shown, can_refold, written_in = _shown(folder, units(request))
    files = files_of(folder)
    return page(
        request, "plan.html", shown.title, "plans", scripts=("plan.js",), name=folder.name,
        plan=shown, can_refold=can_refold, files=files, made_in=written_in,
        has_report=any(one.name == REPORT for one in files), instead=_instead(request, folder.name),
    )  # fmt: skip


def _instead(request: Request, name: str) -> str:
    """The name that was wished and is another plan's; empty if it is kept as was wished."""
    wished = request.query_params.get("instead", "")
    return wished if wished and is_numbered(name, wished) else ""


def _shown(folder: Path, system: System) -> Known:
    """What is known of a plan, kept until its file changes."""
    stat = (folder / PLAN_FILE).stat()
    return _known(folder, system, stat.st_mtime_ns, stat.st_size)


@lru_cache(maxsize=40)
def _known(folder: Path, system: System, _: int, __: int) -> Known:
    try:
        plan = read_plan(folder)
    except RecursionError as error:
        raise PlanFileError(f"{folder / PLAN_FILE}: is a damaged plan; plan again") from error
    return shown_plan(plan, system), plan.asked is not None, made_in(plan)


ROUTES = [Route("/plans/{name}", show)]
