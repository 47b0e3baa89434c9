"""The root of what can be wrong with cloth, its price and its records."""

from __future__ import annotations

from pieces.portable import PortableError


class FabricError(PortableError, ValueError):
    """Root of the errors of this room; the message says what is wrong and what would be right."""
