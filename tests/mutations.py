"""Plain data of JSON with one value after another replaced by what does not belong there."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

MISSING: Any = object()
"""The field is taken away."""

WRONG: tuple[Any, ...] = (
    None, "", [], {}, float("inf"), float("nan"), -1, 0, 1, "1e5", 1e300, 10**400, [None], [[]],
    True, False, "x", "\x00", "a\nb", "\ud800", [1.0, 2.0], {"x": 1}, 1e-320, "x" * 2000, MISSING,
)  # fmt: skip

Place = tuple[str | int, ...]


def places(data: Any, at: Place = ()) -> Iterator[Place]:
    """Every value, the groups included; of long lists of points the first and the last entry."""
    if at:
        yield at
    if isinstance(data, dict):
        for key, value in data.items():
            yield from places(value, (*at, key))
    elif isinstance(data, list):
        points = len(data) > 4 and all(isinstance(entry, list) for entry in data)
        for k in (0, len(data) - 1) if points else range(len(data)):
            yield from places(data[k], (*at, k))


def mutations(data: Any, each: int, seed: int = 1) -> Iterator[tuple[Place, Any]]:
    """Change `data` in place, `each` ways at each place, and back again after each.

    Which ways is drawn at random, the same on every run.
    """
    rng = random.Random(seed)
    for place in list(places(data)):
        holder = data
        for key in place[:-1]:
            holder = holder[key]
        for wrong in rng.sample(WRONG, each):
            before = list(holder) if isinstance(holder, list) else dict(holder)
            if wrong is MISSING:
                del holder[place[-1]]
            else:
                holder[place[-1]] = wrong
            yield place, wrong
            holder.clear()
            if isinstance(holder, list):
                holder.extend(before)
            else:
                holder.update(before)
