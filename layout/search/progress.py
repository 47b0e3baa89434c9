"""What a search reports while it runs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from layout.layout import Layout


@dataclass(frozen=True)
class Progress:
    """A better layout: cloth length in mm, which part of the search found it, and itself."""

    length: float
    phase: str
    layout: Layout | None = None
    """None where only its length is told."""


OnProgress = Callable[[Progress], None]
