"""The view of a search while it goes on."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from plans.page.planning.tasks.laying import lay
from plans.page.rendering import page
from plans.page.work.streams import jobs


def at_work(request: Request, name: str) -> Response:
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
