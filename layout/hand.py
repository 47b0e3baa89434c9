"""Which hand of a piece a copy is: as the layout knows it, without left and right."""

from __future__ import annotations

from enum import Enum


class Hand(Enum):
    """The hand of a copy against the outline that is drawn; the value is its name in files."""

    DRAWN = "drawn"
    """Seen from the right side of the cloth it is as it is drawn."""
    OTHER = "other"
    """Its mirror image."""
    EITHER = "either"
    """Both hands are the same piece: nobody tells them apart."""
