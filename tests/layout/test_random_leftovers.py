"""Random leftovers are cloth that there can be."""

from __future__ import annotations

from tests.layout.random_problems import random_leftover


def test_no_outline_crosses_itself() -> None:
    """Corners drawn at random may lie all on one side; the soak met one of those."""
    assert len(random_leftover(5006).outline) >= 3
