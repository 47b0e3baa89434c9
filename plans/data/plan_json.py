"""A plan as versioned JSON, and back. Lengths in mm, cloth coordinates of the washed cloth.

The names at the top and under `fabrics` are fixed, so that others can check a plan; what else
`show` needs to draw it again stands under `details`.
"""

from __future__ import annotations

import math
from typing import Any

from fabrics.fabric_data import fabric_to_data
from pieces.files.json_file import MOST_FINDINGS, shown
from pieces.geometry_types import Point, Ring
from plans.data.leftover_data import (
    allowances_to_data,
    cut_to_data,
    leftover_to_data,
    saving_to_data,
)
from plans.errors import PlanError
from plans.plan import FabricPlan, PlacedPiece, Plan

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
        "fold": entry.fold.value,
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
        "laid_mm": number(entry.laid),
        "slide_mm": number(entry.slide),
        "bound_mm": number(entry.bound),
        "bound_kind": entry.bound_kind.value,
        "boxes_mm": number(entry.boxes),
        "buy_mm": number(entry.purchase.bought),
        "min_width_mm": number(entry.min_width),
        "utilisation": number(entry.utilisation),
        "waste": number(round(entry.leftover_share, DECIMALS) + round(entry.scrap_share, DECIMALS)),
        "leftover_share": number(entry.leftover_share),
        "scrap_share": number(entry.scrap_share),
        "cost": None if entry.purchase.cost is None else round(entry.purchase.cost, 2),
        "currency": entry.purchase.currency,
        "ended_by": entry.ended_by.value,
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
                    "fold": report.fold.value,
                    "buy_mm": number(report.buy),
                    "length_mm": number(report.length),
                    "reason": report.reason,
                }
                for report in entry.other_folds
            ],
            "notes": list(entry.notes),
            "warnings": list(entry.warnings),
            "allowances": allowances_to_data(entry.allowances),
        },
    }


def _placement(placed: PlacedPiece) -> dict[str, Any]:
    return {
        "piece": placed.piece,
        "plies": [ply.value for ply in placed.plies],
        "copies": [
            {
                "outline": _ring(copy.outline),
                "hand": copy.hand.value,
                "ply": copy.ply.value,
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
        "pin_edges": [pin.edge.value for pin in placed.pins],
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


def plan_from_json(data: Any, file: str = "the plan") -> Plan:
    """Read a plan back from plain data.

    Parameters
    ----------
    data : object
        What the JSON holds.
    file : str
        Its name, for messages.

    Raises
    ------
    PlanFileError
        If it is no plan, of a later version, or damaged: with every field that is missing or
        wrong.
    """
    from plans.data.plan_reading import read_plan_data

    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise PlanFileError(f'{file}: is no plan: its format is not "{FORMAT}"')
    version = data.get("version")
    if isinstance(version, bool) or version != VERSION:
        raise PlanFileError(
            f"{file}: is a plan of version {shown(version)}; this program reads version {VERSION}"
        )
    plan, findings = read_plan_data(data, file)
    if findings:
        # The file's name stands before all of them.
        listed = "\n".join(f"  {str(finding).removeprefix(f'{file}, ')}" for finding in findings)
        more = "\n  and more" if len(findings) >= MOST_FINDINGS else ""
        raise PlanFileError(f"{file}: is a damaged plan; plan again, or mend it:\n{listed}{more}")
    return plan
