"""When a search ends before its work is done: time, target, bound."""

from __future__ import annotations

import time
from dataclasses import dataclass, field

from layout.layout import EndedBy

REACHED_MM = 1e-6
"""A length within this of a target or bound has reached it."""


@dataclass
class Stop:
    """Stops on a time limit or once a length is good enough; the clock starts when it is made.

    Attributes
    ----------
    target : float
        Cloth length (mm) that is good enough for the user.
    bound : float
        Cloth length that no layout can undercut.
    time_limit : float or None
        Seconds.
    """

    target: float = 0.0
    bound: float = 0.0
    time_limit: float | None = None
    _began: float = field(default_factory=time.monotonic)

    def late(self) -> bool:
        """Whether the time is up."""
        return self.time_limit is not None and time.monotonic() - self._began >= self.time_limit

    def remaining(self) -> float | None:
        """Seconds left, or None without a limit."""
        if self.time_limit is None:
            return None
        return max(0.0, self.time_limit - (time.monotonic() - self._began))

    def reached(self, length: float) -> EndedBy | None:
        """Why a length (mm) ends the search, or None."""
        if length <= self.bound + REACHED_MM:
            return EndedBy.BOUND
        return EndedBy.TARGET if length <= self.target + REACHED_MM else None
