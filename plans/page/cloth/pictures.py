"""Light pictures of cloth: outlines as SVG path data (SVG 1.1, 8.3) that a template puts in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fabrics.region import Region
from fabrics.stash.records import Bolt, LeftoverRecord
from pieces.geometry_types import Ring
from pieces.lengths import System, format_length
from plans.drawing.garment.light import path_data
from plans.words.columns import cloth_length

LONGEST = 3.2
"""A bolt that is longer than so many times its width is drawn broken."""

EDGE = 0.03
"""Room around what is drawn, in shares of the larger side."""


@dataclass(frozen=True)
class Picture:
    """What a template draws: y runs down, in mm.

    Attributes
    ----------
    view : str
        The `viewBox`.
    cloth, grain, rectangle, selvages : str
        Path data; empty where there is nothing to draw.
    words : str
        What it shows, for who cannot see it.
    """

    view: str
    cloth: str
    grain: str
    rectangle: str
    selvages: str
    words: str


def path_of(rings: Iterable[Ring], top: float, closed: bool = True) -> str:
    """Path data of rings whose y runs up from 0 to `top` (mm), to a tenth of a millimetre."""
    return "".join(path_data(ring, closed, (0.0, -top)) for ring in rings)


def leftover_picture(region: Region, name: str, system: System) -> Picture:
    """Draw a leftover with its largest rectangle; the arrow is the warp."""
    xs = [x for x, _ in region.outline]
    ys = [y for _, y in region.outline]
    low_x, high_x, low_y, high_y = min(xs), max(xs), min(ys), max(ys)
    x1, y1, x2, y2 = region.rectangle
    rectangle = (x1, y1), (x2, y1), (x2, y2), (x1, y2)
    holes = f" with {len(region.holes)} holes" if region.holes else ""
    words = (
        f"{name}: an outline of {len(region.outline)} corners{holes}. Broken line: the largest "
        f"rectangle, {format_length(region.long, system)} along the grain x "
        f"{format_length(region.wide, system)} across. Arrow: the warp."
    )
    return Picture(
        view=_view(low_x, high_x, high_y - low_y),
        cloth=path_of((region.outline, *region.holes), high_y),
        grain=_arrow(x1, x2, (y1 + y2) / 2.0, high_y),
        rectangle=path_of((rectangle,), high_y),
        selvages="",
        words=words,
    )


def bolt_picture(bolt: Bolt, system: System) -> Picture:
    """Draw a bolt laid out; a long one is broken in the middle."""
    fabric = bolt.as_fabric()
    wide, selvage = fabric.width, fabric.selvage
    broken = bolt.length > LONGEST * wide
    long = LONGEST * wide if broken else bolt.length
    if broken:
        a, b, lean = 0.47 * long, 0.53 * long, 0.06 * wide
        ends = [((0.0, a), (0.0, a + lean)), ((b, long), (b + lean, long))]
        parts = [
            ((0.0, 0.0), (a, 0.0), (a + lean, wide), (0.0, wide)),
            ((b, 0.0), (long, 0.0), (long, wide), (b + lean, wide)),
        ]
    else:
        ends = [((0.0, long), (0.0, long))]
        parts = [((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))]
    lines: list[Ring] = []
    for below, above in ends:
        lines.append(((below[0], selvage), (below[1], selvage)))
        lines.append(((above[0], wide - selvage), (above[1], wide - selvage)))
    words = (
        f"{bolt.tag}: {cloth_length(bolt.length, system)} long"
        f"{', drawn broken,' if broken else ''} and {format_length(wide, system)} wide, "
        f"{'washed' if bolt.washed else 'unwashed'}. Arrow: the warp."
    )
    return Picture(
        view=_view(0.0, long, wide),
        cloth=path_of(parts, wide),
        grain=_arrow(0.0, 0.46 * long if broken else long, wide / 2.0, wide),
        rectangle="",
        selvages=path_of(lines, wide, closed=False) if selvage > 0.0 else "",
        words=words,
    )


def picture_of(one: Bolt | LeftoverRecord, system: System) -> Picture:
    """Draw a bolt or a leftover."""
    if isinstance(one, Bolt):
        return bolt_picture(one, system)
    return leftover_picture(one.region, one.tag, system)


def _view(low: float, high: float, tall: float) -> str:
    edge = EDGE * max(high - low, tall)
    return f"{low - edge:.1f} {-edge:.1f} {high - low + 2 * edge:.1f} {tall + 2 * edge:.1f}"


def _arrow(x1: float, x2: float, y: float, top: float) -> str:
    tail, tip = x1 + 0.15 * (x2 - x1), x1 + 0.85 * (x2 - x1)
    head = 0.07 * (x2 - x1)
    shaft = (tail, y), (tip, y)
    barbs = (tip - head, y + 0.6 * head), (tip, y), (tip - head, y - 0.6 * head)
    return path_of((shaft, barbs), top, closed=False)
