"""What the validator reports."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Code(Enum):
    """Rules of a valid layout; the value is stable."""

    SLOT = "slot"
    """A placement uses a slot, pose or ply that its item does not permit."""
    COUNT = "count"
    """Too few, too many, or of the wrong hand."""
    OUTSIDE = "outside"
    """A copy leaves usable cloth, its ply or its section."""
    OVERLAP = "overlap"
    """Two copies share cloth."""
    GAP = "gap"
    """Copies of different placements, a flaw or a section boundary are too near."""
    BLOCKED = "blocked"
    """A copy uses cloth that a one-ply cut above or below it blocks."""
    FOLD = "fold"
    """A fold piece is off its fold edge or not whole and symmetric."""
    GRAIN = "grain"
    """A heading that the piece does not permit."""
    HEADS = "heads"
    """Heads differ on one-way cloth."""
    KEPT = "kept"
    """What stays where it is lies elsewhere."""
    PHASE = "phase"
    """A match point is out of phase with the repeat."""


class Beside(Enum):
    """What a single copy is too near to, where that is no other copy."""

    FLAW = "flaw"
    """A flaw of the cloth."""
    SECTION = "section"
    """The cut between two sections."""


@dataclass(frozen=True)
class Violation:
    """One broken rule: which, in words, and the indices of the placements concerned."""

    code: Code
    message: str
    placements: tuple[int, ...] = ()
    by: float = 0.0
    """By how much it is broken (mm), where that is a length: what the gap lacks, say."""
    beside: Beside | None = None
    """What is too near, where a gap to what is no piece is broken."""
