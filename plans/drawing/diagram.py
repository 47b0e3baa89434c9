"""Drawing one section of a plan's lay to scale on given axes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

from pieces.geometry_types import Point, Ring
from pieces.lengths import System
from plans.drawing import look
from plans.drawing.fills import fill_of, told_by_fill
from plans.drawing.label_places import Labelled, PlacedLabel, Places
from plans.drawing.labels import LabelSpot, label_size
from plans.drawing.leftovers.leftover_marks import draw_leftovers, leftover_labels
from plans.drawing.repeat_lines import draw_repeat, match_points
from plans.drawing.rulers import draw_edges, draw_rulers, draw_single_end
from plans.drawing.sheets import MARGIN_MM, ply_ends, shown_range
from plans.drawing.writing import say
from plans.plan import FabricPlan, LeftoverCopy, PlacedPiece, SectionPlan
from plans.words.piece_names import bare_name, named, piece_words, side_words, whose_words
from plans.words.pinning import cut_shares, pin_figures

FLAW_WORD, FLAW_TEXT = " flaw", 5.5
"""What is written above the end of a flaw, and its size in points."""

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_section(
    entry: FabricPlan,
    index: int,
    system: System,
    axes: Axes,
    scale: float,
    window: tuple[float, float] | None = None,
) -> None:
    """Draw a section, or the window x_from..x_to (mm) of it.

    Parameters
    ----------
    entry : FabricPlan
    index : int
        Section.
    system : System
        Units of the rulers.
    axes : matplotlib Axes
        Already sized: one mm of paper shows `scale` mm of cloth.
    scale : float
    window : (float, float), optional
        Range of lay x shown; the whole section by default.
    """
    section = entry.sections[index]
    zero, end = shown_range(entry, index)
    low, high = window or (zero, end)
    pad = MARGIN_MM * scale
    axes.set_xlim(low - pad, high + pad)
    axes.set_ylim(-pad, section.spread.lay_height + pad)
    axes.set_aspect("equal")
    axes.axis("off")
    _cloth(axes, section, low, high)
    draw_single_end(axes, section, ply_ends(entry, index), scale, low, high)
    draw_rulers(axes, section, system, scale, low, high, zero)
    draw_edges(axes, section, scale, low, high, (zero, end))
    for ring in shown_flaws(entry, index, low, high):
        _flaw(axes, ring)
    regions = draw_leftovers(axes, entry, index, low, high)
    shown = pieces_shown(entry, index, low, high)
    told = told_by_fill(entry)
    fills = {one.number: fill_of(told, one) for one in shown}
    for placed in shown:
        _outline(axes, fills[placed.number], placed, low, high)
    draw_repeat(axes, entry, index, low, high)
    places = label_room(entry, index, scale, low, high, system)
    for label in places.labels():
        draw_label(axes, label, fills[label.number])
    for label in places.figures():
        draw_label(axes, label, fills[label.number], dot=False)
    for spot in leftover_labels(entry, index, regions, places, system):
        draw_mark(axes, spot, look.QUIET)


def pieces_shown(entry: FabricPlan, index: int, low: float, high: float) -> tuple[PlacedPiece, ...]:
    """Placements of a section of which something lies within a range of lay x (mm)."""
    return tuple(
        placed
        for placed in entry.placements
        if placed.section == index
        and min(x for x, _ in placed.outline) < high
        and max(x for x, _ in placed.outline) > low
        and _clipped(placed.outline, low, high)
    )


def label_room(
    entry: FabricPlan, index: int, scale: float, low: float, high: float, system: System
) -> Places:
    """What wants labels on a range of a section, and the room for them."""
    wanted = []
    shares = cut_shares(entry)
    for placed in pieces_shown(entry, index, low, high):
        rings = _clipped(placed.outline, low, high)
        visible = max((Polygon(ring) for ring in rings), key=lambda ring: ring.area)
        number = str(placed.number)
        words = shares[placed.number] + (", upper ply only" if placed.upper_only else "")
        wordings = label_wordings(number, placed, words)
        arrow = _arrow_within(placed.grain, low, high)
        notes = _notes(placed, system, low, high)
        wanted.append(Labelled(placed.number, visible, arrow, wordings, notes))
    frame = (low, 0.0, high, entry.sections[index].spread.lay_height)
    marks = match_points(list(pieces_shown(entry, index, low, high)))
    places = Places(wanted, scale, frame, marks)
    for ring in shown_flaws(entry, index, low, high):
        word = label_size((FLAW_WORD,), FLAW_TEXT, scale)
        places.keep_clear((ring, np.array([ring.max(axis=0), ring.max(axis=0) + word])))
    return places


def label_wordings(
    number: str, copy: PlacedPiece | LeftoverCopy, words: str
) -> tuple[tuple[str, ...], ...]:
    """What may be written on a piece, the fullest first.

    None but the number alone leaves out what the piece is called: of a piece of several garments
    rather whose it is, which the tables say, too.
    """
    name, sides = piece_words(copy), side_words(copy.sides)
    full = ((f"{number}  {name}", words), (f"{number} {name}: {words}",))
    if copy.whose is None:
        if not sides:
            return (*full, (f"{number} {name}",), (number,))
        return (*full, (f"{number} {name}",), (f"{number} {copy.piece},", sides), (number,))
    whose, bare = whose_words(copy.whose), bare_name(copy.piece, copy.whose)
    own = named(bare, None, copy.sides)
    garment = copy.whose.garment
    which = whose.removeprefix(garment).strip()
    narrow = ((f"{number}  {garment}", which, own),) if which else ()
    return (
        (f"{number}  {whose}", own, words), *full, (f"{number}  {whose}", own),
        (f"{number} {name}",), *narrow, (f"{number} {own}",), (number,),
    )  # fmt: skip


def _notes(
    placed: PlacedPiece, system: System, low: float, high: float
) -> tuple[tuple[str, Point], ...]:
    """Figures of the ends of an arrow that lie within a range of lay x, each with its end."""
    return tuple(
        (pin_figures(pin, system), end)
        for end, pin in zip(placed.grain, placed.pins, strict=True)
        if low <= end[0] <= high
    )


def _cloth(axes: Axes, section: SectionPlan, low: float, high: float) -> None:
    from matplotlib.patches import Rectangle

    spread = section.spread
    axes.add_patch(
        Rectangle(
            (low, 0.0), high - low, spread.lay_height, facecolor=look.DEAD, edgecolor=look.QUIET,
            linewidth=0.4, hatch=look.DEAD_HATCH, zorder=0,
        )
    )  # fmt: skip
    for zone in spread.zones:
        axes.add_patch(
            Rectangle(
                (low, zone.y_from), high - low, zone.height,
                facecolor=look.CLOTH if len(zone.plies) == 2 else look.SINGLE,
                edgecolor=look.QUIET, linewidth=0.3, zorder=1,
            )
        )  # fmt: skip


def shown_flaws(entry: FabricPlan, index: int, low: float, high: float) -> tuple[np.ndarray, ...]:
    """Outlines (lay mm) of the flaws on a range of a section's lay, on whichever ply they lie."""
    section = entry.sections[index]
    plies = section.spread.plies
    ends = ply_ends(entry, index) or (high,) * len(plies)
    found: list[np.ndarray] = []
    for flaw in entry.fabric.flaws:
        cloth = np.asarray(flaw)
        for ply, end in zip(plies, ends, strict=True):
            points = ply.from_cloth(cloth, section.lay_length, section.start)
            inside = points[:, 0].max() > low and points[:, 0].min() < min(high, end)
            if inside and ply.y_from - 1 <= points[:, 1].mean() <= ply.y_to + 1:
                ring = [(float(x), float(y)) for x, y in points]
                found += _clipped(ring, low, min(high, end))
    return tuple(found)


def _flaw(axes: Axes, ring: np.ndarray) -> None:
    axes.fill(
        ring[:, 0], ring[:, 1], facecolor="white", edgecolor=look.FLAW,
        linewidth=1.0, hatch="+++", zorder=5,
    )  # fmt: skip
    say(
        axes, ring[:, 0].max(), ring[:, 1].max(), FLAW_WORD, fontsize=FLAW_TEXT,
        color=look.FLAW, ha="left", va="bottom", zorder=9, clip_on=True,
    )  # fmt: skip


def _outline(axes: Axes, fill: str, placed: PlacedPiece, low: float, high: float) -> None:
    from matplotlib.patches import Polygon as Patch

    for ring in _clipped(placed.outline, low, high):
        axes.add_patch(
            Patch(
                ring, closed=True, facecolor=fill,
                edgecolor="#8d8d8d" if placed.face_down else look.INK, linewidth=0.0,
                hatch=look.FACE_DOWN_HATCH if placed.face_down else None, zorder=3,
            )
        )  # fmt: skip
        axes.add_patch(
            Patch(ring, closed=True, fill=False, edgecolor=look.INK,
                  linewidth=look.OUTLINE_WIDTH, zorder=4)
        )  # fmt: skip
    arrow = _arrow_within(placed.grain, low, high)
    if arrow is not None:
        draw_arrow(axes, arrow, arrow[0] == placed.grain[0], arrow[1] == placed.grain[1])


def draw_arrow(
    axes: Axes, arrow: tuple[Point, Point], tail: bool = True, head: bool = True
) -> None:
    """Draw a grain arrow: a ring at its tail, a point at its head, either only if it is shown."""
    axes.annotate(
        "", xy=arrow[1], xytext=arrow[0], zorder=8,
        arrowprops={"arrowstyle": "-|>" if head else "-", "linewidth": 0.7, "color": look.INK,
                    "shrinkA": 0, "shrinkB": 0, "mutation_scale": 7},
    )  # fmt: skip
    if tail:
        axes.plot(
            *arrow[0], marker="o", markersize=2.6, markerfacecolor="white",
            markeredgecolor=look.INK, markeredgewidth=0.6, zorder=9,
        )  # fmt: skip


def draw_label(axes: Axes, label: PlacedLabel, fill: str, dot: bool = True) -> None:
    """Write a label inside its piece, or beside it with a line that ends on it (in a dot)."""
    if label.tie is not None:
        axes.plot(
            [label.spot.x, label.tie[0]], [label.spot.y, label.tie[1]], color=look.INK,
            linewidth=0.35, zorder=7.5,
        )  # fmt: skip
        if dot:
            axes.plot(*label.tie, marker="o", markersize=1.4, color=look.INK, zorder=7.5)
        fill = look.CLOTH
    draw_mark(axes, label.spot, look.INK, fill)


def draw_mark(axes: Axes, spot: LabelSpot, colour: str, fill: str | None = None) -> None:
    """Write lines of text in their place, on a ground of a colour if one is given."""
    behind = {"boxstyle": "square,pad=0.08", "linewidth": 0, "facecolor": fill}
    say(
        axes, spot.x, spot.y, "\n".join(spot.lines), fontsize=spot.size, rotation=spot.turn,
        ha="center", va="center", color=colour, zorder=10, linespacing=look.LINE_SPACING,
        bbox=behind if fill else None,
    )  # fmt: skip


def _arrow_within(
    arrow: tuple[Point, Point], low: float, high: float
) -> tuple[Point, Point] | None:
    """The part of an arrow within a range of lay x, tail first; None if there is none."""
    if all(low <= x <= high for x, _ in arrow):
        return arrow
    part = LineString(arrow).intersection(shapely.box(low, -1e6, high, 1e6))
    if part.is_empty or part.length < 1e-6:
        return None
    first, last = part.coords[0], part.coords[-1]
    ends = [(float(x), float(y)) for x, y in (first, last)]
    ends.sort(key=lambda end: LineString(arrow).project(shapely.Point(end)))
    return (
        arrow[0] if low <= arrow[0][0] <= high else ends[0],
        arrow[1] if low <= arrow[1][0] <= high else ends[1],
    )


def _clipped(outline: Ring | list[Point], low: float, high: float) -> list[np.ndarray]:
    xs = [x for x, _ in outline]
    if min(xs) >= low and max(xs) <= high:
        return [np.asarray(outline)]
    part = shapely.clip_by_rect(Polygon(outline), low, -1e6, high, 1e6)
    return [
        np.asarray(piece.exterior.coords)
        for piece in getattr(part, "geoms", [part])
        if piece.geom_type == "Polygon" and not piece.is_empty
    ]
