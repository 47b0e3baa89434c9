"""Strokes of a sheet as lines in mm, y up, once it is known how large a pixel is."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from pieces.drawings.svg.sheet import Mark, Sheet, Stroke
from pieces.drawings.svg.viewport import PIXEL_MM
from pieces.findings import Finding, InputError
from pieces.geometry_types import Point
from pieces.lengths import format_in
from pieces.outline import CLOSED_MM, FLATNESS_MM, OutlineError
from pieces.readers.svg_curves import flatten

MOST_POINTS = 60_000
"""Of all lines of a drawing together, curves flattened."""

LARGEST_MM = 100_000.0
"""A drawing that goes farther than 100 m from its corner is at fault."""

LENGTHS_AGREE = 0.01
"""Two stated lengths agree if the scales that they give differ by no more than this share."""

FOLD_WORDS = frozenset(("fold", "foldline", "onfold"))

MEASURED_STEPS = 2000
"""A line is measured to this share of its extent."""


@dataclass(frozen=True)
class Line:
    """One part of a shape as a line, mm, y up.

    Attributes
    ----------
    mark : Mark
        The shape.
    groups : tuple of Mark
        Groups that it stands in, the outermost first.
    points : tuple of Point
    closed : bool
        Whether it closes; the first point is not repeated then.
    backwards : bool
        Whether its only arrow head is at its start.
    edges : tuple of (str, tuple of Point)
        The lines that it was joined of, each with what it is called.
    """

    mark: Mark
    groups: tuple[Mark, ...]
    points: tuple[Point, ...]
    closed: bool
    backwards: bool = False
    edges: tuple[tuple[str, tuple[Point, ...]], ...] = ()

    @property
    def words(self) -> frozenset[str]:
        """Words of its own id, title and classes."""
        return words_of((self.mark,))

    @property
    def is_fold(self) -> bool:
        """Whether it is called a fold line."""
        return bool(self.words & FOLD_WORDS)


def words_of(marks: Iterable[Mark]) -> frozenset[str]:
    """Return the words of the ids, titles and classes of elements: `grainLine-1` is grain, line."""
    found: set[str] = set()
    for mark in marks:
        for text in (mark.ident, mark.title, mark.classes):
            apart = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)
            found.update(re.findall(r"[a-z]+", apart.lower()))
    return frozenset(found)


def pixel_size(sheet: Sheet, lengths: dict[str, float], file: str) -> float | None:
    """Return the size of a pixel in mm; None, with a finding, if nothing tells.

    A stated length counts over the size that the document states; each further one must agree
    with the first within 1 %.

    Parameters
    ----------
    sheet : Sheet
        Findings are added to it.
    lengths : dict of str to float
        What the line of an id measures, mm.
    file : str
        For messages.
    """
    found: list[tuple[str, float, float]] = []
    for name, length in lengths.items():
        every = sheet.strokes + sheet.left_out
        strokes = [s for s in every if name in (s.mark.ident, s.mark.title)]
        strokes = strokes or [s for s in every if _stands_in(s, name)]
        drawn = sum(_measured(stroke) for stroke in strokes[:1])
        if len(strokes) != 1 or drawn <= 0.0:
            many = f"{len(strokes)} lines are" if len(strokes) > 1 else "no line is"
            _fault(sheet, file, f"{many} called '{name}', so that its length tells nothing",
                   _ids(sheet))  # fmt: skip
            continue
        found.append((name, length, drawn))
    if not found:
        if sheet.physical:
            if sheet.in_pixels:
                _ask_pixels(sheet, file)
            return PIXEL_MM
        if not lengths:
            _fault(
                sheet, file, "says nothing of its real size",
                f"say what one line of it measures: --length ID=26.5cm; {_ids(sheet)}",
            )  # fmt: skip
        return None
    first, length, drawn = found[0]
    size = length / drawn
    for name, other, drawn_other in found[1:]:
        if abs(other / (drawn_other * size) - 1.0) > LENGTHS_AGREE:
            _fault(
                sheet, file,
                f"'{first}' is to be {format_in(length, sheet.unit)} and '{name}' "
                f"{format_in(other, sheet.unit)}, but if the first is right, the second is "
                f"{format_in(drawn_other * size, sheet.unit)} as drawn",
                "measure both again; they must agree within 1 %",
            )  # fmt: skip
    if sheet.physical and abs(size / PIXEL_MM - 1.0) > LENGTHS_AGREE:
        _fault(
            sheet, file,
            f"by its own size '{first}' is {format_in(drawn * PIXEL_MM, sheet.unit)} long; you say "
            f"{format_in(length, sheet.unit)}, and everything is scaled to that",
            "measure it again, or leave --length out", fatal=False,
        )  # fmt: skip
    return size


def lines_of(sheet: Sheet, size: float, file: str) -> list[Line]:
    """Return every line of a sheet in mm, y up; faults are added to the sheet.

    Raises
    ------
    InputError
        If there are absurdly many points.
    """
    lines: list[Line] = []
    count = 0
    for stroke in sheet.strokes:
        try:
            for index in range(len(stroke.parts)):
                line = _line(stroke, index, size, MOST_POINTS - count)
                count += len(line.points)
                if len(line.points) > 1:
                    lines.append(line)
        except _TooManyError:
            words = f"has more than {MOST_POINTS:,} points; that is no drawing of a pattern"
            raise InputError([Finding(file, words, line=stroke.mark.line)]) from None
        except OutlineError as error:
            sheet.findings.append(
                Finding(file, f"{stroke.mark.place}: {error}", line=stroke.mark.line)
            )
    return lines


class _TooManyError(Exception):
    """There are more points than a drawing of a pattern has."""


def _line(stroke: Stroke, index: int, size: float, most: int) -> Line:
    part = stroke.parts[index]
    stretch = stroke.matrix.stretch * size
    if not math.isfinite(stretch) or stretch <= 0.0:
        raise OutlineError("its transforms leave nothing of it, or make it endless")
    flat: list[complex] = []
    for segment in part.segments:
        flat += flatten(segment, FLATNESS_MM / stretch)
        if len(flat) > most:
            raise _TooManyError
    points: list[Point] = []
    for place in flat:
        on_sheet = stroke.matrix.apply(place) * size
        if not (abs(on_sheet.real) <= LARGEST_MM and abs(on_sheet.imag) <= LARGEST_MM):
            raise OutlineError("it goes farther than 100 m from the corner of the drawing")
        point = (on_sheet.real, -on_sheet.imag + 0.0)
        if not points or point != points[-1]:
            points.append(point)
    closed = part.closed or (len(points) > 3 and math.dist(points[0], points[-1]) <= CLOSED_MM)
    if closed and len(points) > 1 and math.dist(points[0], points[-1]) <= CLOSED_MM:
        points.pop()
    return Line(stroke.mark, stroke.groups, tuple(points), closed, stroke.arrow_at_start)


def _measured(stroke: Stroke) -> float:
    """Length along a stroke in pixels, all its parts together."""
    total = 0.0
    for part in stroke.parts:
        for segment in part.segments:
            reach = max(abs(point - segment[1][0]) for point in segment[1])
            reach = max(reach, *map(abs, segment[2][:2])) if segment[2] else reach
            try:
                points = flatten(segment, max(reach, 1e-12) / MEASURED_STEPS)
            except OutlineError:
                return 0.0
            placed = [stroke.matrix.apply(point) for point in points]
            total += sum(abs(b - a) for a, b in pairwise(placed))
    return total if math.isfinite(total) else 0.0


def _stands_in(stroke: Stroke, name: str) -> bool:
    return any(name in (mark.ident, mark.title) for mark in stroke.groups)


def _ids(sheet: Sheet) -> str:
    """What lines are called, for a hint."""
    names = dict.fromkeys(
        name
        for stroke in sheet.strokes + sheet.left_out
        for name in (stroke.mark.ident or stroke.mark.title,
                     *(mark.ident or mark.title for mark in stroke.groups[-1:]))
        if name
    )  # fmt: skip
    if not names:
        return "none of its lines has an id yet: give one line an id"
    shown = ", ".join(list(names)[:8])
    return f"lines are called {shown}{', ...' if len(names) > 8 else ''}"


def _fault(sheet: Sheet, file: str, words: str, fix: str, fatal: bool = True) -> None:
    sheet.findings.append(Finding(file, words, fix=fix, fatal=fatal))


def _ask_pixels(sheet: Sheet, file: str) -> None:
    width = format_in(sheet.width * PIXEL_MM, sheet.unit)
    height = format_in(sheet.height * PIXEL_MM, sheet.unit)
    _fault(
        sheet, file,
        f"its size is in pixels, 1/96 in each, so that the whole is {width} x {height}; "
        "is that right?",
        "if not, say what one line of it measures: --length ID=26.5cm", fatal=False,
    )  # fmt: skip
