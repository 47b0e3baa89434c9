"""All cloth at a glance: bolts and leftovers, found by what they should be like; both shelves."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from fabrics.plain import plain_fabric
from fabrics.shelf import ShelfFabric, on_shelves
from fabrics.stash.search import Wish, matching
from pieces.lengths import System, format_width
from plans.orders.amounts import parse_size
from plans.page.asking import Asked, AskedError, told_as_wrong
from plans.page.cloth.own_fabrics import taken_away
from plans.page.cloth.pictures import picture_of
from plans.page.cloth.stash import contents
from plans.page.rendering import page
from plans.page.settings import units
from plans.words.columns import cloth_length, format_area
from plans.words.lists.stash_tables import changed_words
from plans.words.lists.tables import fabric_rows

FIELDS = ("fabric", "colour", "fibre", "size", "either_way")

PLAIN = {
    System.METRIC: (
        ("140cm", "140 cm wide, selvages of 1 cm, without nap"),
        ("115cm,nap", "with nap: all heads point one way"),
        ("150cm,shrinkage=4%x2%", "loses 4 % along and 2 % across in the wash"),
        ("90cm,selvage=0,price=9.50/m,step=10cm", "no selvages; 9.50 a metre, cut every 10 cm"),
        ("140cm,washed,reversible", "washed already; both faces alike"),
        ("90cm,grainless", "without grain, as felt or interfacing: pieces lie any way round"),
    ),
    System.IMPERIAL: (
        ("54in", "54 in wide, selvages of 3/8 in, without nap"),
        ("45in,nap", "with nap: all heads point one way"),
        ("60in,shrinkage=4%x2%", "loses 4 % along and 2 % across in the wash"),
        ("36in,selvage=0,price=9.50/yd,step=1/8yd", "no selvages; 9.50 a yard, cut every 1/8 yd"),
        ("54in,washed,reversible", "washed already; both faces alike"),
        ("36in,grainless", "without grain, as felt or interfacing: pieces lie any way round"),
    ),
}
"""Plain widths that show what one may say of them, with what each means."""


def overview(request: Request) -> Response:
    """Show what is on hand, or what of it meets a wish, and what is on the shelves."""
    system = units(request)
    found = contents(request)
    asked = Asked({name: value for name, value in request.query_params.items() if name in FIELDS})
    wrong = ""
    bolts, leftovers = list(found.bolts), list(found.leftovers)
    looked_for = any(name in asked for name in FIELDS)
    try:
        bolts, leftovers = matching(bolts, leftovers, _wish(asked))
    except AskedError as error:
        wrong = str(error)
    shelves = on_shelves()
    latest = found.latest
    return page(
        request,
        "cloth.html",
        "Cloth",
        "cloth",
        scripts=("cloth.js",),
        found=found,
        looked_for=looked_for,
        wish={name: request.query_params.get(name, "") for name in FIELDS},
        wrong=wrong,
        bolts=[
            (
                one,
                picture_of(one, system),
                cloth_length(one.length, system),
                format_width(one.width, system),
            )
            for one in bolts
        ],
        leftovers=[
            (one, picture_of(one, system), format_area(one.region.area, system))
            for one in leftovers
        ],
        own=[_row(one, system) for one in shelves if one.own],
        demo=[_row(one, system) for one in shelves if not one.own],
        away=taken_away(),
        latest=latest,
        latest_words=changed_words(latest) if latest else "",
        plain=PLAIN[system],
    )


def _row(one: ShelfFabric, system: System) -> tuple[str, str, str]:
    if one.fabric is None:
        return one.name, "", "at fault: open it to see why"
    return one.name, format_width(one.fabric.width, system), one.fabric.title


def _wish(asked: Asked) -> Wish:
    size = None
    if "size" in asked:
        size = asked.read("size", lambda: parse_size(asked.text("size")))
    return Wish(
        asked.text("fabric", ""),
        asked.text("colour", ""),
        asked.text("fibre", ""),
        size,
        asked.text("either_way", "") != "",
    )


def plain(request: Request) -> Response:
    """Tell what a plain width that somebody types is understood as."""
    asked = Asked(dict(request.query_params))
    try:
        fabric = asked.read("width", lambda: plain_fabric(asked.text("width")))
    except AskedError as error:
        return JSONResponse(told_as_wrong(error))
    return JSONResponse({"title": fabric.title, "rows": fabric_rows(fabric, units(request))})


ROUTES = [Route("/cloth", overview), Route("/cloth/plain", plain)]
