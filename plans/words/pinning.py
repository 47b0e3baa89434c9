"""The pinning table: where the tail and the head of every grain arrow lie."""

from __future__ import annotations

import re
from collections import Counter

from pieces.lengths import System, format_tape
from plans.plan import CUT_WHOLE, FabricPlan, PinPoint, PlacedPiece
from plans.words.piece_names import piece_words

HEADS = ("no.", "piece", "cut", "through", "tail: end", "tail: edge", "head: end", "head: edge")

SHARES = (5, 19, 14, 13, 11.5, 26, 11.5, 26)
"""Relative widths of the columns."""

_COUNT = re.compile(r"^cut \d+")

FIGURES = (4, 6)
"""Columns of bare figures, which are set right."""


def pin_rows(entry: FabricPlan, system: System) -> tuple[tuple[str, ...], ...]:
    """One row for each placement: where both ends of its grain arrow lie."""
    rows = []
    shares = cut_shares(entry)
    for placed in entry.placements:
        tail, head = placed.pins
        rows.append(
            (
                str(placed.number),
                piece_words(placed) + (" (printed side down)" if placed.face_down else ""),
                shares[placed.number],
                through(placed),
                format_tape(tail.from_end, system),
                _from_edge(tail, system),
                format_tape(head.from_end, system),
                _from_edge(head, system),
            )
        )
    return tuple(rows)


def _from_edge(pin: PinPoint, system: System) -> str:
    return f"{format_tape(pin.from_edge, system)} from {pin.edge.value}"


def pin_figures(pin: PinPoint, system: System) -> str:
    """Figures at one end of an arrow on the drawing: from the cut end | from the edge."""
    return f"{format_tape(pin.from_end, system)} | {format_tape(pin.from_edge, system)}"


def cut_words(placed: PlacedPiece) -> str:
    """Cut label of a placement as this plan cuts it: a half may be traced whole."""
    return CUT_WHOLE if placed.opened else placed.label


def cut_shares(entry: FabricPlan) -> dict[int, str]:
    """Cut label at each number: where copies lie in several places, how many of all are cut there.

    "cut 4" at two places would be taken for eight.
    """
    kinds = [(placed.piece, placed.role) for placed in entry.placements]
    of = Counter(kinds)
    copies = Counter(
        kind for kind, placed in zip(kinds, entry.placements, strict=True) for _ in placed.copies
    )
    said = {}
    for kind, placed in zip(kinds, entry.placements, strict=True):
        words = cut_words(placed)
        if of[kind] > 1:
            words = _COUNT.sub(f"cut {len(placed.copies)} of {copies[kind]}", words)
        said[placed.number] = words
    return said


def through(placed: PlacedPiece) -> str:
    """Which plies a placement is cut through, in words."""
    if placed.on_fold:
        return "both, on fold"
    if len(placed.plies) == 2:
        return "both plies"
    return "upper ply only" if placed.upper_only else "single ply"


def pin_words(entry: FabricPlan, system: System) -> str:
    """Explain the pinning table in a few sentences."""
    unit = "inches" if system is System.IMPERIAL else "cm"
    plain = "section's cut end" if len(entry.sections) > 1 else "cut end"
    kinds = [section.spread.fold for section in entry.sections if section.extent > 0.0]
    from_what = " or ".join(dict.fromkeys(f"the {kind.begins_at or plain}" for kind in kinds))
    sides = ""
    if any(pin.edge.sided for p in entry.placements for pin in p.pins):
        sides = " Left and right are yours as you stand there and look along the cloth."
    hands = ""
    if any(placed.sides for placed in entry.placements):
        hands = " Left and right after the name of a piece are those of the wearer."
    return (
        f"Distances in {unit}. Each piece is pinned by the tail and the head of its grain arrow: "
        f"'end' is the distance from {from_what}, 'edge' that from the long edge of the lay which "
        f"is nearest there.{sides}{hands} On the drawing the same figures stand at the tail "
        "(ring) and at the head of the arrow where there is room."
    )
