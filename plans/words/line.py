"""A line of arithmetic, ready to print."""

from __future__ import annotations

from typing import NamedTuple


class Line(NamedTuple):
    """What, how it was computed, and the result; a row of a table of three columns."""

    what: str
    how: str
    result: str
