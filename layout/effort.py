"""How much work a search spends: counts, not seconds, so that a result can be repeated."""

from __future__ import annotations

from enum import Enum


class Effort(Enum):
    """Efforts of one `solve`; the three that a user names take about 1, 10 and 120 s.

    Measured on the machine of the table in the contributors' guide; others differ.
    """

    GLANCE = "glance"
    """A few orders decoded: enough to compare variants of a spread."""
    QUICK = "quick"
    BRISK = "brisk"
    """A short separation: enough to choose between two variants that are worth more."""
    NORMAL = "normal"
    THOROUGH = "thorough"
    ENDLESS = "endless"
    """Until a time limit or an interrupt; for benchmarks."""

    @property
    def placements(self) -> int:
        """Units placed by the constructive search."""
        return {
            "glance": 60,
            "quick": 400,
            "brisk": 400,
            "normal": 400,
            "thorough": 1200,
            "endless": 60,
        }[self.value]

    @property
    def evaluations(self) -> int:
        """Positions evaluated by each member of the separation search; 0: none."""
        return {
            "glance": 0,
            "quick": 0,
            "brisk": 6_000_000,
            "normal": 24_000_000,
            "thorough": 300_000_000,
            "endless": 10**15,
        }[self.value]
