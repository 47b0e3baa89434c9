"""A lay as a light drawing in which any one piece can be lit; every outline stands in it once.

The drawing is a definition that pictures `use`: each shows a window of it, and its own piece again
in a bright fill with its grain arrow and the lines along which it is measured. One unit is one mm.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape as escape_markup
from itertools import pairwise

import shapely
from shapely.geometry import LineString, Polygon

from fabrics.lay_edges import end_name, lay_edges
from pieces.geometry_types import Point, Ring
from plans.drawing.sheets import shown_range
from plans.drawing.writing import clean, tied
from plans.plan import FabricPlan, LeftoverCopy, LeftoverCut, PlacedPiece

SMOOTH_MM = 1.0
"""How far a drawn outline may lie from the true one: less than a line's width on any screen."""

MARGIN = 0.12
"""Kept around the lay for the names of its edges, in heights of the lay."""

TEXT = 0.065
"""Size of figures and names, in heights of the lay."""

WINDOW = 1.9
"""A longer lay is shown in windows so many times as long as it is high."""

Line = tuple[Point, Point]

Shape = tuple[int, Ring, Line]
"""What is drawn of a piece: its number, outline and grain arrow."""


@dataclass(frozen=True)
class Lying:
    """What a card draws of its piece (lay mm).

    Outline, arrow, lines along which one measures, and places where a design must match.
    """

    outline: Ring
    arrow: Line
    measured: tuple[Line, ...]
    matches: tuple[Point, ...] = ()


@dataclass(frozen=True)
class LayPicture:
    """A lay that is defined under a key: its range along and across (mm), and its pieces."""

    key: str
    low: float
    high: float
    bottom: float
    top: float
    definition: str

    @property
    def height(self) -> float:
        """Extent across, mm."""
        return self.top - self.bottom

    @property
    def box(self) -> str:
        """What a drawing of all of it views."""
        return self._box(self.low, self.high)

    def whole(self, words: str, marks: str = "") -> str:
        """Show all of it in a drawing that holds the definition itself."""
        return (
            f'<svg class="drawn lay" viewBox="{self.box}" role="img" '
            f'aria-label="{_escape(words)}">{self.definition}{marks}</svg>'
        )

    def picture(self, numbers: Iterable[int], words: str, marks: str = "") -> str:
        """Show all of it, with some pieces lit."""
        return self._shown(self.low, self.high, numbers, words, marks)

    def piece_picture(self, number: int, lying: Lying, words: str) -> str:
        """Show a piece lit, in a window around it where the lay is long, and then also in all."""
        marks = self.marks(lying.arrow, lying.measured)
        marks += "".join(self._cross(place) for place in lying.matches)
        room = WINDOW * self.height
        if self.high - self.low <= 1.25 * room:
            return self.picture((number,), words, marks)
        xs = [x for x, _ in lying.outline]
        room = max(room, max(xs) - min(xs) + 0.2 * self.height)
        low = min(max(self.low, (min(xs) + max(xs) - room) / 2.0), max(self.low, self.high - room))
        strip = (
            f'<svg class="strip" viewBox="{self._box(self.low, self.high)}" aria-hidden="true">'
            f'<use href="#{self.key}"/>{self._lit(number)}</svg>'
        )
        return self._shown(low, min(self.high, low + room), (number,), words, marks) + strip

    def marks(self, arrow: Line, measured: tuple[Line, ...]) -> str:
        """The grain arrow of a piece, with a ring at its tail, and lines that are measured."""
        lines = "".join(f'<path class="measure" d="{self._path(line)}"/>' for line in measured)
        (x, y), head = self._at(arrow[0]), arrow[1]
        ring = f'<circle class="tail" cx="{x}" cy="{y}" r="{round(0.018 * self.height)}"/>'
        barbs = self._barbs(arrow[0], head)
        return f'{lines}<path class="arrow" d="{self._path(arrow)}{barbs}"/>{ring}'

    def measured(self, placed: PlacedPiece) -> tuple[Line, ...]:
        """From where to where one measures the two ends of an arrow on a section's lay."""
        lines: list[Line] = []
        for (x, y), pin in zip(placed.grain, placed.pins, strict=True):
            # An edge's name does not tell its place, its distance does.
            edge = min((self.bottom, self.top), key=lambda at: abs(abs(y - at) - pin.from_edge))
            lines += [((self.low, y), (x, y)), ((x, edge), (x, y))]
        return tuple(lines)

    def measured_on_leftover(self, copy: LeftoverCopy) -> tuple[Line, ...]:
        """The same on a leftover."""
        lines: list[Line] = []
        for x, y in copy.grain:
            lines += [((self.low, y), (x, y)), ((x, self.bottom), (x, y))]
        return tuple(lines)

    def _shown(
        self, low: float, high: float, numbers: Iterable[int], words: str, marks: str
    ) -> str:
        lit = "".join(self._lit(number) for number in numbers)
        return (
            f'<svg class="drawn" viewBox="{self._box(low, high)}" role="img" '
            f'aria-label="{_escape(words)}"><use href="#{self.key}"/>{lit}{marks}'
            f'<use href="#{self.key}n"/></svg>'
        )

    def _lit(self, number: int) -> str:
        return f'<use class="lit" href="#{self.key}-{number}"/>'

    def _box(self, low: float, high: float) -> str:
        pad = MARGIN * self.height
        return (
            f"{round(low - pad)} {round(-self.top - pad)} {round(high - low + 2 * pad)} "
            f"{round(self.height + 2 * pad)}"
        )

    def _at(self, point: Point) -> tuple[int, int]:
        return round(point[0]), round(-point[1])

    def _path(self, line: Line) -> str:
        (x1, y1), (x2, y2) = map(self._at, line)
        return f"M{x1} {y1}L{x2} {y2}"

    def _cross(self, place: Point) -> str:
        """A circled cross."""
        (x, y), r = self._at(place), round(0.02 * self.height)
        return (
            f'<path class="match" d="M{x - r} {y}h{2 * r}M{x} {y - r}v{2 * r}'
            f'M{x - r} {y}a{r} {r} 0 1 0 {2 * r} 0a{r} {r} 0 1 0 {-2 * r} 0"/>'
        )

    def _barbs(self, tail: Point, head: Point) -> str:
        """The two strokes of an arrow's head."""
        dx, dy = head[0] - tail[0], head[1] - tail[1]
        size = 0.035 * self.height / max(1e-9, (dx * dx + dy * dy) ** 0.5)
        ends = [
            self._at((head[0] - size * (dx + side * dy), head[1] - size * (dy - side * dx)))
            for side in (0.6, -0.6)
        ]
        (x, y) = self._at(head)
        return f"M{ends[0][0]} {ends[0][1]}L{x} {y}L{ends[1][0]} {ends[1][1]}"


def section_picture(entry: FabricPlan, index: int, key: str) -> LayPicture:
    """Define the lay of a section under a key that is its own in the document."""
    spread = entry.sections[index].spread
    low, high = shown_range(entry, index)
    height = spread.lay_height
    parts = [f'<path class="dead" d="{_box_path(low, 0.0, high, height)}"/>']
    for zone in spread.zones:
        kind = "cloth" if len(zone.plies) == 2 else "cloth single"
        box = _box_path(low, zone.y_from, high, zone.y_from + zone.height)
        parts.append(f'<path class="{kind}" d="{box}"/>')
    folds = [
        ((low, edge.at), (high, edge.at)) if edge.along else ((0.0, 0.0), (0.0, height))
        for edge in spread.fold_edges
    ]
    names = []
    for named in lay_edges(spread):
        y = named.at - 0.095 * height if named.at == 0.0 else named.at + 0.035 * height
        names.append(_text(low + 0.04 * height, y, TEXT * height, named.name.value, "edge"))
    x, middle = low - 0.035 * height, height / 2.0
    names.append(
        f'<g transform="rotate(-90 {round(x)} {round(-middle)})">'
        + _text(x, middle, TEXT * height, end_name(spread), "edge middle")
        + "</g>"
    )
    shapes = [(p.number, p.outline, p.grain) for p in entry.placements if p.section == index]
    return _defined(key, (low, high), (0.0, height), parts, folds, names, shapes)


def leftover_picture(cut: LeftoverCut, key: str) -> LayPicture:
    """Define a leftover, which lies in a single layer, under a key."""
    low, bottom, high, top = Polygon(cut.outline).bounds
    rings = "".join(_ring_path(ring) for ring in (cut.outline, *cut.holes))
    parts = [f'<path class="cloth single" fill-rule="evenodd" d="{rings}"/>']
    shapes = [(copy.number, copy.outline, copy.grain) for copy in cut.copies]
    return _defined(key, (low, high), (bottom, top), parts, [], [], shapes)


def _defined(
    key: str,
    along: tuple[float, float],
    across: tuple[float, float],
    cloth: list[str],
    folds: list[Line],
    names: list[str],
    shapes: list[Shape],
) -> LayPicture:
    """Put a lay together: cloth, pieces, folds; its figures and names apart, to be drawn on top."""
    size = TEXT * (across[1] - across[0])
    pieces = "".join(
        f'<path class="outline" id="{key}-{number}" d="{_ring_path(_smoothed(ring))}"/>'
        for number, ring, _ in shapes
    )
    lines = "".join(
        f'<path class="fold" d="M{round(a[0])} {round(-a[1])}L{round(b[0])} {round(-b[1])}"/>'
        for a, b in folds
    )
    figures = "".join(_number(*shape, size) for shape in shapes)
    definition = (
        f'<g id="{key}">{"".join(cloth)}<g class="pieces">{pieces}</g>{lines}</g>'
        f'<g id="{key}n">{figures}{"".join(names)}</g>'
    )
    return LayPicture(key, *along, *across, definition)


def _number(number: int, ring: Ring, arrow: Line, size: float) -> str:
    """The number of a piece where it is widest beside its arrow, no larger than fits there."""
    polygon = Polygon(ring).buffer(0.0)
    beside = polygon.difference(LineString(arrow).buffer(0.3 * size))
    circles = [
        shapely.maximum_inscribed_circle(region, tolerance=2.0)
        for region in (beside, polygon)
        if region.area > 0.0
    ]
    widest = max(circles, key=lambda circle: (circle.length > 0.3 * size, -circles.index(circle)))
    x, y = widest.coords[0]
    size = min(size, 1.3 * widest.length)
    return _text(x, y - 0.36 * size, size, str(number), "middle")


def _text(x: float, y: float, size: float, words: str, kind: str) -> str:
    return (
        f'<text class="{kind}" x="{round(x)}" y="{round(-y)}" font-size="{max(1, round(size))}">'
        f"{_escape(words)}</text>"
    )


def _escape(text: str) -> str:
    return escape_markup(tied(clean(text)))


def _box_path(x1: float, y1: float, x2: float, y2: float) -> str:
    return _ring_path(((x1, y1), (x2, y1), (x2, y2), (x1, y2)))


def _ring_path(ring: Ring) -> str:
    """A closed path of whole mm, each corner told by its way from the one before."""
    points = [(round(x), round(-y)) for x, y in ring]
    steps = " ".join(f"{x2 - x1} {y2 - y1}" for (x1, y1), (x2, y2) in pairwise(points))
    return f"M{points[0][0]} {points[0][1]}l{steps}z"


def _smoothed(ring: Ring) -> Ring:
    """An outline with no more corners than can be seen."""
    coords = Polygon(ring).simplify(SMOOTH_MM).exterior.coords[:-1]
    return tuple((float(x), float(y)) for x, y in coords)
