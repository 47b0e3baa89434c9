"""A new plan: the form, its parts that depend on the garments, and beginning the search."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request as Asking
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from layout.effort import MOST_MEMBERS
from pieces.errors import PieceError
from plans.errors import PlanError
from plans.folds.jobs import jobs_for
from plans.order import MOST_PROVE_S, MOST_SEED
from plans.orders.making import order_of
from plans.orders.request import MOST_MAKES, GarmentAsked, Request
from plans.page.asking import sent
from plans.page.planning.choices import (
    EFFORTS,
    TYPED,
    WITH,
    Group,
    cloth_groups,
    fold_choices,
    garment_groups,
    is_garment,
    loaded,
    roles_of,
)
from plans.page.planning.filled import NUMBERED, YES, Fields, from_query, from_request
from plans.page.planning.tasks.laying import Place, lay
from plans.page.planning.titles import titled
from plans.page.planning.typed_order import MOST_ROWS, typed_order
from plans.page.rendering import page, templates
from plans.page.settings import units
from plans.page.surroundings import surroundings
from plans.page.work.streams import jobs

SUBJECT = "/plans"


def new(request: Asking) -> Response:
    """Show the form, filled by the address, or by what a former search was asked for (`again`).

    `cloth` alone is that of the first role.
    """
    cloths = cloth_groups(surroundings(request).stash)
    fields = from_query(dict(request.query_params), cloths)
    again = request.query_params.get("again", "")
    if again:
        asked = jobs(request).of(again).arguments[0]
        if isinstance(asked, Request):
            fields = from_request(asked, cloths)
    garments = garment_groups()
    if not any(name.startswith("garment-") for name in fields):
        first = next((choice.value for group in garments for choice in group.choices), "")
        fields["garment-1"] = first
    values = _cloth_values(fields, cloths)
    if "cloth" in request.query_params and values["roles"]:
        first_role = f"cloth-{values['roles'][0]}"
        fields |= from_query({first_role: request.query_params["cloth"]}, cloths)
    return page(
        request, "plan_new.html", "A new plan", "plans", scripts=("plan_new.js",),
        rows=_rows(fields), garments=garments, fields=fields, folds=fold_choices(),
        efforts=EFFORTS, most_makes=MOST_MAKES, most_seed=MOST_SEED, most_members=MOST_MEMBERS,
        most_rows=MOST_ROWS, most_prove=MOST_PROVE_S,
        yes=YES, usual=Request(()), **values,
    )  # fmt: skip


def parts(request: Asking) -> Response:
    """Answer with what depends on the garments: their sizes, and the fields for cloth."""
    cloths = cloth_groups(surroundings(request).stash)
    fields = from_query(dict(request.query_params), cloths)
    html = templates().get_template("plan_cloth.html").render(
        units=units(request), fields=fields, **_cloth_values(fields, cloths)
    )  # fmt: skip
    sizes = {f"size-{row['number']}": row["sizes"] for row in _rows(fields)}
    return JSONResponse({"cloth": html, "sizes": sizes})


def begin(request: Asking) -> Response:
    """Begin to search for what the form says, if it is sound."""
    wanted = typed_order(sent(request), units(request), surroundings(request).stash)
    return begun(request, wanted)


def begun(request: Asking, wanted: Request) -> Response:
    """Begin to search for what is wanted, and answer with where that is seen.

    Raises
    ------
    PieceError, PlanError, FabricError
        As `order_of` and `jobs_for`.
    """
    where = Place.of(surroundings(request))
    order = order_of(wanted, where.stash, loaded)
    jobs_for(order)
    title = titled(order.garment.title, order.makes)
    job = jobs(request).begin(title, SUBJECT, lay, wanted, where)
    return JSONResponse({"go": f"{SUBJECT}?work={job.name}", "work": job.name})


def _rows(fields: Fields) -> list[dict[str, Any]]:
    """Garments that are chosen, with the sizes that each has."""
    rows: list[dict[str, Any]] = []
    for number in range(1, MOST_ROWS + 1):
        name, size, count = (fields.get(f"{field}{number}", "") for field in NUMBERED)
        if not name:
            continue
        row: dict[str, Any] = {"number": len(rows) + 1, "name": name, "size": size, "count": count}
        row["sizes"], row["finding"] = [], ""
        if is_garment(name):
            try:
                row["sizes"] = list(loaded(name, None).sizes)
            except (PieceError, PlanError) as error:
                row["finding"] = str(error)
        else:
            row["finding"] = f"'{name}' is no garment on your shelf"
        rows.append(row)
    return rows


def _cloth_values(fields: Fields, cloths: tuple[Group, ...]) -> dict[str, Any]:
    """What the template of the fields for cloth is given."""
    rows = [row for row in _rows(fields) if not row["finding"]]
    roles: tuple[str, ...] = ()
    if rows:
        try:
            roles = roles_of(tuple(GarmentAsked(row["name"]) for row in rows))
        except (PieceError, PlanError):
            roles = ()
    if roles and "cloth" in fields:
        fields.setdefault(f"cloth-{roles[0]}", fields.pop("cloth"))
    return {"roles": roles, "cloths": cloths, "TYPED": TYPED, "WITH": WITH}


ROUTES = [
    Route("/new/plan", new),
    Route("/new/plan", begin, methods=["POST"]),
    Route("/new/plan/parts", parts),
]
