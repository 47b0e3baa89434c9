"""A picture of a garment's seams: edges that are sewn together bear one number; faults a cross."""

from __future__ import annotations

import math
import textwrap
from collections import defaultdict
from pathlib import Path

from pieces.drafting.draft import point_along
from pieces.drafting.garment import Garment
from pieces.geometry_types import Point
from pieces.lengths import unit_system
from pieces.seams.mismatch import Mismatch
from pieces.seams.summary import seam_words
from pieces.seams.walk import WalkedSeam, compare_shorter, walk
from plans.drawing import look
from plans.drawing.garment.piece_picture import ROW_MM, PieceSheet, draw_pieces, save_figure
from plans.drawing.writing import say

LINE_MM = 4.2
"""Height of a line of the list below the pieces, mm of paper."""

LETTERS = 150
"""Letters in a line of the list."""

SAME_PLACE_MM = 5.0
"""Faults nearer together than this share a cross, mm of paper."""

SHADES = ("#1f5f8b", "#a8480f", "#2f6b3a", "#7a3b78", "#6b5a10", "#444444")
"""Edges of neighbouring numbers differ in colour, too; the number alone tells which meet."""


def write_seam_picture(garment: Garment, path: Path) -> None:
    """Draw the pieces with their seams numbered, and list below what meets and what does not.

    Raises
    ------
    PlanError
        If the ending names no picture or the file cannot be written.
    """
    walked = [seam for seam in walk(garment) if seam is not None]
    faults = [fault for seam in walked for fault in seam.mismatches]
    faults += [fault for fault in compare_shorter(garment) if fault is not None]
    lines = [
        (f"{number}   {seam_words(seam, garment.unit)}", _shade(number))
        for number, seam in enumerate(walked, start=1)
    ]
    for letter, fault in zip(_letters(len(faults)), faults, strict=True):
        wrapped = textwrap.wrap(fault.message, LETTERS)
        lines += [
            (f"{letter if k == 0 else ' '}   {part}", look.FLAW) for k, part in enumerate(wrapped)
        ]
    sheet = draw_pieces(
        garment, path, unit_system(garment.unit or "cm"), footer=LINE_MM * (len(lines) + 2)
    )
    _draw_edges(sheet, walked)
    _draw_faults(sheet, list(zip(_letters(len(faults)), faults, strict=True)))
    _list(sheet, lines)
    save_figure(sheet.figure, path)


def _shade(number: int) -> str:
    return SHADES[(number - 1) % len(SHADES)]


def _letters(count: int) -> list[str]:
    return [chr(ord("A") + k % 26) * (1 + k // 26) for k in range(count)]


def _draw_edges(sheet: PieceSheet, walked: list[WalkedSeam]) -> None:
    """Each sewn edge thick, its numbers spaced along it."""
    numbers: dict[tuple[str, str], list[int]] = defaultdict(list)
    lines = {}
    for number, seam in enumerate(walked, start=1):
        for edge in (*seam.edges[0], *seam.edges[1]):
            key = edge.named.piece, edge.named.edge
            if number not in numbers[key]:
                numbers[key].append(number)
            lines[key] = edge.edge
    for (piece, name), found in numbers.items():
        if piece not in sheet.moves:
            continue
        line = lines[piece, name]
        points = [_moved(sheet, piece, point) for point in line.points]
        sheet.axes.plot(
            [x for x, _ in points], [y for _, y in points], color=_shade(found[0]), linewidth=2.4,
            alpha=0.75, zorder=6,
        )  # fmt: skip
        for k, number in enumerate(found, start=1):
            at = point_along(line, line.length * (k - 0.6) / len(found))
            _badge(sheet, _moved(sheet, piece, at), str(number), _shade(number))


def _draw_faults(sheet: PieceSheet, faults: list[tuple[str, Mismatch]]) -> None:
    """A cross at each place, and beside it the letters of all faults that lie there."""
    crosses: list[tuple[Point, list[str]]] = []
    for letter, fault in faults:
        for piece, at in fault.places:
            if piece not in sheet.moves:
                continue
            place = _moved(sheet, piece, at)
            near = [c for c in crosses if math.dist(c[0], place) < SAME_PLACE_MM * sheet.scale]
            if near:
                near[0][1].append(letter)
            else:
                crosses.append((place, [letter]))
    for (x, y), letters in crosses:
        sheet.axes.plot([x], [y], marker="x", markersize=8, color=look.FLAW, mew=1.8, zorder=8)
        say(
            sheet.axes, x + 2.4 * sheet.scale, y + 2.0 * sheet.scale,
            " ".join(dict.fromkeys(letters)), fontsize=7.5, weight="bold", color=look.FLAW,
            zorder=9,
            bbox={"boxstyle": "square,pad=0.1", "facecolor": "white", "alpha": 0.8,
                  "linewidth": 0},
        )  # fmt: skip


def _badge(sheet: PieceSheet, at: Point, text: str, colour: str) -> None:
    say(
        sheet.axes, *at, text, fontsize=6.5, color=colour, ha="center", va="center", zorder=7,
        bbox={"boxstyle": "circle,pad=0.25", "facecolor": "white", "edgecolor": colour,
              "linewidth": 0.8},
    )  # fmt: skip


def _moved(sheet: PieceSheet, piece: str, at: Point) -> Point:
    dx, dy = sheet.moves[piece]
    return at[0] + dx, at[1] + dy


def _list(sheet: PieceSheet, lines: list[tuple[str, str]]) -> None:
    tall = float(sheet.figure.get_figheight()) * 25.4
    for k, (line, colour) in enumerate(lines):
        say(
            sheet.figure, 6.0 / ROW_MM, (sheet.footer - LINE_MM * (k + 1)) / tall, line,
            fontsize=8, color=colour, va="center", ha="left",
        )  # fmt: skip
