"""How many cores there are to work on."""

from __future__ import annotations

import os
from collections.abc import Callable


def cores() -> int:
    """Cores that this process may use: what it is bound to counts, not what the machine has."""
    counted: Callable[[], int | None] | None = getattr(os, "process_cpu_count", None)
    if counted is not None:
        return counted() or 1
    bound_to: Callable[[int], set[int]] | None = getattr(os, "sched_getaffinity", None)
    try:
        return len(bound_to(0)) if bound_to is not None else os.cpu_count() or 1
    except OSError:
        return os.cpu_count() or 1
