"""What of a piece is cut in one place: the label of the pattern counts all its copies."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from plans.plan import LeftoverCopy, PlacedPiece
from plans.words.pinning import through


def cut_here(order: Sequence[PlacedPiece]) -> dict[int, str]:
    """Say for each number what is cut there, of all placements of one cloth as they are cut."""
    of = Counter[tuple[str, str]]()
    for placed in order:
        of[placed.piece, placed.role] += len(placed.copies)
    before = Counter[tuple[str, str]]()
    said = {}
    for placed in order:
        kind, count = (placed.piece, placed.role), len(placed.copies)
        said[placed.number] = (
            f"{_counted(before[kind], count, of[kind], 'cloth')}{_how(placed)}, {_plies(placed)}"
        )
        before[kind] += count
    return said


def cut_here_of_leftover(order: Sequence[LeftoverCopy]) -> dict[int, str]:
    """Say the same of what is cut from a leftover: each copy by itself."""
    of = Counter((copy.piece, copy.role) for copy in order)
    before = Counter[tuple[str, str]]()
    said = {}
    for copy in order:
        kind = copy.piece, copy.role
        whole = ", traced whole" if copy.opened else ""
        counted = _counted(before[kind], 1, of[kind], "leftover")
        said[copy.number] = f"{counted}{whole}, single layer"
        before[kind] += 1
    return said


def _counted(before: int, count: int, of: int, cloth: str) -> str:
    """Which copies they are of those on the cloth; others may lie on leftovers."""
    if count == 1:
        which = "" if of == 1 else f"copy {before + 1} of {of} on this {cloth}, "
        return f"{which}cut once here"
    if count == of == 2:
        return "both copies are cut here at once"
    which = " and ".join(str(before + number) for number in range(1, count + 1))
    return f"copies {which} of {of} on this {cloth} are cut here at once"


def _how(placed: PlacedPiece) -> str:
    if placed.on_fold:
        return " on the fold"
    return ", traced whole" if placed.opened else ""


def _plies(placed: PlacedPiece) -> str:
    both = placed.on_fold or len(placed.plies) == 2
    return "through both plies" if both else through(placed)
