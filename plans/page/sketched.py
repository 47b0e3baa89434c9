"""What searches tell of a layout and of their beginning, the same for every view that waits."""

from __future__ import annotations

from typing import Any

from plans.drawing.garment.light import path_data
from plans.sketch import Sketch

FIRST_RUN = "preparing the search for this machine, once (about 25 s)"


def sketch_data(sketch: Sketch | None) -> list[dict[str, Any]]:
    """Sections as `static/sketch.js` draws them: mm, y running down from the upper edge."""
    if sketch is None:
        return []
    return [
        {
            "length": round(section.length),
            "width": round(section.width),
            "pieces": [
                [name, path_data(ring, True, (0.0, -section.width))]
                for name, ring in section.pieces
            ],
            "folds": [
                [along, round(section.width - at if along else at)] for along, at in section.folds
            ],
        }
        for section in sketch.sections
    ]
