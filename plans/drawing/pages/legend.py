"""What the marks on a drawing mean: only those that occur on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pieces.lengths import System, format_length
from plans.drawing import look
from plans.drawing.leftovers.leftover_marks import leftover_regions
from plans.drawing.pages.paper import shortened
from plans.drawing.sheets import shown_range
from plans.drawing.writing import say, text_width, tied
from plans.plan import FabricPlan

if TYPE_CHECKING:
    from matplotlib.figure import Figure

POINT_MM = 25.4 / 72.0


FILL_TEXT = 7.5
"""Size of the names beside swatches, points."""

BESIDE_MM = 10.0
"""What a swatch and the room around it take."""

MOST_OF_WIDTH = 0.6
"""Share of the width that all swatches with their names may take; text stands left of them."""


def legend_words(entry: FabricPlan, system: System) -> str:
    """Explain the marks on the drawing of a fabric's lay."""
    unit = "inches" if system is System.IMPERIAL else "cm"
    parts = ["Crossed out: selvage or covered strip"]
    if any(section.spread.fold_edges for section in entry.sections):
        parts.insert(0, "Thick broken line: fold")
    if any(placed.face_down for placed in entry.placements):
        parts.append("Hatched piece: printed side of the paper down")
    across = any(not edge.along for s in entry.sections for edge in s.spread.fold_edges)
    end = "the crosswise fold" if across else "the cut end"
    parts.append(
        f"Two figures at the tail (ring) and head of an arrow: {unit} from {end} | from the "
        "nearest long edge"
    )
    if entry.leftovers:
        dotted = " (dotted: under another ply)" if _leaves_on_two_plies(entry) else ""
        parts.append(
            f"Thin broken outline{dotted}: a leftover worth keeping, with its largest rectangle"
        )
    repeat = entry.fabric.repeat
    if repeat is not None and any(placed.match for placed in entry.placements):
        ways = [
            f"{format_length(size, system)} {way}"
            for size, way in ((repeat.along, "along"), (repeat.across, "across"))
            if size
        ]
        parts.append(
            f"Dotted lines: the repeat of the design ({' and '.join(ways)}). Circled cross: match "
            "point"
        )
    if entry.fabric.flaws:
        parts.append("Grid of crosses: a flaw")
    return tied(". ".join(parts) + ".")


def _leaves_on_two_plies(entry: FabricPlan) -> bool:
    """Whether a leftover lies on a lower ply somewhere."""
    return any(
        part.below
        for index in range(len(entry.sections))
        for part in leftover_regions(entry, index, *shown_range(entry, index))
    )


def draw_fills(figure: Figure, told: tuple[str, ...], right: float, top: float) -> None:
    """Draw a swatch of each fill, set right; `right` and `top` in mm from the upper left."""
    from matplotlib.patches import Rectangle

    if len(told) < 2:
        return
    wide, tall = (float(size) * 25.4 for size in figure.get_size_inches())
    most = right * MOST_OF_WIDTH / len(told) - BESIDE_MM
    x = right
    for name in reversed(told):
        words = shortened(name, most, FILL_TEXT)
        x -= text_width(words) * FILL_TEXT * POINT_MM
        say(figure, x / wide, 1.0 - top / tall, words, fontsize=FILL_TEXT, va="center",
            color=look.INK)  # fmt: skip
        x -= 6.0
        figure.add_artist(
            Rectangle(
                (x / wide, 1.0 - (top + 1.6) / tall), 4.5 / wide, 3.2 / tall,
                facecolor=look.role_fill(told, name), edgecolor=look.INK, linewidth=0.7,
            )
        )  # fmt: skip
        x -= 4.0
