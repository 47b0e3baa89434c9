"""Exit codes of the command line; the README lists them too."""

from __future__ import annotations

from enum import IntEnum


class ExitCode(IntEnum):
    """What a command answers to whoever called it."""

    DONE = 0
    """Done."""
    INPUT = 2
    """Unreadable or contradictory input, or wrong usage."""
    NO_LAYOUT = 3
    """Sound input for which no layout fits, or photographs that no size can be taken from."""
    FAULT = 70
    """A fault of ours: the validator refused a layout, or a bug."""
    INTERRUPTED = 130
    """Interrupted; what was finished is kept."""
