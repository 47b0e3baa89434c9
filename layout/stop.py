"""When a search ends before its work is done: time, target, bound, or being asked to end."""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass, field

from layout.layout import EndedBy

ASKED_TO_END = threading.Event()
"""Set when the user has interrupted the whole run, in workers, too: each search ends with the best
so far, and none begins, wherever the interrupt itself was caught."""

REACHED_MM = 1e-6
"""A length within this of a target or bound has reached it."""


def heed() -> None:
    """Go no further if this process was asked to end.

    Raises
    ------
    KeyboardInterrupt
    """
    if ASKED_TO_END.is_set():
        raise KeyboardInterrupt


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
        """Whether the time is up, or this process was asked to end."""
        if ASKED_TO_END.is_set():
            return True
        return self.time_limit is not None and time.monotonic() - self._began >= self.time_limit

    def why_late(self) -> EndedBy:
        """What to say of a search that ended because it was late."""
        return EndedBy.INTERRUPT if ASKED_TO_END.is_set() else EndedBy.TIME

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
