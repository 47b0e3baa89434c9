"""The shapes of SVG as parts of a path (SVG 1.1, section 9), in user units."""

from __future__ import annotations

import itertools
import math
import re

from pieces.drawings.svg.document import Node
from pieces.drawings.svg.viewport import Viewport, pixels
from pieces.outline import OutlineError
from pieces.readers.svg_curves import Segment
from pieces.readers.svg_path import MOST_SEGMENTS, SubPath, TooLongError, read_path

SHAPES = ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon")

_NUMBER = re.compile(r"[\s,]*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)")


def parts_of(node: Node, viewport: Viewport) -> tuple[SubPath, ...]:
    """Return what a shape draws; nothing if it is switched off by a size of 0.

    Raises
    ------
    OutlineError
        If an attribute of it is at fault.
    """
    if node.tag == "path":
        data = node.attributes.get("d", "").strip()
        return read_path(data) if data and data != "none" else ()
    if node.tag in ("polyline", "polygon"):
        return _through(_points(node.attributes.get("points", "")), node.tag == "polygon")
    sizes = _Sizes(node, viewport)
    if node.tag == "line":
        ends = [complex(sizes.x("x1"), sizes.y("y1")), complex(sizes.x("x2"), sizes.y("y2"))]
        return _through(ends, False)
    if node.tag == "rect":
        return _rect(sizes)
    centre = complex(sizes.x("cx"), sizes.y("cy"))
    if node.tag == "circle":
        radius = sizes.length("r", viewport.diagonal)
        return _ellipse(centre, radius, radius)
    rx, ry = sizes.radii()
    return _ellipse(centre, rx, ry)


class _Sizes:
    """Attributes of one shape as lengths."""

    def __init__(self, node: Node, viewport: Viewport) -> None:
        self.attributes = node.attributes
        self.viewport = viewport

    def x(self, name: str) -> float:
        return pixels(self.attributes.get(name, "0"), self.viewport.width)

    def y(self, name: str) -> float:
        return pixels(self.attributes.get(name, "0"), self.viewport.height)

    def length(self, name: str, whole: float) -> float:
        value = pixels(self.attributes.get(name, "0"), whole)
        if value < 0.0:
            raise OutlineError(f"{name} is negative")
        return value

    def radii(self) -> tuple[float, float]:
        """Rx and ry; one that is missing or auto is as the other."""
        given = {
            name: self.length(name, whole)
            for name, whole in (("rx", self.viewport.width), ("ry", self.viewport.height))
            if self.attributes.get(name, "auto").strip() != "auto"
        }
        return (
            given.get("rx", given.get("ry", 0.0)),
            given.get("ry", given.get("rx", 0.0)),
        )


def _points(text: str) -> list[complex]:
    numbers: list[float] = []
    for match in _NUMBER.finditer(text):
        numbers.append(float(match[1]))
        if len(numbers) > 2 * MOST_SEGMENTS:
            raise TooLongError(f"it has more than {MOST_SEGMENTS:,} points")
    rest = _NUMBER.sub("", text).strip(" \t\r\n,")
    if rest:
        raise OutlineError(f"points hold '{rest.split()[0][:20]}', which is no number")
    if len(numbers) % 2 or not all(map(math.isfinite, numbers)):
        raise OutlineError("points need an even count of numbers, x and y of each")
    return [complex(x, y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]


def _through(points: list[complex], closed: bool) -> tuple[SubPath, ...]:
    ring = [*points, points[0]] if closed and points else points
    segments: list[Segment] = [("L", (a, b), ()) for a, b in itertools.pairwise(ring) if a != b]
    return (SubPath(tuple(segments), closed),) if segments else ()


def _rect(sizes: _Sizes) -> tuple[SubPath, ...]:
    x, y = sizes.x("x"), sizes.y("y")
    width = sizes.length("width", sizes.viewport.width)
    height = sizes.length("height", sizes.viewport.height)
    if width <= 0.0 or height <= 0.0:
        return ()
    rx, ry = sizes.radii()
    rx, ry = min(rx, width / 2.0), min(ry, height / 2.0)
    right, bottom = x + width, y + height
    if rx <= 0.0 or ry <= 0.0:
        corners = [complex(x, y), complex(right, y), complex(right, bottom), complex(x, bottom)]
        return _through(corners, True)
    stops = [
        complex(x + rx, y), complex(right - rx, y), complex(right, y + ry),
        complex(right, bottom - ry), complex(right - rx, bottom), complex(x + rx, bottom),
        complex(x, bottom - ry), complex(x, y + ry), complex(x + rx, y),
    ]  # fmt: skip
    segments: list[Segment] = []
    for index, (a, b) in enumerate(itertools.pairwise(stops)):
        if index % 2:
            segments.append(("A", (a, b), (rx, ry, 0.0, 0.0, 1.0)))
        elif a != b:
            segments.append(("L", (a, b), ()))
    return (SubPath(tuple(segments), True),)


def _ellipse(centre: complex, rx: float, ry: float) -> tuple[SubPath, ...]:
    if rx <= 0.0 or ry <= 0.0:
        return ()
    right, left = centre + rx, centre - rx
    numbers = (rx, ry, 0.0, 0.0, 1.0)
    return (SubPath((("A", (right, left), numbers), ("A", (left, right), numbers)), True),)
