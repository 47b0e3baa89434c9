"""What a search tells the page while it goes on: its stage, and the best layout of each cloth.

Every better layout is told: they come seldom, and one that was held back might be the last for
long. The page draws them no more often than anyone sees.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from fabrics.fold_words import taught_name
from fabrics.spread import Fold
from layout.kernels.cache import is_warm
from pieces.lengths import System, format_length
from plans.order import PlanProgress
from plans.page.sketched import FIRST_RUN, sketch_data
from plans.page.work.process import Tell

SHORTER_MM = 0.05
"""A layout that is shorter by less looks the same."""


@dataclass
class Telling:
    """Hears how a search goes on, and tells it as plain data."""

    tell: Tell
    _shortest: dict[tuple[str, ...], float] = field(default_factory=dict)
    _drawn: dict[tuple[str, ...], dict[str, Any]] = field(default_factory=dict)

    def begin(self, searches: bool) -> None:
        """Say that it begins; `searches` tells whether compiled kernels will be needed."""
        self.stage(FIRST_RUN if searches and not is_warm() else "beginning")

    def stage(self, words: str) -> None:
        """Say what is done now."""
        self.tell({"kind": "stage", "words": words})

    def hear(self, progress: PlanProgress) -> None:
        """Take in what is going on."""
        if progress.stage:
            self.stage(progress.stage)
        elif progress.length_mm is not None and self._is_shorter(progress.length_mm, progress):
            self._shortest[progress.roles] = progress.length_mm
            self._drawn[progress.roles] = _cloth(progress, progress.length_mm)
            self.tell({"kind": "best", "cloths": list(self._drawn.values())})

    def _is_shorter(self, length: float, progress: PlanProgress) -> bool:
        known = self._shortest.get(progress.roles)
        return known is None or length < known - SHORTER_MM


def _cloth(progress: PlanProgress, length: float) -> dict[str, Any]:
    """The best of one cloth: its picture, its length, and how short it could be."""
    bound = progress.bound() if progress.bound is not None else 0.0
    sketch = progress.sketch() if progress.sketch is not None else None
    return {
        "name": f"{progress.fabric} for {' and '.join(progress.roles)}",
        "fold": taught_name(Fold.named(progress.fold)),
        "length": in_both(length),
        "bound": in_both(bound),
        "above": f"{100.0 * (length / bound - 1.0):.1f} %" if bound > 0.0 else "",
        "sections": sketch_data(sketch),
    }


def in_both(length: float) -> dict[str, str]:
    """A length in the words of both systems: whoever looks has chosen one."""
    return {system.value: format_length(length, system) for system in System}
