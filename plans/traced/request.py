"""What is asked for when photographs are traced."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from pieces.findings import Finding, InputError
from pieces.lengths import System


@dataclass(frozen=True)
class TraceRequest:
    """Photographs, where the garment file goes, and what the pictures do not tell.

    Attributes
    ----------
    photos : tuple of Path
    out : Path
    paper : str or None
        "A4" or "Letter" where the sheets are said to be that.
    names : tuple of str
        By the numbers of the pieces; empty for "piece 1" and so on.
    folds : tuple of (str, str)
        Name of a piece, and its edge on the fold.
    known : float or None
        A length between two marks in every picture, mm, as a tape tells it.
    over : bool
        Whether files that are there may be written over.
    system : System
        Units of the file and of what is shown.
    """

    photos: tuple[Path, ...]
    out: Path
    paper: str | None = None
    names: tuple[str, ...] = ()
    folds: tuple[tuple[str, str], ...] = ()
    known: float | None = None
    over: bool = False
    system: System = System.METRIC

    def overlay(self, index: int) -> Path:
        """Where the picture of what was found in a photograph goes, counted from 0."""
        number = f"-{index + 1}" if len(self.photos) > 1 else ""
        return self.out.with_name(f"{self.out.stem}-found{number}.png")

    def refuse_overwriting(self) -> None:
        """Refuse to write over anything, unless that was asked for.

        Raises
        ------
        InputError
            With every file that is there.
        """
        targets = [self.out, *(self.overlay(k) for k in range(len(self.photos)))]
        there = [
            Finding(str(path), "is there already", fix="name another file, or say --replace")
            for path in targets
            if path.exists() and not self.over
        ]
        if there:
            raise InputError(there)
