"""Cross-sections that bounds count by, where an outline has edges upright but for rounding."""

from __future__ import annotations

import numpy as np
import pytest

from layout.bounds.terms.profile import profile_of
from layout.problem import Pose
from pieces.geometry_types import Ring


def stepped(off: float) -> Ring:
    """Three steps of 100 mm, far from the origin, whose risers lean by so much (mm)."""
    corners = [(0.0, 0.0), (300.0, 0.0), (300.0 + off, 100.0)]
    corners += [(200.0, 100.0), (200.0 + off, 200.0), (100.0, 200.0), (100.0 + off, 300.0)]
    return tuple((x + 1000.0 / 3.0, y + 2000.0 / 3.0) for x, y in [*corners, (0.0, 300.0)])


@pytest.mark.parametrize("off", [1e-8, 1e-9, 1e-10, 3e-11, 1e-11, 1e-12])
def test_edges_that_are_upright_but_for_rounding_are_upright(off: float) -> None:
    """As wide as 50, 150 and 250 mm over 300, 200 and 100 mm."""
    profile = profile_of(stepped(off), Pose(0.0))
    assert profile.widest == pytest.approx(300.0, abs=1e-4)
    assert profile.at_least(np.array([50.0, 99.999, 150.0, 250.0, 299.999])) == pytest.approx(
        [300.0, 300.0, 200.0, 100.0, 100.0], abs=1e-4
    )
