"""What is cut from leftovers as plain data for the plan's JSON, and back."""

from __future__ import annotations

from typing import Any

from fabrics.fabric_data import fabric_to_data, read_fabric
from layout.hand import Hand
from pieces.files.json_file import LONGEST_MM, Fields
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
                "hand": copy.hand.value,
                "face_down": copy.face_down,
                "outline": _plain(copy.outline),
                "grain": _plain(copy.grain),
            }
            for copy in cut.copies
        ],
        "left": [leftover_to_data(left) for left in cut.left],
        "allowances": allowances_to_data(cut.allowances),
    }


def read_cut(data: Fields) -> LeftoverCut:
    """Read it back; what is wrong goes to the findings of `data`."""
    return LeftoverCut(
        tag=data.text("tag"),
        roles=data.texts("roles"),
        fabric=read_fabric(data.fields("fabric")),
        outline=data.ring("outline"),
        holes=data.rings("holes"),
        gap=data.number("gap_mm"),
        copies=tuple(_read_copy(copy) for copy in data.each("copies")),
        left=tuple(read_leftover(left) for left in data.each("left")),
        allowances=read_allowances(data),
    )


def _read_copy(data: Fields) -> LeftoverCopy:
    return LeftoverCopy(
        number=data.whole("number", 1),
        piece=data.text("piece"),
        role=data.text("role"),
        label=data.text("label"),
        hand=Hand(data.text("hand", [hand.value for hand in Hand])),
        face_down=data.flag("face_down"),
        outline=data.ring("outline"),
        grain=data.line_of("grain"),
    )


def allowances_to_data(allowances: tuple[PieceAllowance, ...]) -> list[dict[str, Any]]:
    """Return the allowances of pieces, mm."""
    return [
        {
            "piece": one.piece,
            "net": one.net,
            "parts": one.parts,
            "edges": [
                {"edge": e.edge, "width_mm": round(e.width, DECIMALS), "turned_up": e.turned_up}
                for e in one.edges
            ],
        }
        for one in allowances
    ]


def read_allowances(data: Fields) -> tuple[PieceAllowance, ...]:
    """Read the allowances of a plan or a leftover; earlier plans have none."""
    return tuple(
        PieceAllowance(
            piece=one.text("piece"),
            net=one.flag("net"),
            parts=one.whole("parts", 1, 1000, default=1),
            edges=tuple(
                EdgeAllowance(edge.text("edge"), edge.number("width_mm"), edge.flag("turned_up"))
                for edge in one.each("edges")
            ),
        )
        for one in data.each("allowances", default=[])
    )


def leftover_to_data(left: Leftover) -> dict[str, Any]:
    """Return a region worth keeping."""
    return {
        "outline": _plain(left.outline),
        "holes": [_plain(hole) for hole in left.holes],
        "area_mm2": round(left.area, DECIMALS),
        "rectangle_mm": [round(value, DECIMALS) + 0.0 for value in left.rectangle],
    }


def read_leftover(data: Fields) -> Leftover:
    """Read it back; what is wrong goes to the findings of `data`."""
    return Leftover(
        data.ring("outline"),
        data.rings("holes"),
        data.number("area_mm2", above=0.0, most=LONGEST_MM**2),
        data.rectangle("rectangle_mm"),
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


def read_saving(data: Fields) -> Saving:
    """Read it back; what is wrong goes to the findings of `data`."""
    return Saving(
        data.texts("roles"),
        read_fabric(data.fields("fabric")),
        data.number("without_mm"),
        data.number("buy_mm"),
        data.optional_number("cost", least=-1e12, most=1e12),
        data.text("currency"),
    )


def _plain(ring: tuple[tuple[float, float], ...]) -> list[list[float]]:
    return [[round(x, DECIMALS) + 0.0, round(y, DECIMALS) + 0.0] for x, y in ring]
