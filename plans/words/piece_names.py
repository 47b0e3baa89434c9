"""What a piece is called on a plan: its name, and its hand where the garment states it.

Left and right are those of the wearer.
"""

from __future__ import annotations

from collections.abc import Iterable

from pieces.piece import Side
from plans.plan import LeftoverCopy, PlacedPiece, Whose


def side_words(sides: tuple[Side, ...]) -> str:
    """Return "left", "right" or "left and right"; empty where nothing is stated."""
    return " and ".join(side.value for side in sides)


def piece_words(copy: PlacedPiece | LeftoverCopy) -> str:
    """Name of what lies in one place: "front, left", or "apron S 2 of 3: front, left"."""
    return named(copy.piece, copy.whose, copy.sides)


def named(piece: str, whose: Whose | None, sides: tuple[Side, ...]) -> str:
    """Name of a piece with whose it is and the sides that it is for."""
    if whose is not None:
        piece = f"{whose_words(whose)}: {bare_name(piece, whose)}"
    hands = side_words(sides)
    return f"{piece}, {hands}" if hands else piece


def bare_name(piece: str, whose: Whose | None) -> str:
    """Name of a piece in its own garment."""
    return piece if whose is None else piece.removeprefix(f"{whose.garment}: ")


def whose_words(whose: Whose) -> str:
    """Return "apron S" where there is one, else "apron S 2 of 3" or "apron S 1 to 3 of 3"."""
    if whose.of < 2:
        return whose.garment
    return f"{whose.garment} {_numbers(whose.which)} of {whose.of}"


def counted(count: int) -> str:
    """How many pieces a drawing shows, each with its number."""
    return "1 piece" if count == 1 else f"{count} numbered pieces"


def _numbers(which: tuple[int, ...]) -> str:
    """Numbers as a person says them: "2", "1 and 3", "1 to 3, 5"."""
    runs: list[list[int]] = []
    for number in which:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    parts: list[str] = []
    for run in runs:
        parts += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    return " and ".join(parts) if len(parts) < 3 else ", ".join(parts)


def merged(several: Iterable[Whose | None]) -> Whose | None:
    """Whose pieces of one name are together."""
    found = [whose for whose in several if whose is not None]
    if not found:
        return None
    which = sorted({number for whose in found for number in whose.which})
    return Whose(found[0].garment, tuple(which), found[0].of)
