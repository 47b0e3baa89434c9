"""The views: the page, and what is said of a lay as its pieces are moved."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from fabrics.buying import purchase
from fabrics.lay_edges import end_name, lay_edges
from layout.layout import Placement, posed
from layout.problem import Pose
from pieces.errors import PieceError
from pieces.lengths import System, format_length
from plans.by_hand.judged import judged, require_sound
from plans.by_hand.moves import turned, turned_over
from plans.by_hand.reopened import OpenLay
from plans.by_hand.snapping import Held
from plans.errors import PlanError
from plans.outputs.folder import PLAN_FILE
from plans.page.asking import Asked, AskedError, sent
from plans.page.moving.drawn import drawn, lead
from plans.page.moving.state import State, indices, places_of, state_of
from plans.page.moving.table import Table, table
from plans.page.moving.tasks import Wanted, keep_moved, lay_again
from plans.page.names import plan_folder, sound_name
from plans.page.planning.tasks.laying import Place
from plans.page.rendering import page
from plans.page.surroundings import surroundings
from plans.page.work.streams import address, jobs
from plans.plan import FabricPlan
from plans.words.purchase_words import sold_text

SEEN_MM = 0.5
"""A difference in length that a tape shows."""

MOST_FABRICS = 1000

FARTHEST_SNAP_MM = 500.0


def moving(request: Request) -> Response:
    """Show a lay of a plan to move its pieces, or say why that cannot be."""
    folder = plan_folder(surroundings(request).plans, request.path_params["name"])
    at = _fabric(request.query_params.get("fabric", "1"))
    title = f"Move by hand: {folder.name}"
    try:
        open_table = table(request, at)
    except (PieceError, PlanError) as error:
        return page(
            request, "moving.html", title, "plans", name=folder.name, why=str(error).split("\n"),
            fabrics=(), at_fabric=at, pieces=(), stamp="",
        )  # fmt: skip
    plan = open_table.plan
    title = f"Move by hand: {plan.title}"
    stamp = (folder / PLAN_FILE).stat().st_mtime_ns
    return page(
        request, "moving.html", title, "plans", scripts=("moving.js",), name=folder.name, why=(),
        fabrics=[entry.fabric.title for entry in plan.fabrics], at_fabric=at,
        pieces=open_table.lay.entry.placements, stamp=f"{stamp}",
    )  # fmt: skip


def _fabric(text: str) -> int:
    return int(text) - 1 if text.isascii() and text.isdigit() and len(text) < 5 else 0


def lay(request: Request) -> Response:
    """Answer with what is drawn, and what is said of the lay as it is."""
    open_table = table(request, _fabric(request.query_params.get("fabric", "1")))
    return JSONResponse(drawn(open_table.lay) | _said(open_table, open_table.lay))


def judge(request: Request) -> Response:
    """Answer with what is wrong with a lay as it was left, and how long it is."""
    asked, open_table = _asked(request)
    state = state_of(asked, open_table.lay)
    index = _index(asked, state) if "piece" in asked else None
    asked.raw("piece")
    asked.finished()
    return JSONResponse(_answer(open_table, state.lay, index))


def turn(request: Request) -> Response:
    """Turn a piece, or turn it over, and answer as `judge`."""
    asked, open_table = _asked(request)
    state = state_of(asked, open_table.lay)
    index = _index(asked, state)
    over, back = asked.flag("over"), asked.flag("back")
    asked.finished()
    after = turned_over(state.lay, index) if over else turned(state.lay, index, back)
    return JSONResponse(_answer(open_table, after, index))


def hold(request: Request) -> Response:
    """Answer with where a piece in the hand may not be: rings of its reference, and ranges."""
    asked, open_table = _asked(request)
    state = state_of(asked, open_table.lay)
    index = _index(asked, state)
    asked.finished()
    held = _held(state.lay, index)
    alike = {id(one.rings): one.rings for one in held.barred}
    order = {key: number for number, key in enumerate(alike)}
    return JSONResponse(
        {
            "rings": [[ring.round(2).tolist() for ring in rings] for rings in alike.values()],
            "barred": [
                [one.number, order[id(one.rings)], round(one.x, 2), round(one.y, 2)]
                for one in held.barred
            ],
            "ranges": [
                {
                    "x_from": way.x_from if way.x_fixed is None else way.x_fixed,
                    "x_to": way.x_fixed,
                    "y_from": way.y_from,
                    "y_to": way.y_to,
                }
                for way in held.ways
            ],
        }
    )


def snap(request: Request) -> Response:
    """Answer with the nearest place where a piece in the hand touches something; null for none."""
    asked, open_table = _asked(request)
    state = state_of(asked, open_table.lay)
    index = _index(asked, state)
    x, y, within = asked.number("x"), asked.number("y"), asked.number("within")
    asked.finished()
    if not 0.0 < within <= FARTHEST_SNAP_MM:
        farthest = format_length(FARTHEST_SNAP_MM, open_table.system)
        raise AskedError("within", f"is no distance up to {farthest}")
    found = _held(state.lay, index).snapped(x, y, within)
    if found is None:
        return JSONResponse({"snap": None})
    return JSONResponse({"snap": {"x": found.x, "y": found.y, "touches": list(found.touches)}})


def again(request: Request) -> Response:
    """Begin to lay everything again but what is kept."""
    asked, open_table = _asked(request)
    state = state_of(asked, open_table.lay)
    keep = indices(asked, "keep", len(state.lay.layout.placements))
    asked.finished()
    if not keep:
        raise AskedError("", "choose what is to stay where it is first")
    title = f"{open_table.plan.title}: laid again around what is kept"
    wanted = _wanted(open_table, state)
    subject = f"/plans/{open_table.folder.name}/move"
    job = jobs(request).begin(title, subject, lay_again, wanted, tuple(sorted(keep)))
    return JSONResponse(address(job))


def keep(request: Request) -> Response:
    """Begin to keep a lay as a plan of its own, if it may be cut so."""
    asked, open_table = _asked(request)
    state = state_of(asked, open_table.lay)
    name = asked.text("name")
    asked.read("name", lambda: sound_name(name, "plan"))
    asked.finished()
    require_sound(state.lay, open_table.system)
    place = Place.of(surroundings(request))
    title = f"{open_table.plan.title}: keeping it as {name}"
    subject = f"/plans/{open_table.folder.name}/move"
    wanted = _wanted(open_table, state)
    job = jobs(request).begin(title, subject, keep_moved, wanted, state.kept, name, place)
    return JSONResponse(address(job))


def _asked(request: Request) -> tuple[Asked, Table]:
    asked = sent(request)
    return asked, table(request, asked.whole("fabric", 1, MOST_FABRICS) - 1)


def _index(asked: Asked, state: State) -> int:
    return asked.whole("piece", 0, len(state.lay.layout.placements) - 1)


def _wanted(open_table: Table, state: State) -> Wanted:
    return Wanted(
        open_table.folder, open_table.at, open_table.system, state.lay.layout.placements,
        state.lay.by_hand, state.lay.shortest,
    )  # fmt: skip


def _answer(open_table: Table, lay: OpenLay, index: int | None) -> dict[str, Any]:
    """Where all pieces lie, what is said of them, and where one of them is, in words."""
    where = "" if index is None else _where(lay, index, open_table.system)
    return {"places": places_of(lay), "where": where} | _said(open_table, lay)


def _where(lay: OpenLay, index: int, system: System) -> str:
    """Where a piece lies: how far its nearest corner is from the end and from an edge."""
    placement = lay.layout.placements[index]
    item = lay.built.problem.items[placement.item]
    slot = item.slots[placement.slot]
    spread = lay.built.problem.spread(slot)
    points = posed(item.shapes[slot.shape], placement.pose, placement.x, placement.y)
    (x, low), high = points.min(axis=0), points[:, 1].max()
    first, last = lay_edges(spread)
    below, above = float(low) - first.at, last.at - float(high)
    edge, away = (first, below) if below <= above else (last, above)
    over = " (printed side down)" if placement.pose.flip else ""
    return (
        f"{lay.name(index)}{over}: "
        f"{format_length(float(x) + lead(lay, slot.section), system)} from the {end_name(spread)}, "
        f"{format_length(away, system)} from the {edge.name.value}"
    )


def _said(open_table: Table, lay: OpenLay) -> dict[str, Any]:
    """What is wrong with a lay, and what it takes, in words."""
    system = open_table.system
    wrong = judged(lay, system)
    return {
        "wrong": [{"numbers": list(one.numbers), "text": one.text} for one in wrong],
        "extents": list(lay.layout.extents),
        "figures": list(_figures(lay, system)),
    }


def _figures(lay: OpenLay, system: System) -> tuple[str, ...]:
    """How long a lay is and what is bought, beside what was found."""
    entry = lay.entry
    found, bought = _found(entry)
    length, more = lay.length, lay.length - found
    text = f"{format_length(length, system)} long"
    if abs(more) > SEEN_MM:
        than = f"{format_length(abs(more), system)} {'longer' if more > 0.0 else 'shorter'}"
        text += f", {than} than the lay that was found"
    else:
        text += ", as long as the lay that was found"
    now = purchase(length, entry.fabric, entry.purchase.margin).bought
    what = "to buy" if entry.fabric.on_hand is None else "to take"
    buy = f"{what}: {sold_text(entry, now, system)}"
    if abs(now - bought) > SEEN_MM:
        buy += (
            f" ({sold_text(entry, abs(now - bought), system)} {'more' if now > bought else 'less'})"
        )
    return text, buy


def _found(entry: FabricPlan) -> tuple[float, float]:
    if entry.changed is not None:
        return entry.changed.length, entry.changed.bought
    return entry.length, entry.purchase.bought


def _held(lay: OpenLay, index: int) -> Held:
    """A piece in the hand; kept while it is moved and nothing else is."""
    rest = tuple(p for k, p in enumerate(lay.layout.placements) if k != index)
    return _held_among(_Key(lay), rest, index, lay.layout.placements[index].pose)


class _Key:
    """A lay by the problem that it is of: what lies where is told apart beside it."""

    def __init__(self, lay: OpenLay) -> None:
        self.lay = lay

    def __hash__(self) -> int:
        return id(self.lay.ways)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and other.lay.ways is self.lay.ways


@lru_cache(maxsize=16)
def _held_among(key: _Key, _: tuple[Placement, ...], index: int, pose: Pose) -> Held:
    return Held(key.lay, index, pose)


ROUTES = [
    Route("/plans/{name}/move", moving),
    Route("/plans/{name}/move/lay", lay),
    Route("/plans/{name}/move/judge", judge, methods=["POST"]),
    Route("/plans/{name}/move/turn", turn, methods=["POST"]),
    Route("/plans/{name}/move/hold", hold, methods=["POST"]),
    Route("/plans/{name}/move/snap", snap, methods=["POST"]),
    Route("/plans/{name}/move/again", again, methods=["POST"]),
    Route("/plans/{name}/move/keep", keep, methods=["POST"]),
]
