"""Everything that one leftover is good for, and how that is told."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from shapely.geometry import Polygon

from fabrics.folds.errors import FabricError
from fabrics.stash.records import LeftoverRecord
from layout.effort import Effort
from pieces.drawings.loading import load_any
from pieces.errors import PieceError
from pieces.files.kinds import EXACT, TEXT, TEXTS, each, told, whole
from pieces.files.record import Entry, Record
from pieces.lengths import System, format_length
from pieces.readers.shelf import all_names, find_garment
from plans.errors import PlanError
from plans.leftover_use.bias import BiasYield, bias_yield
from plans.leftover_use.joined_strips import strips_in_parts
from plans.leftover_use.laying import lay_on, traced_label
from plans.leftover_use.rectangles import count_rectangles
from plans.problem.demand import Demand, demands_for
from plans.words.columns import format_area
from plans.words.lists.tables import COLUMNS, grid_table, rows_csv

LEAST_PART_MM = 100.0
"""Bias strips shorter than this are not worth a join (common practice, no source)."""

BIAS_WIDTHS = (30.0, 40.0, 50.0)
"""Cut widths (mm) of bias strips shown where none is asked for."""


@dataclass(frozen=True)
class PieceUse:
    """How many of the copies that a garment wants of a piece go on the leftover by themselves.

    Strips that may be joined are cut in `parts` where more of them come about that way.
    """

    garment: str
    role: str
    piece: str
    label: str
    fit: int
    wanted: int
    parts: int = 1


@dataclass(frozen=True)
class Uses:
    """What one leftover is good for; lengths in mm.

    `together` tells, for each garment role of which every piece fits at once, its name.
    """

    leftover: LeftoverRecord
    pieces: tuple[PieceUse, ...]
    together: tuple[str, ...]
    bias: tuple[BiasYield, ...]
    rectangles: tuple[tuple[float, float, int], ...]
    left_out: tuple[tuple[str, str], ...] = ()
    """Garments that cannot be tried, with what is wrong with them."""


OnGarment = Callable[[int, int, list[PieceUse]], None]
"""Told which garment of how many was tried, and what of it fits."""


def find_uses(
    one: LeftoverRecord,
    region: Polygon,
    garments: tuple[str, ...],
    widths: tuple[float, ...],
    sizes: list[tuple[float, float]],
    either_way: bool,
    gap: float,
    join: float,
    on_garment: OnGarment | None = None,
) -> Uses:
    """Try the pieces of garments by themselves, and work out strips and rectangles (mm).

    All garments of the shelf unless some are named, and strips of `BIAS_WIDTHS` likewise. Of the
    shelf those at fault are left out.

    Raises
    ------
    PieceError, FabricError, PlanError
        If a garment that is named is at fault.
    """
    pieces: list[PieceUse] = []
    together: list[str] = []
    names = garments or tuple(all_names())
    left_out: list[tuple[str, str]] = []
    for done, name in enumerate(names, start=1):
        mine: list[PieceUse] = []
        try:
            mine, whole = _uses_of(name, one, region, gap)
        except (PieceError, FabricError, PlanError) as error:
            # A garment that was named is an answer of its own; others must not suffer from one.
            if garments:
                raise
            left_out.append((name, str(error)))
        else:
            pieces += mine
            together += whole
        if on_garment is not None:
            on_garment(done, len(names), mine)
    return Uses(
        one,
        tuple(pieces),
        tuple(together),
        tuple(bias_yield(region, width, join, LEAST_PART_MM) for width in widths or BIAS_WIDTHS),
        tuple((a, b, count_rectangles(region, a, b, either_way, gap)) for a, b in sizes),
        tuple(left_out),
    )


def _uses_of(
    name: str, one: LeftoverRecord, region: Polygon, gap: float
) -> tuple[list[PieceUse], list[str]]:
    """Try the pieces of one garment: what fits of each, and roles that fit whole."""
    pieces: list[PieceUse] = []
    together: list[str] = []
    garment = load_any(find_garment(name))
    for role in garment.roles:
        demands = demands_for(garment.pieces, (role,), one.fabric, 1)
        as_cut: list[Demand] = []
        for demand in demands:
            laid = lay_on(one, (demand,), one.fabric, gap, Effort.GLANCE, 1)
            fit, parts, laid_as = strips_in_parts(one, demand, gap, len(laid.copies))
            as_cut += laid_as
            pieces.append(
                PieceUse(
                    garment.name, role, demand.piece.name, traced_label(demand),
                    fit, demand.wanted.total, parts,
                )
            )  # fmt: skip
        whole = sum(demand.area * demand.wanted.total for demand in demands)
        mine = pieces[-len(demands) :]
        if whole <= region.area and all(use.fit == use.wanted for use in mine):
            laid = lay_on(one, tuple(as_cut), one.fabric, gap, Effort.QUICK, 1)
            if not laid.remaining:
                together.append(f"{garment.name} ({role})")
    return pieces, together


def uses_text(uses: Uses, system: System) -> str:
    """Print what a leftover is good for."""

    def tape(length: float) -> str:
        return format_length(length, system)

    one, region = uses.leftover, uses.leftover.region
    lines = [
        f"{one.tag}: {one.fabric.title or one.fabric.name}, {format_area(region.area, system)}",
        f"largest rectangle {tape(region.long)} along the grain x {tape(region.wide)} across",
        "",
    ]
    fitting = [use for use in uses.pieces if use.fit]
    if fitting:
        rows = [
            (
                use.garment,
                use.role,
                use.piece,
                use.label,
                f"{use.fit} of {use.wanted}",
                f"of {use.parts} parts each" if use.parts > 1 else "",
            )
            for use in fitting
        ]
        lines += ["pieces that fit, each kind by itself", ""]
        lines += [grid_table(("garment", "role", "piece", "cut", "fit", "joined"), rows), ""]
    else:
        lines += ["no piece of these garments fits", ""]
    if uses.together:
        lines += textwrap.wrap(
            f"all pieces at once: {', '.join(uses.together)}", COLUMNS, subsequent_indent="  "
        )
        lines.append("")
    strips = [
        (
            tape(y.width),
            tape(y.joined),
            str(y.joins),
            tape(y.longest) if y.parts else "",
            tape(y.at_most),
        )
        for y in uses.bias
    ]
    lines += [
        "bias strips, cut at 45 degrees, joined on the straight grain; what joins take is off",
        "",
        grid_table(
            ("cut width", "joined length", "joins", "longest without", "at most, by area"), strips
        ),
    ]
    for along, across, count in uses.rectangles:
        lines += ["", f"{count} rectangles of {tape(along)} along the grain x {tape(across)}"]
    for name, why in uses.left_out:
        lines += ["", *textwrap.wrap(left_out_words(name, why), COLUMNS, subsequent_indent="  ")]
    return "\n".join(lines) + "\n"


def left_out_words(name: str, why: str) -> str:
    """Say that a garment was not tried, and why."""
    return f"left out: '{name}' cannot be tried: {why}"


PIECE_USE = Record(
    PieceUse,
    (
        Entry("garment", TEXT),
        Entry("role", TEXT),
        Entry("piece", TEXT),
        Entry("cut", TEXT, "label"),
        Entry("fit", whole()),
        Entry("wanted", whole()),
        Entry("parts", whole(1)),
    ),
)

BIAS = Record(
    BiasYield,
    (
        Entry("width_mm", EXACT.number(), "width"),
        Entry("joined_mm", EXACT.number(), "joined"),
        Entry("joins", whole()),
        Entry("at_most_mm", EXACT.number(), "at_most"),
        Entry("parts_mm", EXACT.numbers, "parts"),
    ),
)

USES = Record(
    Uses,
    (
        Entry("tag", TEXT, "leftover.tag"),
        Entry("pieces", each(PIECE_USE)),
        Entry("together", TEXTS),
        Entry("bias", each(BIAS)),
        Entry("rectangles", told(lambda sizes: [
            {"along_mm": along, "across_mm": across, "count": count}
            for along, across, count in sizes
        ])),
        Entry("left_out", told(lambda rows: [
            {"garment": name, "why": why} for name, why in rows
        ])),
    ),
)  # fmt: skip


def uses_data(uses: Uses) -> dict[str, Any]:
    """Return what a leftover is good for as plain data."""
    return USES.write(uses)


def uses_csv(uses: Uses) -> str:
    """Return pieces, strips and rectangles as CSV: what, of which garment or size, how many."""
    rows: list[tuple[object, ...]] = [
        ("piece", use.garment, use.role, use.piece, use.fit, use.wanted, use.parts - 1)
        for use in uses.pieces
    ]
    rows += [("bias strip", y.width, None, None, y.joined, y.at_most, y.joins) for y in uses.bias]
    rows += [("rectangle", a, b, None, count, None, None) for a, b, count in uses.rectangles]
    heads = (
        "use", "garment_or_width_mm", "role_or_across_mm", "piece", "fit", "of_or_at_most",
        "joins",
    )  # fmt: skip
    return rows_csv(heads, rows)
