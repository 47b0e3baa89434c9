"""What a search reports while it runs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Progress:
    """A better layout: cloth length in mm, and which part of the search found it."""

    length: float
    phase: str


OnProgress = Callable[[Progress], None]
