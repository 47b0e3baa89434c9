"""How sure a length is that was measured in a photograph."""

from __future__ import annotations

import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.camera.fitting import Fit
from pieces.tracing.camera.judging import px_per_mm

COVERED = 1.96
"""Standard deviations within which 95 % of a normal distribution lie."""

RIM_PX, RIM_MM = 0.15, 0.12
"""Standard deviation of a spot on a rim: of the picture, and of paper cut by hand and worn."""

RISE_MM = 0.7
"""Standard deviation of how far paper stands off the floor where it is not weighed down."""


def length_errors(fit: Fit, a: FloatArray, b: FloatArray) -> FloatArray:
    """Stated errors (mm, 95 %) of the distances between spots of the picture, pair by pair.

    The covariance of the camera is carried on to first order; to it come the scatter of the two
    spots, and that paper which stands off the floor looks farther out.

    Parameters
    ----------
    fit : Fit
    a, b : FloatArray
        Spots, px, (pairs, 2).
    """
    one, two = fit.to_floor(a), fit.to_floor(b)
    way = two - one
    way /= np.maximum(np.hypot(*way.T), 1e-9)[:, None]
    slopes = fit.slopes(b) - fit.slopes(a)
    x, y, height = fit.lens.foot(fit.numbers)
    along = np.einsum("pc,pcn->pn", way, slopes)
    variance = np.einsum("pn,nm,pm->p", along, fit.covariance, along)
    for spots, places in ((a, one), (b, two)):
        scatter = np.hypot(RIM_PX / px_per_mm(fit, spots), RIM_MM)
        outward = (places - np.array([x, y])) / height
        variance += scatter**2 + (RISE_MM * (outward * way).sum(axis=1)) ** 2
    return np.asarray(COVERED * np.sqrt(variance))
