"""What goes wrong, as a page or as JSON: what is wrong, where, and what would be right."""

from __future__ import annotations

import os
import sys
import traceback

from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response

from plans.page.asking import AskedError, SeveralWrongError
from plans.page.names import NotThereError
from plans.page.rendering import page
from plans.page.work.jobs import NoSuchJobError
from plans.words.failure_words import Blame, Failure, failure_of

MISSING = "Nothing is kept under this address."


def answer_error(request: Request, error: Exception) -> Response:
    """Answer with what an error means: 404, 422, or 500 for a fault of ours."""
    if isinstance(error, HTTPException):
        said = MISSING if error.status_code == 404 else str(error.detail)
        return _answer(request, error.status_code, Failure(Blame.INPUT, (said,)))
    if isinstance(error, ClientDisconnect):
        return _answer(request, 413, Failure(Blame.INPUT, ("what was sent is too large",)))
    failure = failure_of(error)
    field = error.field if isinstance(error, AskedError) else ""
    faults = error.faults if isinstance(error, SeveralWrongError) else ()
    if faults:
        failure = Failure(Blame.INPUT, tuple(map(str, faults)))
    if failure.blame is Blame.FAULT:
        if os.environ.get("LAYWRIGHT_DEBUG"):
            traceback.print_exception(error)
        print("\n".join(failure.lines), file=sys.stderr)
        return _answer(request, 500, failure)
    status = 404 if isinstance(error, (NotThereError, NoSuchJobError)) else 422
    return _answer(request, status, failure, field, faults)


def _answer(
    request: Request,
    status: int,
    failure: Failure,
    field: str = "",
    faults: tuple[AskedError, ...] = (),
) -> Response:
    if "application/json" in request.headers.get("accept", ""):
        said = {
            "blame": failure.blame.value, "lines": list(failure.lines), "field": field,
            "faults": [{"field": one.field, "lines": [str(one)]} for one in faults],
        }  # fmt: skip
        return JSONResponse(said, status_code=status)
    return page(
        request, "failure.html", "This did not work", status=status, lines=failure.lines,
        ours=failure.blame is Blame.FAULT,
    )  # fmt: skip
