"""Bolts and leftovers: put in, looked at, corrected, taken out; and undoing that."""

from __future__ import annotations

import json
import math
from functools import partial

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from fabrics.fabric import Fabric
from fabrics.shelf import all_names, find_fabric
from fabrics.stash.exchange.files import stash_to_csv, stash_to_data
from fabrics.stash.records import Bolt, NewLeftover
from pieces.readers.shelf import all_names as garment_names
from plans.leftover_use.measured import NoLeftoverError, measured_leftover, rectangle_ring
from plans.orders.amounts import parse_points, parse_size
from plans.page.asking import Asked, AskedError, sent, told_as_wrong
from plans.page.cloth.pictures import leftover_picture, picture_of
from plans.page.cloth.stash import contents, kept_one, opened
from plans.page.names import NotThereError
from plans.page.rendering import handed_over, page
from plans.page.settings import units
from plans.page.surroundings import surroundings
from plans.words.columns import cloth_length
from plans.words.lists.stash_tables import changed_words, cut_line, one_rows, undone_words
from plans.words.lists.tables import fabric_rows

STATES = {"as it is": None, "washed": True, "unwashed": False}
"""Washed or not: as the fabric says, or as nothing changes."""


def bolt_form(request: Request) -> Response:
    """A form for cloth that was bought."""
    return _form(request, "cloth_bolt.html", "Put in a bolt")


def leftover_form(request: Request) -> Response:
    """A form for cloth that was left."""
    return _form(request, "cloth_leftover.html", "Put in a leftover")


def _form(request: Request, template: str, title: str) -> Response:
    chosen = request.query_params.get("fabric", "")
    scripts = ("cloth.js",)
    return page(
        request, template, title, "cloth", scripts=scripts, names=all_names(), chosen=chosen
    )


def put_bolt(request: Request) -> Response:
    """Put a bolt in."""
    asked = sent(request)
    fabric = _fabric(asked)
    length = asked.length("length")
    if not length > 0.0:
        raise AskedError("length", "is no cloth at all")
    washed = _state(asked)
    note = asked.text("note", "")
    asked.finished()
    with opened(request) as base:
        put = base.add_bolt(fabric, length, fabric.washed if washed is None else washed, note)
    return JSONResponse({"go": f"/cloth/kept/{put.tag}"})


def put_leftover(request: Request) -> Response:
    """Put a leftover in."""
    asked = sent(request)
    new = _measured(asked, _fabric(asked), asked.text("note", ""))
    asked.finished()
    with opened(request) as base:
        put = base.add_leftover(new)
    return JSONResponse({"go": f"/cloth/kept/{put.tag}"})


def look_at_leftover(request: Request) -> Response:
    """Draw a leftover while its corners are typed; nothing is kept."""
    try:
        new = _measured(Asked(dict(request.query_params)), Fabric("", "", 1400.0), "")
    except AskedError as error:
        return JSONResponse(told_as_wrong(error))
    picture = leftover_picture(new.region, "This leftover", units(request))
    return JSONResponse(
        {
            "view": picture.view, "cloth": picture.cloth, "grain": picture.grain,
            "rectangle": picture.rectangle, "words": picture.words,
        }
    )  # fmt: skip


def kept(request: Request) -> Response:
    """Show one bolt or leftover in full, with what can be done with it."""
    one = kept_one(request, request.path_params["tag"])
    system = units(request)
    is_bolt = isinstance(one, Bolt)
    return page(
        request,
        "cloth_kept.html",
        f"{'Bolt' if is_bolt else 'Leftover'} {one.tag}",
        "cloth",
        scripts=("cloth.js",) if is_bolt else ("cloth.js", "cloth_uses.js"),
        one=one,
        is_bolt=is_bolt,
        picture=picture_of(one, system),
        rows=one_rows(one, system),
        fabric_facts=fabric_rows(one.fabric, system),
        length=cloth_length(one.length, system) if isinstance(one, Bolt) else "",
        garments=garment_names(),
        work=request.query_params.get("work", ""),
    )


def correct(request: Request) -> Response:
    """Correct what is known of a bolt, or the note of a leftover; what is left empty stays."""
    one = kept_one(request, request.path_params["tag"])
    asked = sent(request)
    length = asked.length("length") if "length" in asked else None
    washed = _state(asked)
    note = str(asked.raw("note")).strip() if asked.raw("note") is not None else None
    asked.finished()
    if note == one.note:
        note = None
    if isinstance(one, Bolt) and washed == one.washed:
        washed = None
    if length is None and washed is None and note is None:
        raise AskedError("", "nothing is different from what is known already")
    with opened(request) as base:
        base.correct(one.tag, length, washed, note)
    return JSONResponse({"go": f"/cloth/kept/{one.tag}"})


def take_out(request: Request) -> Response:
    """Take bolts or leftovers out, all of them or none; damaged ones, too."""
    asked = sent(request)
    tags = asked.raw("tags")
    if not isinstance(tags, list) or not tags or not all(isinstance(tag, str) for tag in tags):
        raise AskedError("tags", "names nothing that is kept")
    asked.finished()
    with opened(request) as base:
        base.remove(*tags)
    return JSONResponse({"go": "/cloth"})


def changes(request: Request) -> Response:
    """List what was taken out, corrected and cut."""
    found = contents(request)
    system = units(request)
    return page(
        request,
        "cloth_changes.html",
        "What was changed",
        "cloth",
        scripts=("cloth.js",),
        changes=[(one, changed_words(one)) for one in reversed(found.changes)],
        cuts=[(cut, cut_line(cut, system)) for cut in reversed(found.cuts)],
    )


def export_csv(request: Request) -> Response:
    """Hand over the stash as a table, as `stash export` writes it."""
    _require_any(request)
    with opened(request) as base:
        return handed_over(stash_to_csv(base), "text/csv", "stash.csv")


def export_json(request: Request) -> Response:
    """Hand over the stash with its cuts, for `stash import`."""
    _require_any(request)
    with opened(request) as base:
        text = json.dumps(stash_to_data(base), indent=1)
    return handed_over(text, "application/json", "stash.json")


def _require_any(request: Request) -> None:
    if not surroundings(request).stash.exists():
        raise NotThereError("there is no stash yet; put in a bolt or a leftover first")


def undo(request: Request) -> Response:
    """Undo what was taken out or corrected: the change of a number."""
    asked = sent(request)
    number = asked.whole("number", 1, 2**31)
    asked.finished()
    with opened(request) as base:
        change = base.undo(number)
    return JSONResponse({"well": undone_words(change)})


def _fabric(asked: Asked) -> Fabric:
    """A fabric of a shelf, or a plain width; never a file elsewhere."""
    return asked.read("fabric", lambda: find_fabric(asked.text("fabric"), files=False))


def _state(asked: Asked) -> bool | None:
    return STATES[asked.one_of("washed", STATES, "as it is")]


def _measured(asked: Asked, fabric: Fabric, note: str) -> NewLeftover:
    """A leftover as it is typed: a rectangle, or corners, holes and the direction of the warp."""
    if asked.text("shape", "rectangle") == "rectangle":
        field = "rectangle"
        for other in ("points", "holes", "warp"):
            asked.raw(other)
        size = asked.read("rectangle", lambda: parse_size(asked.text("rectangle")))
        outer, inner, warp = rectangle_ring(*size), [], 0.0
    else:
        field = "points"
        asked.raw("rectangle")
        outer = asked.read("points", lambda: parse_points(asked.text("points")))
        lines = [line for line in asked.text("holes", "").splitlines() if line.strip()]
        inner = [asked.read("holes", partial(parse_points, line)) for line in lines]
        warp = _degrees(asked)
    try:
        return measured_leftover(fabric, outer, tuple(inner), warp, note)
    except NoLeftoverError as error:
        raise AskedError(field, str(error)) from error


def _degrees(asked: Asked) -> float:
    text = asked.text("warp", "0")
    try:
        value = float(text.replace(",", ".").removesuffix("°"))
    except ValueError:
        value = math.inf
    if not math.isfinite(value):
        raise AskedError("warp", f"'{text[:20]}' is no direction; degrees, such as 90")
    return value


ROUTES = [
    Route("/cloth/bolt", bolt_form),
    Route("/cloth/bolt", put_bolt, methods=["POST"]),
    Route("/cloth/leftover", leftover_form),
    Route("/cloth/leftover", put_leftover, methods=["POST"]),
    Route("/cloth/leftover/picture", look_at_leftover),
    Route("/cloth/kept/{tag}", kept),
    Route("/cloth/kept/{tag}/correct", correct, methods=["POST"]),
    Route("/cloth/out", take_out, methods=["POST"]),
    Route("/cloth/changes", changes),
    Route("/cloth/stash.csv", export_csv),
    Route("/cloth/stash.json", export_json),
    Route("/cloth/undo", undo, methods=["POST"]),
]
