"""Lists of numbers in attributes: with spaces, commas or nothing but a sign or a point between."""

from __future__ import annotations

import math
import re

_NUMBER = re.compile(r"[\s,]*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)")


def numbers_in(text: str, most: int) -> list[float] | None:
    """Return the numbers of a text, `most` + 1 at most; None if it holds anything else.

    Every sign is looked at once: a hostile text of any length costs no more than its length.
    """
    numbers: list[float] = []
    at = 0
    while len(numbers) <= most:
        match = _NUMBER.match(text, at)
        if match is None:
            break
        numbers.append(float(match[1]))
        at = match.end()
    if len(numbers) <= most and text[at:].strip(" \t\r\n\f,"):
        return None
    return numbers if all(map(math.isfinite, numbers)) else None
