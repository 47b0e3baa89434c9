"""Weights of widths: whatever fits side by side weighs 1 at most, by every function."""

from __future__ import annotations

import numpy as np
import pytest

from layout.bounds.weighing.scale import Scale, scale_for
from pieces.geometry_types import FloatArray

CAPACITY = 700.0


def weighed(scale: Scale, widths: FloatArray) -> FloatArray:
    """What free pieces of these widths (mm) weigh together, by each function."""
    at = np.searchsorted(scale.widths, widths, side="right") - 1
    return np.asarray(scale.free[:, at].sum(axis=1))


def on_edge(scale: Scale, width: float) -> FloatArray:
    """What a piece on the fold weighs."""
    at = int(np.searchsorted(scale.widths, width, side="right")) - 1
    return np.asarray(scale.on_edge[:, at])


@pytest.mark.parametrize(
    "odd",
    [[], [-0.02, -1e-9], [0.0, 1e-9, 1e-6], [CAPACITY, CAPACITY - 1e-9, CAPACITY - 1e-6]],
    ids=["usual", "less than nothing", "hardly anything", "all there is"],
)
def test_what_fits_side_by_side_weighs_no_more_than_all(odd: list[float]) -> None:
    """Rows of pieces at random that fill the width, some of the widths that are told."""
    rng = np.random.default_rng(1)
    for _ in range(20):
        told = np.unique([*rng.uniform(5.0, CAPACITY, 6), *odd])
        scale = scale_for(CAPACITY, told)
        assert np.isfinite(scale.free).all()
        assert np.isfinite(scale.on_edge).all()
        assert (np.diff(scale.free, axis=1) >= -1e-9).all()
        for _ in range(60):
            shares = rng.dirichlet(np.ones(int(rng.integers(1, 9)))) * CAPACITY
            shares[0] = rng.choice(told) if rng.random() < 0.5 else shares[0]
            kept = shares[(shares > 0.0) & (np.cumsum(shares) <= CAPACITY)]
            if len(kept) == 0:
                continue
            assert (weighed(scale, kept) <= 1.0 + 1e-6).all()
            edge, free = float(kept[0]), kept[1:]
            assert (weighed(scale, free) + on_edge(scale, edge) <= 1.0 + 1e-6).all()
