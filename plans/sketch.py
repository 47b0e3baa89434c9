"""A sketch of a layout that is still searched for: outlines on the lay, and no more."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.geometry_types import Ring


@dataclass(frozen=True)
class SketchSection:
    """One section of a lay.

    Attributes
    ----------
    length, width : float
        Of the lay, mm.
    pieces : tuple of (str, Ring)
        Name and outline (lay coordinates, mm) of what is put down.
    folds : tuple of (bool, float)
        Fold edges: whether each runs along the lay, and at which y (else x) it lies, mm.
    """

    length: float
    width: float
    pieces: tuple[tuple[str, Ring], ...]
    folds: tuple[tuple[bool, float], ...] = ()


@dataclass(frozen=True)
class Sketch:
    """What lies where so far, section by section."""

    sections: tuple[SketchSection, ...]
