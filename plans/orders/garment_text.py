"""Garments as they are typed: `NAME[:SIZE][*COUNT]`."""

from __future__ import annotations

import re
from pathlib import Path

from pieces.readers.shelf import all_names
from plans.errors import PlanError
from plans.orders.request import MOST_MAKES, GarmentAsked

_TYPED = re.compile(r"(?P<name>[^*]+?)(?P<colon>:(?P<size>[^:*/\\]*))?(?P<star>\*(?P<count>.*))?")


class GarmentTextError(PlanError):
    """A garment that is not typed as NAME[:SIZE][*COUNT]; the message says what is wrong."""


def parse_garment(text: str) -> GarmentAsked:
    """Read a garment with its size and how many are made.

    What is a name on the shelf or a file as it stands is taken as that.

    Raises
    ------
    GarmentTextError
    """
    if text in all_names() or Path(text).exists():
        return GarmentAsked(text)
    found = _TYPED.fullmatch(text)
    if found is None or not found["name"].strip():
        raise GarmentTextError(f"'{text}' names no garment; write NAME, NAME:SIZE or NAME:SIZE*2")
    if found["colon"] and not found["size"].strip():
        raise GarmentTextError(f"'{text}' names no size; write {found['name']}:SIZE")
    size = found["size"].strip() if found["colon"] else None
    return GarmentAsked(found["name"].strip(), size, _count(text, found["count"]))


def _count(text: str, count: str | None) -> int:
    if count is None:
        return 1
    figures = count.strip()
    sound = re.fullmatch(r"[0-9]{1,6}", figures) is not None and 1 <= int(figures) <= MOST_MAKES
    if not sound:
        shown = figures if len(figures) <= 20 else f"{figures[:20]}..."
        what = f"'{shown}'" if figures else "nothing after *"
        raise GarmentTextError(
            f"'{text[:60]}': {what} is no number of garments; from 1 to {MOST_MAKES}"
        )
    return int(figures)
