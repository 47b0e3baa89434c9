"""A new garment: from nothing, from a copy, from a drawing or a photograph that is handed in."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from pieces.drawings.loading import DRAWINGS, is_drawing
from pieces.files.own_shelf import GARMENTS, own_shelf
from pieces.lengths import System
from plans.outputs.keeping import put_file
from plans.page.asking import AskedError, sent, sent_bytes
from plans.page.garments import drafts
from plans.page.garments.drawn import clear_old, drawn_address, drawn_path
from plans.page.garments.photographs import photographs_offered
from plans.page.garments.shelf import address, kept_garments, new_name
from plans.page.rendering import page
from plans.page.settings import units

UNITS = ("cm", "in", "mm")


def new(request: Request) -> Response:
    """Offer the ways to begin."""
    return page(
        request,
        "garment_new.html",
        "A new garment",
        here="garments",
        scripts=["garment_new.js"],
        kept=kept_garments(),
        unit="in" if units(request) is System.IMPERIAL else "cm",
        known_units=UNITS,
        endings=", ".join(DRAWINGS),
        photographs=photographs_offered(),
        folder=str(own_shelf(GARMENTS)),
    )


def nothing(request: Request) -> Response:
    """Begin a draft with one piece of which only the first edge is asked for."""
    asked = sent(request)
    name = new_name(asked.text("name"))
    unit = asked.one_of("units", UNITS, "cm")
    asked.finished()
    drafts.refuse_taken(name)
    if not drafts.begin(name, first_data(name, unit)):
        raise drafts.taken_by("draft", name)
    return JSONResponse({"go": address(name, "draft")})


def first_data(name: str, unit: str) -> dict[str, Any]:
    """What a garment begins as; each figure stands in the form, to be looked at."""
    return {
        "title": name,
        "units": unit,
        "piece": [
            {
                "name": "front",
                "cut": {"main": "2"},
                "drawn": "net",
                "allowance": "5/8 in" if unit == "in" else "1.5 cm",
                "grain": "up",
                "edges": [{"name": "hem", "to": ["", ""]}],
            }
        ],
    }


def drawing(request: Request) -> Response:
    """Take a drawing that is handed in, and go on to what it leaves open."""
    name = new_name(str(request.path_params["file"]), "drawing")
    path = drawn_path(name)
    if not is_drawing(path):
        kinds = " or ".join(DRAWINGS.values())
        raise AskedError("drawing", f"'{name}' is no {kinds} file by its ending")
    content = sent_bytes(request)
    if not content.strip():
        raise AskedError("drawing", f"'{name}' is empty")
    clear_old()
    put_file(content, path, replace=True)
    return JSONResponse({"go": drawn_address(name)})


ROUTES = [
    Route("/new/garment", new),
    Route("/new/garment/nothing", nothing, methods=["POST"]),
    Route("/new/garment/files/{file}", drawing, methods=["POST"]),
]
