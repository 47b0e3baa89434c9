"""Drawing one section of a plan's lay to scale on given axes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon

from fabrics.spread import Fold
from pieces.geometry_types import Ring
from pieces.lengths import INCH_MM, System
from plans import look
from plans.labels import LabelSpot, find_spot, text_box
from plans.plan import FabricPlan, PlacedPiece, SectionPlan

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MARGIN_MM = 9.0
"""Paper kept around the lay for rulers and edge names, mm."""


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
    low, high = window or (0.0, section.extent)
    pad = MARGIN_MM * scale
    axes.set_xlim(low - pad, high + pad)
    axes.set_ylim(-pad, section.spread.lay_height + pad)
    axes.set_aspect("equal")
    axes.axis("off")
    _cloth(axes, section, low, high)
    _rulers(axes, section, system, scale, low, high)
    _edges(axes, section, scale, low, high)
    _flaws(axes, entry, section, low, high)
    placed_here = [placed for placed in entry.placements if placed.section == index]
    shown = [placed for placed in placed_here if _in_window(placed, low, high)]
    for placed in shown:
        _outline(axes, entry, placed, low, high)
    taken: list[Polygon] = []
    obstacles = [Polygon(placed.outline) for placed in placed_here]
    for placed in shown:
        _label(axes, entry, placed, scale, low, high, taken, obstacles)


def _in_window(placed: PlacedPiece, low: float, high: float) -> bool:
    xs = [x for x, _ in placed.outline]
    return min(xs) < high and max(xs) > low


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


def _edges(axes: Axes, section: SectionPlan, scale: float, low: float, high: float) -> None:
    """Mark fold edges, selvages and ends, and name them."""
    spread = section.spread
    height = spread.lay_height
    names: dict[float, str] = {}
    for edge in spread.fold_edges:
        style: dict[str, Any] = {
            "color": look.INK,
            "linewidth": look.FOLD_WIDTH,
            "linestyle": look.FOLD_STYLE,
        }
        if edge.along:
            axes.plot([low, high], [edge.at, edge.at], zorder=6, **style)
            names[edge.at] = "fold"
        elif low <= 0.0:
            axes.plot([0.0, 0.0], [0.0, height], zorder=6, **style)
    for at in (0.0, height):
        name = names.get(at)
        if name is None:
            name = (
                "both selvages" if spread.fold is Fold.LENGTHWISE or spread.doubled else "selvage"
            )
        offset = -2.2 * scale if at == 0.0 else 2.2 * scale
        axes.text(
            low + (high - low) * 0.06, at + offset, name, fontsize=6.5, color=look.INK,
            ha="left", va="top" if at == 0.0 else "bottom", style="italic", zorder=8,
        )  # fmt: skip
    left = {Fold.CROSSWISE: "crosswise fold", Fold.TURNED: "cut edge"}.get(spread.fold, "cut end")
    if low <= 0.0:
        axes.text(
            -1.6 * scale, height / 2.0, left, fontsize=6.5, rotation=90, ha="right", va="center",
            color=look.INK, style="italic", zorder=8,
        )  # fmt: skip
    for zone in spread.zones:
        if len({len(z.plies) for z in spread.zones}) > 1:
            words = "two plies" if len(zone.plies) == 2 else "single ply"
            axes.text(
                high + 1.2 * scale, (zone.y_from + zone.y_to) / 2.0, words, fontsize=5.5,
                rotation=90, ha="left", va="center", color=look.QUIET, zorder=8,
            )  # fmt: skip


def _rulers(
    axes: Axes, section: SectionPlan, system: System, scale: float, low: float, high: float
) -> None:
    """Rulers below and at the left, in cm or inches."""
    unit, major, name = (10.0, 10, "cm") if system is System.METRIC else (INCH_MM, 4, "in")
    while major * unit / scale < 7.0:
        major *= 2 if major in (10, 4, 40) else 5 if major in (20,) else 2
    height = section.spread.lay_height
    base = -6.0 * scale
    axes.plot([low, high], [base, base], color=look.QUIET, linewidth=0.5)
    first = math.ceil(low / unit - 1e-9)
    for k in range(first, math.floor(high / unit + 1e-9) + 1):
        at = k * unit
        tall = k % major == 0
        if not tall and unit / scale < 0.6:
            continue
        length = (1.6 if tall else 0.7) * scale
        axes.plot([at, at], [base, base + length], color=look.QUIET, linewidth=0.4)
        if tall:
            axes.text(
                at, base - 0.4 * scale, f"{k} {name}" if k == 0 or k == first else f"{k}",
                fontsize=5.5, ha="center", va="top", color=look.INK,
            )  # fmt: skip
    side = low - 6.0 * scale
    axes.plot([side, side], [0.0, height], color=look.QUIET, linewidth=0.5)
    for k in range(math.floor(height / unit + 1e-9) + 1):
        tall = k % major == 0
        if not tall and unit / scale < 0.6:
            continue
        length = (1.6 if tall else 0.7) * scale
        axes.plot([side, side + length], [k * unit, k * unit], color=look.QUIET, linewidth=0.4)
        if tall:
            axes.text(
                side - 0.4 * scale, k * unit, f"{k}", fontsize=5.5, ha="right", va="center",
                color=look.INK,
            )  # fmt: skip


def _flaws(axes: Axes, entry: FabricPlan, section: SectionPlan, low: float, high: float) -> None:
    for flaw in entry.fabric.flaws:
        cloth = np.asarray(flaw) + np.array([entry.ends / 2.0, 0.0])
        for ply in section.spread.plies:
            points = ply.from_cloth(cloth, section.lay_length, section.start)
            inside = points[:, 0].max() > low and points[:, 0].min() < high
            if inside and ply.y_from - 1 <= points[:, 1].mean() <= ply.y_to + 1:
                axes.fill(
                    points[:, 0], points[:, 1], facecolor="white", edgecolor=look.FLAW,
                    linewidth=1.0, hatch="+++", zorder=5,
                )  # fmt: skip
                axes.annotate(
                    "flaw", (points[:, 0].max(), points[:, 1].mean()), fontsize=5.5,
                    color=look.FLAW, ha="left", va="center", xytext=(2, 0),
                    textcoords="offset points", zorder=9,
                )  # fmt: skip


def _outline(axes: Axes, entry: FabricPlan, placed: PlacedPiece, low: float, high: float) -> None:
    from matplotlib.patches import Polygon as Patch

    points = _clipped(placed.outline, low, high)
    for ring in points:
        axes.add_patch(
            Patch(
                ring, closed=True, facecolor=look.role_fill(entry.roles, placed.role),
                edgecolor="#8d8d8d" if placed.face_down else look.INK, linewidth=0.0,
                hatch=look.FACE_DOWN_HATCH if placed.face_down else None, zorder=3,
            )
        )  # fmt: skip
        axes.add_patch(
            Patch(ring, closed=True, fill=False, edgecolor=look.INK,
                  linewidth=look.OUTLINE_WIDTH, zorder=4)
        )  # fmt: skip
    (x1, y1), (x2, y2) = placed.grain
    if low <= min(x1, x2) and max(x1, x2) <= high:
        axes.annotate(
            "", xy=(x2, y2), xytext=(x1, y1), zorder=5,
            arrowprops={"arrowstyle": "-|>", "linewidth": 0.7, "color": look.INK,
                        "shrinkA": 0, "shrinkB": 0, "mutation_scale": 7},
        )  # fmt: skip
        axes.plot([x1], [y1], marker="|", markersize=3, color=look.INK, zorder=5)


def _clipped(outline: Ring, low: float, high: float) -> list[np.ndarray]:
    xs = [x for x, _ in outline]
    if min(xs) >= low and max(xs) <= high:
        return [np.asarray(outline)]
    part = shapely.clip_by_rect(Polygon(outline), low, -1e6, high, 1e6)
    return [
        np.asarray(piece.exterior.coords)
        for piece in getattr(part, "geoms", [part])
        if piece.geom_type == "Polygon" and not piece.is_empty
    ]


def _label(
    axes: Axes,
    entry: FabricPlan,
    placed: PlacedPiece,
    scale: float,
    low: float,
    high: float,
    taken: list[Polygon],
    obstacles: list[Polygon],
) -> None:
    rings = _clipped(placed.outline, low, high)
    if not rings:
        return
    visible = max((Polygon(ring) for ring in rings), key=lambda ring: ring.area)
    number = str(placed.number)
    label = placed.label + (", upper ply only" if placed.note.startswith("upper") else "")
    wordings = (
        (f"{number}  {placed.piece}", label),
        (f"{number} {placed.piece}",),
        (number,),
    )
    spot = find_spot(visible, wordings, scale, placed.grain)
    if spot is not None:
        taken.append(text_box(spot, scale))
        axes.text(
            spot.x, spot.y, "\n".join(spot.lines), fontsize=spot.size, rotation=spot.turn,
            ha="center", va="center", color=look.INK, zorder=10, linespacing=1.1,
            bbox={"boxstyle": "square,pad=0.12", "linewidth": 0,
                  "facecolor": look.role_fill(entry.roles, placed.role)},
        )  # fmt: skip
        return
    _beside(axes, number, visible, scale, taken, obstacles)


def _beside(
    axes: Axes,
    number: str,
    visible: Polygon,
    scale: float,
    taken: list[Polygon],
    obstacles: list[Polygon],
) -> None:
    """Write the number next to a piece too small for it, with a leader."""
    middle = visible.representative_point()
    size = 5.2
    for distance in (3.0, 5.0, 8.0, 12.0, 17.0):
        for k in range(16):
            angle = 2.0 * math.pi * k / 16
            x = middle.x + distance * scale * math.cos(angle)
            y = middle.y + distance * scale * math.sin(angle)
            spot = LabelSpot((number,), x, y, size, 0.0)
            place = affinity.scale(text_box(spot, scale), 1.2, 1.2)
            if any(place.intersects(other) for other in (*taken, *obstacles)):
                continue
            taken.append(place)
            axes.annotate(
                number, xy=(middle.x, middle.y), xytext=(x, y), fontsize=size, ha="center",
                va="center", zorder=11, color=look.INK,
                arrowprops={"arrowstyle": "-", "linewidth": 0.4, "shrinkA": 2, "shrinkB": 0},
            )  # fmt: skip
            return
    axes.text(middle.x, middle.y, number, fontsize=size - 1.0, ha="center", va="center", zorder=11)
