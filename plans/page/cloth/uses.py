"""What a leftover is good for: worked out in a process of its own, told garment by garment."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from fabrics.stash.records import Bolt
from fabrics.stash.store import Stash
from pieces.lengths import GAP_MM, System, format_length, parse_length
from pieces.readers.shelf import all_names
from plans.orders.amounts import parse_size
from plans.page.asking import Asked, AskedError, sent
from plans.page.cloth.stash import kept_one
from plans.page.settings import units
from plans.page.surroundings import surroundings
from plans.page.work.process import Tell
from plans.page.work.streams import address, jobs

JOIN_MM = 6.0
"""Seam allowance of a join of strips where none is said, as on the command line."""

MOST_ASKED = 20
"""Strips or rectangles that are asked for at once."""


def uses(request: Request) -> Response:
    """Begin to work out what a leftover is good for."""
    one = kept_one(request, request.path_params["tag"])
    if isinstance(one, Bolt):
        raise AskedError("", f"{one.tag} is a bolt; plan on it instead")
    asked = sent(request)
    garment = asked.text("garment", "")
    if garment and garment not in all_names():
        raise AskedError("garment", f"'{garment}' is no garment on the shelf")
    wish = {
        "garments": (garment,) if garment else (),
        "widths": tuple(_lengths(asked, "bias")),
        "sizes": [
            asked.read("rectangle", partial(parse_size, text))
            for text in _parts(asked, "rectangle")
        ],
        "either_way": asked.flag("either_way"),
        "gap": asked.length("gap", GAP_MM),
        "join": asked.length("join", JOIN_MM),
    }
    asked.finished()
    job = jobs(request).begin(
        f"What {one.tag} is good for", f"/cloth/kept/{one.tag}", uses_task,
        str(surroundings(request).stash), one.tag, units(request).value, wish,
    )  # fmt: skip
    return JSONResponse(address(job))


def uses_task(
    tell: Tell, stash: str, tag: str, system: str, wish: dict[str, Any]
) -> dict[str, Any]:
    """Work it out; see `plans.leftover_use.answer.find_uses` for what is asked.

    Asked to end it hands over the pieces that it has found.
    """
    from plans.leftover_use.answer import PieceUse, find_uses, left_out_words

    shown = System(system)
    told: list[dict[str, Any]] = []

    def on_garment(done: int, total: int, pieces: list[PieceUse]) -> None:
        told.extend(_row(use) for use in pieces if use.fit)
        tell({"kind": "garments", "done": done, "of": total, "pieces": told})

    with Stash(Path(stash), system=shown) as base:
        one = base.leftover(tag)
    try:
        found = find_uses(one, one.region.polygon, on_garment=on_garment, **wish)
    except KeyboardInterrupt:
        nothing: dict[str, Any] = {
            name: [] for name in ("together", "left_out", "strips", "rectangles")
        }
        return {**nothing, "pieces": told, "ended": True}

    def tape(length: float) -> str:
        return format_length(length, shown)

    return {
        "ended": False,
        "pieces": [_row(use) for use in found.pieces if use.fit],
        "together": list(found.together),
        "left_out": [left_out_words(name, why) for name, why in found.left_out],
        "strips": [
            [tape(y.width), tape(y.joined), str(y.joins), tape(y.longest) if y.parts else "-"]
            for y in found.bias
        ],
        "rectangles": [
            f"{count} rectangles of {tape(along)} along the grain x {tape(across)}"
            for along, across, count in found.rectangles
        ],
    }


def _row(use: Any) -> dict[str, str]:
    joined = f", of {use.parts} parts each" if use.parts > 1 else ""
    return {
        "garment": use.garment, "role": use.role, "piece": use.piece,
        "fit": f"{use.fit} of {use.wanted}{joined}",
    }  # fmt: skip


def _parts(asked: Asked, field: str) -> list[str]:
    parts = [part.strip() for part in asked.text(field, "").split(";") if part.strip()]
    if len(parts) > MOST_ASKED:
        raise AskedError(field, f"asks for more than {MOST_ASKED} at once")
    return parts


def _lengths(asked: Asked, field: str) -> list[float]:
    found = [asked.read(field, partial(parse_length, text)) for text in _parts(asked, field)]
    if any(length <= 0.0 for length in found):
        raise AskedError(field, "is no width of a strip")
    return found


ROUTES = [Route("/cloth/kept/{tag}/uses", uses, methods=["POST"])]
