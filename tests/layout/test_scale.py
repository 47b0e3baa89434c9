"""Functions that weigh widths: a piece that narrows to nothing must not upset them."""

from __future__ import annotations

import numpy as np
import pytest

from layout.bounds.weighing.scale import scale_for


@pytest.mark.parametrize("least", [0.0, 1e-9, 1e-7, 1e-3])
def test_weights_of_all_widths_are_figures(least: float) -> None:
    """Also those of widths beside one of nearly nothing."""
    for capacity in np.linspace(300.0, 1500.0, 25).tolist():
        scale = scale_for(capacity, np.array([least, 0.4 * capacity, capacity]))
        assert np.isfinite(scale.free).all()
        assert np.isfinite(scale.on_edge).all()
        assert scale.free.max() <= 1.0 + 1e-6
