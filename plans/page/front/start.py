"""The first view: what there is, and what to do next; and the settings of all views."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from fabrics.shelf import all_names as fabric_names
from pieces.files.own_shelf import FABRICS, GARMENTS, own_files
from pieces.lengths import System
from pieces.readers.shelf import all_names as garment_names
from plans.page.asking import sent
from plans.page.rendering import page
from plans.page.settings import LOOK, LOOKS, UNITS
from plans.page.surroundings import surroundings
from plans.page.work.streams import jobs

YEAR_S = 365 * 24 * 3600


def start(request: Request) -> Response:
    """Show how far a person is."""
    place = surroundings(request)
    return page(
        request,
        "start.html",
        "From a paper draft to a plan",
        own_garments=len(own_files(GARMENTS)),
        all_garments=len(garment_names()),
        own_fabrics=len(own_files(FABRICS)),
        all_fabrics=len(fabric_names()),
        plans_folder=str(place.plans),
        at_work=[job for job in jobs(request).all() if not job.state.is_over],
    )


def settings(request: Request) -> Response:
    """Keep the units or the look that was chosen."""
    asked = sent(request)
    answer = JSONResponse({"kept": True})
    for field, cookie, known in (
        ("units", UNITS, [system.value for system in System]),
        ("look", LOOK, list(LOOKS)),
    ):
        if field in asked:
            chosen = asked.one_of(field, known)
            answer.set_cookie(cookie, chosen, max_age=YEAR_S, samesite="strict", httponly=True)
    asked.finished()
    return answer


ROUTES = [Route("/", start), Route("/settings", settings, methods=["POST"])]
