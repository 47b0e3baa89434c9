"""What is cut from leftovers as plain data for the plan's JSON, and back."""

from __future__ import annotations

from typing import Any

from fabrics.fabric_data import fabric_from_data, fabric_to_data
from pieces.geometry_types import Ring
from pieces.piece import EdgeAllowance
from plans.plan import Leftover, LeftoverCopy, LeftoverCut, PieceAllowance, Saving

DECIMALS = 6


def cut_to_data(cut: LeftoverCut) -> dict[str, Any]:
    """Return what is cut from one leftover; lengths in mm."""
    return {
        "tag": cut.tag,
        "roles": list(cut.roles),
        "fabric": fabric_to_data(cut.fabric),
        "outline": _plain(cut.outline),
        "holes": [_plain(hole) for hole in cut.holes],
        "gap_mm": cut.gap,
        "copies": [
            {
                "number": copy.number,
                "piece": copy.piece,
                "role": copy.role,
                "label": copy.label,
                "hand": copy.hand,
                "face_down": copy.face_down,
                "outline": _plain(copy.outline),
                "grain": _plain(copy.grain),
            }
            for copy in cut.copies
        ],
        "left": [leftover_to_data(left) for left in cut.left],
        "allowances": allowances_to_data(cut.allowances),
    }


def cut_from_data(data: dict[str, Any]) -> LeftoverCut:
    """Read it back; KeyError, TypeError or ValueError if it is damaged."""
    return LeftoverCut(
        tag=str(data["tag"]),
        roles=tuple(data["roles"]),
        fabric=fabric_from_data(data["fabric"]),
        outline=_ring(data["outline"]),
        holes=tuple(_ring(hole) for hole in data["holes"]),
        gap=float(data["gap_mm"]),
        copies=tuple(
            LeftoverCopy(
                int(copy["number"]), str(copy["piece"]), str(copy["role"]), str(copy["label"]),
                str(copy["hand"]), bool(copy["face_down"]), _ring(copy["outline"]),
                (_ring(copy["grain"])[0], _ring(copy["grain"])[1]),
            )
            for copy in data["copies"]
        ),
        left=tuple(leftover_from_data(left) for left in data["left"]),
        allowances=allowances_from_data(data.get("allowances", [])),
    )  # fmt: skip


def allowances_to_data(allowances: tuple[PieceAllowance, ...]) -> list[dict[str, Any]]:
    """Return the allowances of pieces, mm."""
    return [
        {
            "piece": one.piece,
            "net": one.net,
            "edges": [
                {"edge": e.edge, "width_mm": round(e.width, DECIMALS), "turned_up": e.turned_up}
                for e in one.edges
            ],
        }
        for one in allowances
    ]


def allowances_from_data(data: list[dict[str, Any]]) -> tuple[PieceAllowance, ...]:
    """Read them back; KeyError, TypeError or ValueError if they are damaged."""
    return tuple(
        PieceAllowance(
            str(one["piece"]),
            bool(one["net"]),
            tuple(
                EdgeAllowance(str(e["edge"]), float(e["width_mm"]), bool(e["turned_up"]))
                for e in one["edges"]
            ),
        )
        for one in data
    )


def leftover_to_data(left: Leftover) -> dict[str, Any]:
    """Return a region worth keeping."""
    return {
        "outline": _plain(left.outline),
        "holes": [_plain(hole) for hole in left.holes],
        "area_mm2": round(left.area, DECIMALS),
        "rectangle_mm": [round(value, DECIMALS) + 0.0 for value in left.rectangle],
    }


def leftover_from_data(data: dict[str, Any]) -> Leftover:
    """Read it back; KeyError, TypeError or ValueError if it is damaged."""
    x1, y1, x2, y2 = (float(value) for value in data["rectangle_mm"])
    return Leftover(
        _ring(data["outline"]),
        tuple(_ring(hole) for hole in data["holes"]),
        float(data["area_mm2"]),
        (x1, y1, x2, y2),
    )


def saving_to_data(saving: Saving) -> dict[str, Any]:
    """Return what leftovers save of a fabric."""
    return {
        "roles": list(saving.roles),
        "fabric": fabric_to_data(saving.fabric),
        "without_mm": round(saving.without, DECIMALS),
        "buy_mm": round(saving.bought, DECIMALS),
        "cost": None if saving.cost is None else round(saving.cost, 2),
        "currency": saving.currency,
    }


def saving_from_data(data: dict[str, Any]) -> Saving:
    """Read it back; KeyError, TypeError or ValueError if it is damaged."""
    return Saving(
        tuple(data["roles"]), fabric_from_data(data["fabric"]), float(data["without_mm"]),
        float(data["buy_mm"]), data["cost"], str(data["currency"]),
    )  # fmt: skip


def _plain(ring: tuple[tuple[float, float], ...]) -> list[list[float]]:
    return [[round(x, DECIMALS) + 0.0, round(y, DECIMALS) + 0.0] for x, y in ring]


def _ring(points: list[list[float]]) -> Ring:
    return tuple((float(x), float(y)) for x, y in points)
