"""From drawn pieces and the user's answers to what a garment file would say.

That is what the one reader of garment files then reads, and what is written with `--out`: a
drawing and the garment file made from it are the same garment.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pieces.drawings.answers import Answers, merged
from pieces.drawings.drawn_piece import Drawing, DrawnPiece
from pieces.drawings.outline_edges import SIDES, straight_sides
from pieces.files.toml_file import nearest
from pieces.findings import Finding
from pieces.geometry_types import Point
from pieces.lengths import parse_length
from pieces.outline import Edge

ONE_ROLE = "main"
"""Role of what is cut where nobody names one."""

_ORDER = {
    key: index
    for index, key in enumerate(("name", "cut", "drawn", "allowance", "allowances", "turned_up",
                                 "fold", "grain", "turns", "hand", "start", "edges", "notches"))
}  # fmt: skip
"""Keys of a piece as they are written; others come behind."""

NOTCH_OFF_MM = 20.0
"""A notch farther than this from the outline belongs to nothing."""


def garment_data(drawing: Drawing, answers: Answers, findings: list[Finding]) -> dict[str, Any]:
    """Return what a garment file would say of a drawing, in its keys.

    Parameters
    ----------
    drawing : Drawing
    answers : Answers
        What the user adds; it counts over what the drawing says.
    findings : list of Finding
        Every fact that is missing is added to it, with the option that gives it.
    """
    unit = answers.unit or drawing.unit
    data: dict[str, Any] = {
        "title": drawing.title or _printable(Path(drawing.source).stem),
        **answers.head,
    }
    data["units"] = unit
    if drawing.sizes:
        data["sizes"] = list(drawing.sizes)
        data["drawn_size"] = drawing.drawn_size or drawing.sizes[0]
    names = dict.fromkeys(piece.name for piece in drawing.pieces)
    _known_pieces(drawing, answers, findings)
    pieces = []
    for name in names:
        alike = [piece for piece in drawing.pieces if piece.name == name]
        pieces.append(_in_sizes(alike, drawing, answers, unit, findings))
    data["piece"] = pieces
    return data


def _known_pieces(drawing: Drawing, answers: Answers, findings: list[Finding]) -> None:
    """Every answer is about a piece that is drawn."""
    known = dict.fromkeys(n for piece in drawing.pieces for n in (piece.ident, piece.name) if n)
    for name in answers.pieces:
        if name not in known:
            findings.append(
                Finding(
                    answers.source or drawing.source,
                    f"there is no piece '{name}' in {Path(drawing.source).name}",
                    fix=nearest(name, known) if known else None,
                )
            )


def _in_sizes(
    alike: Sequence[DrawnPiece],
    drawing: Drawing,
    answers: Answers,
    unit: str,
    findings: list[Finding],
) -> dict[str, Any]:
    """One piece, with what differs in its other sizes."""
    drawn = next((p for p in alike if p.size == drawing.drawn_size), alike[0])
    data = _one_piece(drawn, drawing, answers, unit, findings)
    others = {}
    for piece in alike:
        if piece is drawn or not piece.size:
            continue
        other = _one_piece(piece, drawing, answers, unit, [])
        others[piece.size] = {
            key: value
            for key, value in other.items()
            if key not in ("name", "cut") and value != data.get(key)
        }
        # What only the drawn size has is not passed on: a size without notches has none.
        gone = [
            key for key, value in data.items() if key not in other and isinstance(value, str | list)
        ]
        others[piece.size] |= {key: type(data[key])() for key in gone}
    if others:
        data["sizes"] = others
    return data


def _one_piece(
    piece: DrawnPiece,
    drawing: Drawing,
    answers: Answers,
    unit: str,
    findings: list[Finding],
) -> dict[str, Any]:
    told = answers.every
    for name in dict.fromkeys((piece.ident, piece.name)):
        told = merged(told, answers.pieces.get(name, {}))
    data: dict[str, Any] = {"name": piece.name}
    if piece.cuts:
        data["cut"] = {role or ONE_ROLE: label for role, label in piece.cuts}
    data |= _allowance(piece, unit)
    if piece.fold is not None:
        data["fold"] = piece.fold
    if piece.grain is not None:
        data["grain"] = [_point(end, unit) for end in piece.grain]
    if piece.hand != "right":
        data["hand"] = piece.hand
    data = merged(data, told)
    if data.get("fold") in SIDES:
        # The longest straight edge on that side is meant.
        sides = [edge.name for edge, side in straight_sides(piece.edges) if side == data["fold"]]
        data["fold"] = sides[0] if sides else data["fold"]
    if "allowance" in data and "drawn" not in data:
        data["drawn"] = "net"
    data |= {"start": _point(piece.edges[0].points[0], unit), "edges": _edges(piece.edges, unit)}
    notches = _notches(piece, drawing, unit, findings)
    if notches and "notches" not in told:
        data["notches"] = notches
    findings += _missing(piece, data, drawing)
    return dict(sorted(data.items(), key=lambda entry: _ORDER.get(entry[0], len(_ORDER))))


def _allowance(piece: DrawnPiece, unit: str) -> dict[str, Any]:
    if piece.net is False:
        return {"drawn": "with allowance"}
    if piece.allowance is not None:
        return {"drawn": "net", "allowance": _figure(piece.allowance, unit)}
    return {"drawn": "net"} if piece.net else {}


def _missing(piece: DrawnPiece, data: dict[str, Any], drawing: Drawing) -> list[Finding]:
    """What must be known of a piece and is not, each with the option that tells it."""
    name = piece.name
    role = f"{piece.role}: " if piece.role else ""
    asked = {
        "cut": (
            piece.asked or f"nothing says how often {piece.where} is cut",
            f'say --cut "{name}={role}1 on fold", "{name}={role}2" or the like, or write it as a '
            "text into the piece",
        ),
        "drawn": (
            f"nothing says whether {piece.where} includes the seam allowance",
            "say --allowance included, or --allowance 1.5cm if that is still to be added",
        ),
        "grain": (
            f"nothing says how the grain of {piece.where} runs",
            f'say --grain "{name}=up", or mark a line in it as the grain',
        ),
    }
    if data.get("drawn") == "net" and "allowance" not in data:
        words = f"nothing says how much is to be added to {piece.where}, which is net"
        asked["allowance"] = (words, f'say --allowance "{name}=1.5cm"')
    told = any(f.piece == piece.name and f.field == "fold" for f in drawing.findings)
    if _on_fold(data) and "fold" not in data and not told:
        sides = straight_sides(piece.edges)
        listed = ", ".join(f"{edge.name} ({side})" for edge, side in sides[:6])
        asked["fold"] = (
            f"{piece.where} is cut on the fold, and no line on its outline is marked as the fold",
            f'say --fold-edge "{name}=left" or name an edge; straight are {listed or "none"}',
        )
    return [
        Finding(drawing.source, message, piece.name, field, fix)
        for field, (message, fix) in asked.items()
        if field not in data
    ]


def _on_fold(data: dict[str, Any]) -> bool:
    cut = data.get("cut")
    labels = cut.values() if isinstance(cut, dict) else [cut]
    return any("fold" in str(label).lower() for label in labels)


def _edges(edges: tuple[Edge, ...], unit: str) -> list[dict[str, Any]]:
    listed = []
    for edge in edges:
        points: list[list[float]] = []
        for point in edge.points:
            written = _point(point, unit)
            if not points or written != points[-1]:
                points.append(written)
        way = points[1:]
        if way:
            listed.append({"name": edge.name, "to": way[0] if len(way) == 1 else way})
    return listed


def _notches(
    piece: DrawnPiece, drawing: Drawing, unit: str, findings: list[Finding]
) -> list[dict[str, Any]]:
    """Put each notch on the edge that is nearest to it."""
    from shapely.geometry import LineString
    from shapely.geometry import Point as Spot

    lines = [(edge.name, LineString(edge.points)) for edge in piece.edges]
    found: list[dict[str, Any]] = []
    for notch in piece.notches:
        name, line = min(lines, key=lambda entry: entry[1].distance(Spot(notch)))
        away = line.distance(Spot(notch))
        if away > NOTCH_OFF_MM:
            findings.append(
                Finding(
                    drawing.source,
                    f"a notch lies {away:.0f} mm away from the outline and is left out",
                    piece.name,
                    "notches",
                    fatal=False,
                )
            )
            continue
        along = _figure(line.project(Spot(notch)), unit)
        # The rounded figure may not be longer than the edge as it is written.
        mm, decimals = _written_in(unit)
        longest = math.floor(line.length / mm * 10**decimals - 1.0) / 10**decimals
        found.append({"edge": name, "at": max(0.0, min(along, longest))})
    return found


def _point(point: Point, unit: str) -> list[float]:
    return [_figure(point[0], unit), _figure(point[1], unit)]


@functools.lru_cache
def _written_in(unit: str) -> tuple[float, int]:
    """Length of a unit in mm, and the decimals that stand for 1 um of it or less."""
    mm = parse_length(f"1 {unit}")
    return mm, 3 + math.ceil(math.log10(mm))


def _figure(value: float, unit: str) -> float:
    mm, decimals = _written_in(unit)
    figure = round(value / mm, decimals) + 0.0
    return int(figure) if figure == int(figure) else figure


def _printable(name: str) -> str:
    """A file's name as a title: letters that are none become question marks."""
    return name.encode("utf-8", "replace").decode("utf-8")
