"""A plan as versioned JSON, and back. Lengths in mm, cloth coordinates of the washed cloth.

The names at the top and under `fabrics` are fixed, so that others can check a plan; what else
`show` needs to draw it again stands under `details`.
"""

from __future__ import annotations

import math
from typing import Any

from fabrics.buying import Purchase
from fabrics.fabric import Fabric
from fabrics.fabric_data import fabric_from_data, fabric_to_data
from fabrics.spread import Fold, make_spread
from pieces.geometry_types import Point, Ring
from pieces.piece import MatchPoint
from plans.errors import PlanError
from plans.leftover_use.plain import (
    allowances_from_data,
    allowances_to_data,
    cut_from_data,
    cut_to_data,
    leftover_from_data,
    leftover_to_data,
    saving_from_data,
    saving_to_data,
)
from plans.plan import (
    Copy,
    FabricPlan,
    FoldReport,
    PinPoint,
    PlacedPiece,
    Plan,
    SectionPlan,
)

FORMAT = "laywright-plan"
VERSION = 1

DECIMALS = 6
"""Decimals of mm that are kept."""


class PlanFileError(PlanError):
    """A file that is no plan of this format and version; the message says what is wrong."""


def plan_to_json(plan: Plan) -> dict[str, Any]:
    """Turn a plan into plain data for JSON."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "garment": plan.garment,
        "title": plan.title,
        "makes": plan.makes,
        "complete": plan.complete,
        "missing_roles": list(plan.missing_roles),
        "cautions": list(plan.cautions),
        "fabrics": [_fabric_plan(entry) for entry in plan.fabrics],
        "on_leftovers": [cut_to_data(cut) for cut in plan.on_leftovers],
        "savings": [saving_to_data(saving) for saving in plan.savings],
    }


def _fabric_plan(entry: FabricPlan) -> dict[str, Any]:
    fabric = entry.fabric
    return {
        "roles": list(entry.roles),
        "fabric": fabric.name,
        "width_mm": number(fabric.width),
        "selvage_mm": number(fabric.selvage),
        "width_cut_mm": number(fabric.width_cut),
        "selvage_cut_mm": number(fabric.selvage_cut),
        "one_way": fabric.one_way,
        "gap_mm": number(entry.gap),
        "ends_mm": number(entry.ends),
        "fold": entry.fold,
        "sections": [
            {
                "name": section.name,
                "d1_mm": number(section.spread.d1),
                "d2_mm": number(section.spread.d2),
                "cloth_from_mm": number(section.cloth_from),
                "cloth_to_mm": number(section.cloth_to),
                "fold": section.spread.fold.value,
                "extent_mm": number(section.extent),
                "lay_length_mm": number(section.lay_length),
                "start_mm": number(section.start),
                "how": section.how,
            }
            for section in entry.sections
        ],
        "length_mm": number(entry.length),
        "bound_mm": number(entry.bound),
        "bound_kind": entry.bound_kind,
        "boxes_mm": number(entry.boxes),
        "buy_mm": number(entry.purchase.bought),
        "min_width_mm": number(entry.min_width),
        "utilisation": number(entry.utilisation),
        "waste": number(round(entry.leftover_share, DECIMALS) + round(entry.scrap_share, DECIMALS)),
        "leftover_share": number(entry.leftover_share),
        "scrap_share": number(entry.scrap_share),
        "cost": None if entry.purchase.cost is None else round(entry.purchase.cost, 2),
        "currency": entry.purchase.currency,
        "ended_by": entry.ended_by,
        "placements": [_placement(placed) for placed in entry.placements],
        "details": {
            "fabric": fabric_to_data(fabric),
            "purchase": {
                "exact_mm": number(entry.purchase.exact),
                "unwashed_mm": number(entry.purchase.unwashed),
                "margin_mm": number(entry.purchase.margin),
                "bought_washed_mm": number(entry.purchase.bought_washed),
            },
            "leftovers": [leftover_to_data(leftover) for leftover in entry.leftovers],
            "other_folds": [
                {
                    "fold": report.fold,
                    "buy_mm": number(report.buy),
                    "length_mm": number(report.length),
                    "reason": report.reason,
                }
                for report in entry.other_folds
            ],
            "notes": list(entry.notes),
            "allowances": allowances_to_data(entry.allowances),
        },
    }


def _placement(placed: PlacedPiece) -> dict[str, Any]:
    return {
        "piece": placed.piece,
        "plies": list(placed.plies),
        "copies": [
            {
                "outline": _ring(copy.outline),
                "hand": copy.hand,
                "ply": copy.ply,
                "heading_deg": number(copy.heading_deg),
            }
            for copy in placed.copies
        ],
        "number": placed.number,
        "role": placed.role,
        "label": placed.label,
        "section": placed.section,
        "lay_outline": _ring(placed.outline),
        "lay_grain": [_point(point) for point in placed.grain],
        "face_down": placed.face_down,
        "on_fold": placed.on_fold,
        "fold_edge": None if placed.fold_edge is None else [_point(p) for p in placed.fold_edge],
        "upper_only": placed.upper_only,
        "opened": placed.opened,
        "pins": [[number(pin.from_end), number(pin.from_edge)] for pin in placed.pins],
        "pin_edges": [pin.edge for pin in placed.pins],
        "match": [{"group": mark.group, "at": _point(mark.at)} for mark in placed.match],
    }


def number(value: float | None) -> float | None:
    """Round a length for a file; a figure that is none is refused."""
    if value is None:
        return None
    if not math.isfinite(value):
        raise PlanFileError(f"{value} is no figure of a plan")
    return round(float(value), DECIMALS) + 0.0


def _point(point: Point) -> list[float]:
    return [round(point[0], DECIMALS) + 0.0, round(point[1], DECIMALS) + 0.0]


def _ring(ring: Ring) -> list[list[float]]:
    return [_point(point) for point in ring]


def plan_from_json(data: Any) -> Plan:
    """Read a plan back from plain data.

    Raises
    ------
    PlanFileError
        If it is no plan, of a later version, or a field is missing or of the wrong kind.
    """
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise PlanFileError(f'is no plan: its format is not "{FORMAT}"')
    if data.get("version") != VERSION:
        raise PlanFileError(
            f"is a plan of version {data.get('version')!r}; this program reads version {VERSION}"
        )
    try:
        return Plan(
            garment=str(data["garment"]),
            title=str(data["title"]),
            makes=int(data["makes"]),
            fabrics=tuple(_read_fabric_plan(entry) for entry in data["fabrics"]),
            missing_roles=tuple(data["missing_roles"]),
            cautions=tuple(data["cautions"]),
            on_leftovers=tuple(cut_from_data(cut) for cut in data.get("on_leftovers", [])),
            savings=tuple(saving_from_data(saving) for saving in data.get("savings", [])),
        )
    except KeyError as error:
        raise PlanFileError(f"is a damaged plan: field {error} is missing") from error
    except (TypeError, ValueError, IndexError) as error:
        raise PlanFileError(f"is a damaged plan: {error}") from error


def _read_fabric_plan(data: dict[str, Any]) -> FabricPlan:
    details = data["details"]
    fabric = _read_fabric(data, details["fabric"])
    bought = details["purchase"]
    leftover_share, scrap_share = float(data["leftover_share"]), float(data["scrap_share"])
    return FabricPlan(
        roles=tuple(data["roles"]),
        fabric=fabric,
        fold=str(data["fold"]),
        sections=tuple(_read_section(entry, fabric) for entry in data["sections"]),
        placements=tuple(_read_placement(entry) for entry in data["placements"]),
        gap=float(data["gap_mm"]),
        ends=float(data["ends_mm"]),
        length=float(data["length_mm"]),
        bound=float(data["bound_mm"]),
        bound_kind=str(data["bound_kind"]),
        boxes=float(data["boxes_mm"]),
        purchase=Purchase(
            exact=float(bought["exact_mm"]),
            unwashed=float(bought["unwashed_mm"]),
            margin=float(bought["margin_mm"]),
            bought=float(data["buy_mm"]),
            bought_washed=float(bought["bought_washed_mm"]),
            cost=data["cost"],
            currency=str(data["currency"]),
        ),
        min_width=float(data["min_width_mm"]),
        utilisation=float(data["utilisation"]),
        leftovers=tuple(leftover_from_data(entry) for entry in details["leftovers"]),
        pieces_share=1.0 - leftover_share - scrap_share,
        leftover_share=leftover_share,
        scrap_share=scrap_share,
        other_folds=tuple(
            FoldReport(entry["fold"], entry["buy_mm"], entry["length_mm"], entry["reason"])
            for entry in details["other_folds"]
        ),
        notes=tuple(details["notes"]),
        ended_by=str(data["ended_by"]),
        allowances=allowances_from_data(details.get("allowances", [])),
    )


def _read_fabric(data: dict[str, Any], more: dict[str, Any]) -> Fabric:
    # Earlier plans of this version kept these beside the details only.
    beside = {
        "name": data["fabric"],
        "width_mm": data["width_mm"],
        "selvage_mm": data["selvage_mm"],
        "one_way": data["one_way"],
        "currency": data["currency"],
    }
    return fabric_from_data({**beside, **more})


def _read_section(data: dict[str, Any], fabric: Fabric) -> SectionPlan:
    fold = Fold(data["fold"])
    given = fold in (Fold.PARTIAL, Fold.DOUBLE)
    spread = make_spread(
        fold,
        fabric.width_cut,
        fabric.selvage_cut,
        float(data["d1_mm"]) if given else None,
        float(data["d2_mm"]) if fold is Fold.DOUBLE else None,
        fabric.faces,
    )
    return SectionPlan(
        name=str(data["name"]),
        spread=spread,
        extent=float(data["extent_mm"]),
        lay_length=float(data["lay_length_mm"]),
        start=float(data["start_mm"]),
        cloth_from=float(data["cloth_from_mm"]),
        cloth_to=float(data["cloth_to_mm"]),
        how=str(data["how"]),
    )


def _read_placement(data: dict[str, Any]) -> PlacedPiece:
    edge = data["fold_edge"]
    # Earlier plans of this version named one edge for both ends, and told the rest by a note.
    earlier = str(data.get("note", ""))
    names = data.get("pin_edges") or [data.get("pin_edge", "fold")] * 2
    tail, head = (
        PinPoint(float(a), float(b), str(name))
        for (a, b), name in zip(data["pins"], names, strict=True)
    )
    grain = _read_ring(data["lay_grain"])
    return PlacedPiece(
        number=int(data["number"]),
        piece=str(data["piece"]),
        role=str(data["role"]),
        label=str(data["label"]),
        section=int(data["section"]),
        plies=tuple(data["plies"]),
        outline=_read_ring(data["lay_outline"]),
        grain=(grain[0], grain[1]),
        face_down=bool(data["face_down"]),
        on_fold=bool(data["on_fold"]),
        fold_edge=None if edge is None else (_read_ring(edge)[0], _read_ring(edge)[1]),
        upper_only=bool(data.get("upper_only", "upper ply only" in earlier)),
        opened=bool(data.get("opened", "opened out" in earlier)),
        pins=(tail, head),
        copies=tuple(
            Copy(
                _read_ring(copy["outline"]),
                str(copy["hand"]),
                str(copy["ply"]),
                float(copy["heading_deg"]),
            )
            for copy in data["copies"]
        ),
        match=tuple(
            MatchPoint(str(mark["group"]), _read_ring([mark["at"]])[0])
            for mark in data.get("match", [])
        ),
    )


def _read_ring(points: list[list[float]]) -> Ring:
    return tuple((float(x), float(y)) for x, y in points)


def _read_rectangle(values: list[float]) -> tuple[float, float, float, float]:
    x1, y1, x2, y2 = (float(value) for value in values)
    return (x1, y1, x2, y2)
