"""Which stretch of a lay stands on which sheet, and at what scale."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from plans.plan import FabricPlan

MARGIN_MM = 11.0
"""Paper kept around the lay for rulers and edge names, mm."""

SCALES = (2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0)
"""Cloth mm shown by one mm of paper."""

LARGEST_SCALE = 3.0
"""A small lay is drawn no larger than this, mm of cloth to one of paper."""

SMALLEST_READABLE = 12.0
"""Scale from which a long lay is rather continued on another sheet."""

MOST_ROWS = 12
"""Rows of one picture."""

CONTINUED = 8.0
"""A lay that is continued is drawn no larger than this."""


@dataclass(frozen=True)
class Sheet:
    """One sheet of a section: its range of lay x (mm), scale, and number among its sheets."""

    low: float
    high: float
    scale: float
    number: int
    count: int


def shown_range(entry: FabricPlan, index: int) -> tuple[float, float]:
    """Range of lay x (mm) that is drawn of a section: from its cut end to the end of the cloth.

    The last section shows all that is bought; a section folded across begins at its fold, and is
    shown to the end of its longer ply.
    """
    section = entry.sections[index]
    if section.folded_at is not None:
        return 0.0, max(section.extent, *ply_ends(entry, index))
    if section.spread.doubled:
        return 0.0, max(section.extent, (section.cloth_to - section.cloth_from) / 2.0)
    return section.cloth_from - section.start, max(
        section.extent, _cloth_end(entry, index) - section.start
    )


def ply_ends(entry: FabricPlan, index: int) -> tuple[float, ...]:
    """Lay x (mm) at which the lower ply ends and the upper, where a fold across has its place.

    Empty where both end alike, or at no fold across.
    """
    section = entry.sections[index]
    if section.folded_at is None:
        return ()
    lower, upper = section.spread.plies
    stretches = (
        (lower, (section.folded_at, _cloth_end(entry, index))),
        (upper, (section.cloth_from, section.folded_at)),
    )
    return tuple(
        float(
            ply.from_cloth(
                np.array([(x, 0.0) for x in stretch]), section.lay_length, section.start
            )[:, 0].max()
        )
        for ply, stretch in stretches
    )


def _cloth_end(entry: FabricPlan, index: int) -> float:
    """Where the cloth of a section ends, mm from the cut end; the last has all that is bought."""
    end = entry.sections[index].cloth_to
    last = index == len(entry.sections) - 1
    return max(end, entry.purchase.bought_washed) if last else end


def sheets_of(entry: FabricPlan, index: int, room_x: float, room_y: float) -> tuple[Sheet, ...]:
    """Share a section out to sheets with this room for the lay itself (mm of paper)."""
    low, high = shown_range(entry, index)
    scale = _scale(high - low, entry.sections[index].spread.lay_height, room_x, room_y)
    count = max(1, math.ceil((high - low) / (room_x * scale) - 1e-6))
    step = (high - low) / count
    return tuple(
        Sheet(low + k * step, low + (k + 1) * step, scale, k + 1, count) for k in range(count)
    )


def rows_of(entry: FabricPlan, index: int, room_x: float, room_y: float) -> tuple[Sheet, ...]:
    """The same for rows of one picture, of which there are few: a very long lay is drawn small."""
    low, high = shown_range(entry, index)
    sheets = sheets_of(entry, index, room_x, room_y)
    if len(sheets) <= MOST_ROWS:
        return sheets
    step = (high - low) / MOST_ROWS
    return tuple(
        Sheet(low + k * step, low + (k + 1) * step, step / room_x, k + 1, MOST_ROWS)
        for k in range(MOST_ROWS)
    )


def _scale(length: float, height: float, room_x: float, room_y: float) -> float:
    """Largest scale at which the width fits a sheet, and the length too unless it would be tiny."""
    fits = [s for s in SCALES if height / s <= room_y and s >= LARGEST_SCALE]
    if not fits:
        return height / room_y
    whole = [scale for scale in fits if length / scale <= room_x]
    if whole and whole[0] <= max(SMALLEST_READABLE, fits[0]):
        return whole[0]
    return max(fits[0], CONTINUED)
