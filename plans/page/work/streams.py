"""Server-sent events (WHATWG HTML, 9.2) of one job, and asking it to end."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator

from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from plans.page.work.jobs import Job, Jobs


def jobs(request: Request) -> Jobs:
    """The jobs of the server that was asked."""
    found: Jobs = request.app.state.jobs
    return found


def address(job: Job) -> dict[str, str]:
    """What a view answers when it began a job: where its news come from, and where to end it."""
    return {"events": f"/at-work/{job.name}/events", "end": f"/at-work/{job.name}/end"}


async def events(request: Request) -> Response:
    """Tell of a job as it goes on, from where a browser lost the thread."""
    job = jobs(request).of(request.path_params["job"])
    last = request.headers.get("last-event-id", "")
    seen = int(last) if last.isascii() and last.isdigit() else 0

    async def lines() -> AsyncIterator[str]:
        async for kind, number, data in jobs(request).news(job, seen):
            yield f"id: {number}\nevent: {kind}\ndata: {json.dumps(data)}\n\n"

    return StreamingResponse(lines(), media_type="text/event-stream")


def end(request: Request) -> Response:
    """That will do: keep the best."""
    jobs(request).ask_to_end(request.path_params["job"])
    return JSONResponse({"ending": True})


ROUTES = [
    Route("/at-work/{job}/events", events),
    Route("/at-work/{job}/end", end, methods=["POST"]),
]
