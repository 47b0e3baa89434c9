"""What can go wrong with the stash; the message says what, and what to do."""

from __future__ import annotations


class StashError(ValueError):
    """The stash cannot do this; nothing was changed."""
