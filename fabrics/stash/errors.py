"""What can go wrong with the stash; the message says what, and what to do."""

from __future__ import annotations

from fabrics.folds.errors import FabricError


class StashError(FabricError):
    """The stash cannot do this; nothing was changed."""
