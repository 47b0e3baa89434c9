"""The steps at the cutting table in words: fold, pin, then piece after piece as they are cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from fabrics.lay_edges import end_name
from pieces.lengths import System, format_tape
from plans.cutting_order import cutting_order, leftover_order
from plans.plan import FabricPlan, LeftoverCut, PieceAllowance, PinPoint, PlacedPiece
from plans.words.account_lines import leftover_letter, leftover_size
from plans.words.allowance_table import edge_words
from plans.words.at_table.arrow_on_paper import arrow_rows
from plans.words.at_table.cut_here import cut_here, cut_here_of_leftover
from plans.words.facts import spread_words
from plans.words.leftover_lines import arrow_ends, remaining_words
from plans.words.piece_names import piece_words

ENDS = ("tail (ring)", "head (point)")
"""What the two ends of a grain arrow are called, as they are drawn."""


class PinWords(NamedTuple):
    """Where one end of a grain arrow is pinned: its name and two distances, and from what."""

    end: str
    along: str
    across: str
    edge: str


@dataclass(frozen=True)
class PieceStep:
    """One piece as it is pinned and cut."""

    number: int
    name: str
    cut: str
    """How many copies are cut here, and through which plies."""
    warnings: tuple[str, ...]
    """What to know before the scissors: one ply, traced whole."""
    handling: tuple[str, ...]
    """How the paper lies, and what is added to it."""
    pins: tuple[PinWords, PinWords]


@dataclass(frozen=True)
class Spreading:
    """How one stretch of cloth is laid: a section of a plan, or a leftover."""

    title: str
    lines: tuple[str, ...]
    begins_at: str
    """What distances along it are measured from."""
    before: tuple[str, ...]
    """What to mark while everything lies undisturbed."""
    arrows: tuple[tuple[str, ...], ...]
    """Where the grain arrow of each piece is drawn on its paper: rows of a table."""
    pieces: tuple[PieceStep, ...]


def section_steps(entry: FabricPlan, index: int, system: System) -> Spreading:
    """Say how a section of a fabric's plan is spread, pinned and cut."""
    section = entry.sections[index]
    order = cutting_order(entry.placements)
    cut = cut_here(order)
    here = [p for p in order if p.section == index]
    return Spreading(
        title=f"Section {section.name}: cut it off and spread it"
        if entry.has_several_lays
        else "Spread it",
        lines=(spread_words(entry, index, system),),
        begins_at=_begin(entry, index),
        before=_flagged(here),
        arrows=arrow_rows(here, system),
        pieces=tuple(_piece(entry, placed, cut[placed.number], system) for placed in here),
    )


def leftover_steps(cut: LeftoverCut, system: System) -> Spreading:
    """Say how a leftover is laid out, pinned and cut."""
    order = leftover_order(cut.copies)
    here = cut_here_of_leftover(order)
    return Spreading(
        title="Lay it out",
        lines=(
            "Lay the leftover right side up in a single layer, warp to the right. Distances are "
            "measured along the warp from its leftmost point, and across from its lowest point.",
        ),
        begins_at="its leftmost point",
        before=(),
        arrows=arrow_rows(order, system),
        pieces=tuple(
            PieceStep(
                copy.number,
                piece_words(copy),
                here[copy.number],
                (),
                (
                    *(("Pin it with the printed side of the paper down.",) * copy.face_down),
                    *_allowance(cut.allowances, copy.piece, system),
                ),
                (
                    PinWords(ENDS[0], *_tape(arrow_ends(cut, copy)[0], system), "its lowest point"),
                    PinWords(ENDS[1], *_tape(arrow_ends(cut, copy)[1], system), "its lowest point"),
                ),
            )
            for copy in order
        ),
    )


def rest_words(entry: FabricPlan, system: System) -> tuple[str, ...]:
    """Say what of a fabric is worth keeping; nothing where nothing is."""
    if not entry.leftovers:
        return ()
    sizes = ", ".join(
        f"{leftover_letter(k)} {leftover_size(leftover, system)}"
        for k, leftover in enumerate(entry.leftovers)
    )
    return (
        f"Worth keeping, by the largest rectangle along the grain x across: {sizes}.",
        "Put them aside before the scraps are swept up, and mark the direction of the warp.",
    )


def leftover_rest_words(cut: LeftoverCut, system: System) -> tuple[str, ...]:
    """Say the same of a leftover that was cut from."""
    words = remaining_words(cut, system)
    return (words,) if words else ()


def _begin(entry: FabricPlan, index: int) -> str:
    name = end_name(entry.sections[index].spread)
    return (
        f"the section's {name}" if entry.has_several_lays and name == "cut end" else f"the {name}"
    )


def _flagged(here: list[PlacedPiece]) -> tuple[str, ...]:
    """What of a section must be told apart before anything is cut."""
    upper = _listed([placed for placed in here if placed.upper_only])
    opened = _listed([placed for placed in here if placed.opened])
    lines = []
    if upper:
        lines.append(
            f"Through the upper ply only: {upper}. Mark them now, with a pin of another colour "
            "say; they are cut last, when the cloth around them is cut away."
        )
    if opened:
        lines.append(f"Traced whole, though the paper is a half: {opened}.")
    return tuple(lines)


def _listed(placements: list[PlacedPiece]) -> str:
    return ", ".join(f"no. {placed.number} {piece_words(placed)}" for placed in placements)


def _piece(entry: FabricPlan, placed: PlacedPiece, cut: str, system: System) -> PieceStep:
    tail, head = placed.pins
    warnings = []
    if placed.upper_only:
        warnings.append(
            "Upper ply only: lift it, and keep the blade off the ply beneath, which stays whole."
        )
    if placed.opened:
        warnings.append(
            "The paper is a half: trace it, turn it over along its fold line, trace the other half."
        )
    handling = []
    if placed.on_fold:
        handling.append("Its fold line lies exactly on the fold. Do not cut there.")
    if placed.face_down:
        handling.append("Pin it with the printed side of the paper down.")
    if placed.match:
        handling.append("Match the design at the circled cross before you pin it.")
    handling += _allowance(entry.allowances, placed.piece, system)
    return PieceStep(
        placed.number,
        piece_words(placed),
        cut,
        tuple(warnings),
        tuple(handling),
        (_pin(ENDS[0], tail, system), _pin(ENDS[1], head, system)),
    )


def _allowance(
    allowances: tuple[PieceAllowance, ...], piece: str, system: System
) -> tuple[str, ...]:
    """Say what is added to a paper without allowance; parts of a strip are told by its name."""
    whole = piece.rsplit(" part ", 1)[0]
    for one in allowances:
        if one.net and one.edges and one.piece in (piece, whole):
            return (
                f"Your paper is without allowance: {edge_words(one.edges, system)}, and cut along "
                "that line.",
            )
    return ()


def _pin(end: str, pin: PinPoint, system: System) -> PinWords:
    return PinWords(end, *_tape((pin.from_end, pin.from_edge), system), pin.edge.value)


def _tape(distances: tuple[float, float], system: System) -> tuple[str, str]:
    unit = "in" if system is System.IMPERIAL else "cm"
    along, across = (f"{format_tape(distance, system)} {unit}" for distance in distances)
    return along, across
