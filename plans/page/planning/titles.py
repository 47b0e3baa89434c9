"""Titles inside sentences: one that runs from right to left turns nothing else round."""

from __future__ import annotations

FIRST_STRONG, POP = "\u2068", "\u2069"
"""Isolate of the direction of its first strong letter, and its end (Unicode, UAX 9)."""


def isolated(title: str) -> str:
    """Keep the direction of a title to itself."""
    return title if title.isascii() else f"{FIRST_STRONG}{title}{POP}"


def titled(title: str, makes: int) -> str:
    """A title with how many are made, if that is more than one."""
    return f"{isolated(title)}, {makes} of them" if makes > 1 else isolated(title)
