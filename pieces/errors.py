"""The root of what can be wrong with what was typed about pieces."""

from __future__ import annotations

from pieces.portable import PortableError


class PieceError(PortableError, ValueError):
    """Root of the errors of this room; the message says what is wrong and what would be right."""
