"""Whether photographs of paper pieces can be measured here: an extra, with a library of its own."""

from __future__ import annotations

from importlib.util import find_spec

LIBRARY = "cv2"

ROOM = "plans.traced"


def photographs_offered() -> bool:
    """Whether the extra is installed."""
    return find_spec(LIBRARY) is not None and find_spec(ROOM) is not None
