"""Numbers that make all sides of all bodies lie where they are seen, and how sure they are.

Weighted least squares with what is known beforehand (Levenberg, Marquardt); the covariance of the
numbers is carried on to lengths to first order (Criminisi, Reid and Zisserman, A plane measuring
device, BMVC 1997).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.camera.bodies import Body
from pieces.tracing.camera.first_guess import FOCAL_SPREAD, USUAL_FOCAL, Guess
from pieces.tracing.camera.model import (
    BEND,
    CENTRE,
    FIRST_POSE,
    FOCAL,
    GLOW,
    LENS,
    PLACE,
    SIZE,
    TURN,
    Lens,
    projected,
)

BINS = 24
"""Spots of a side are averaged into so many at most."""

CENTRE_SPREAD, UNTRIMMED_SPREAD = 0.2, 0.03
"""How far the optical axis may miss the middle, in halves of the diagonal: of any picture, for
nothing tells that one was trimmed, and of a picture as the camera made it."""

LENS_SPREAD = (0.04, 0.01)
"""Of k1 and k2, for cameras that straighten their pictures themselves, as telephones do."""

GLOW_SPREAD = 0.2
"""Of the apparent growth of bright things, px."""

BEND_SPREAD, STIFF = 1.0, 1e-3
"""Of each way in which a sheet that lies alone may bend, mm; and of one that is taken as flat."""

COMPARED_AT = 0.15
"""Noise (px) that fits are compared at, one with another."""

LEAST_NOISE = 0.04
"""No mean of a stretch of rim is surer than this, px."""


@dataclass(frozen=True)
class Seen:
    """Averaged spots of all sides, as arrays: one row each."""

    spots: FloatArray
    start: FloatArray
    end: FloatArray
    bright: FloatArray
    body: FloatArray
    side: FloatArray


@dataclass(frozen=True)
class Fit:
    """A fitted camera: the lens, its numbers with covariance, and what is left over.

    Attributes
    ----------
    residuals : FloatArray
        How far (px) each averaged spot is off its side.
    weights : FloatArray
        1, less for spots that stand out.
    noise : float
        Standard deviation of such a spot, px, what they have in common counted in.
    misfit : float
        How badly all of it fits, what is known beforehand counted in: the less, the likelier;
        for comparing fits of one picture.
    """

    lens: Lens
    numbers: FloatArray
    covariance: FloatArray
    seen: Seen
    residuals: FloatArray
    weights: FloatArray
    noise: float
    misfit: float
    bodies: tuple[Body, ...]

    def to_floor(self, spots: FloatArray) -> FloatArray:
        """Where on the floor (mm) spots of the picture (px) lie."""
        return self.lens.to_floor(self.numbers, spots)

    def pose(self, index: int) -> FloatArray:
        """Place (mm) and angle of a body on the floor."""
        return _pose(self.numbers, index)

    def slopes(self, spots: FloatArray) -> FloatArray:
        """How the places of spots on the floor change with the numbers: (spots, 2, numbers)."""
        return _slopes(lambda numbers: self.lens.to_floor(numbers, spots), self.numbers)


def fit_camera(
    bodies: tuple[Body, ...],
    guess: Guess,
    size: tuple[int, int],
    centre_spread: float = CENTRE_SPREAD,
    bend_spread: float = BEND_SPREAD,
) -> Fit:
    """Fit the camera to bodies; the guess is made from the first of them.

    Parameters
    ----------
    bodies : tuple of Body
    guess : Guess
    size : (int, int)
        Width and height of the picture.
    centre_spread, bend_spread : float
        Standard deviations of where the optical axis is, in halves of the diagonal, and of the bend
        (mm) of a body that lies alone.

    Raises
    ------
    ValueError
        If no numbers suit the picture at all.
    """
    depth = float(guess.place[2])
    lens = Lens(size, guess.turn, depth)
    numbers = np.zeros(BEND.stop if len(bodies) == 1 else FIRST_POSE + 3 * (len(bodies) - 1))
    numbers[FOCAL] = np.log(guess.focal)
    numbers[PLACE] = guess.place / depth
    for k, body in enumerate(bodies[1:], start=1):
        numbers[_at(k)] = _laid(np.asarray(body.ring), lens.to_floor(numbers, body.corners))
    prior, spread = _beforehand(numbers, bodies, centre_spread, bend_spread)
    seen = _averaged(bodies)
    weights = np.ones(len(seen.spots))
    noise = 0.3
    residual = _residual_function(lens, seen, bodies)
    for _ in range(3):
        numbers = _minimised(residual, numbers, prior, spread, weights / noise)
        off = residual(numbers)
        noise = _noise_of(off, weights, seen, len(bodies))
        weights = 1.0 / np.maximum(1.0, np.abs(off) / (3.0 * noise)) ** 2
    slopes = _slopes(residual, numbers) * (weights / noise)[:, None]
    system = slopes.T @ slopes + np.diag(spread**-2.0)
    off = residual(numbers)
    misfit = float(((off / COMPARED_AT) ** 2).sum() + (((numbers - prior) / spread) ** 2).sum())
    return Fit(
        lens,
        numbers,
        np.asarray(np.linalg.inv(system), float),
        seen,
        off,
        weights,
        noise,
        misfit,
        bodies,
    )


def _beforehand(
    numbers: FloatArray, bodies: tuple[Body, ...], centre_spread: float, bend_spread: float
) -> tuple[FloatArray, FloatArray]:
    """What the numbers are expected to be, and within what."""
    prior = numbers.copy()
    spread = np.full(len(numbers), 1e4)
    prior[FOCAL], spread[FOCAL] = np.log(USUAL_FOCAL), FOCAL_SPREAD
    spread[TURN], spread[PLACE] = 10.0, 10.0
    spread[CENTRE], spread[LENS] = centre_spread, LENS_SPREAD
    spread[GLOW] = GLOW_SPREAD
    spread[SIZE] = max(body.true_within for body in bodies) / np.asarray(bodies[0].size)
    if len(bodies) == 1:
        spread[BEND] = bend_spread
    return prior, spread


def _averaged(bodies: tuple[Body, ...]) -> Seen:
    rows: dict[str, list[FloatArray]] = {
        key: [] for key in ("spots", "start", "end", "bright", "body", "side")
    }
    number = 0
    for k, body in enumerate(bodies):
        for side in body.sides:
            count = max(1, min(BINS, len(side.seen) // 4))
            spots = np.array([part.mean(axis=0) for part in np.array_split(side.seen, count)])
            rows["spots"].append(spots)
            rows["start"].append(np.tile(side.start, (count, 1)))
            rows["end"].append(np.tile(side.end, (count, 1)))
            rows["bright"].append(np.full(count, 1.0 if side.bright_left else -1.0))
            rows["body"].append(np.full(count, float(k)))
            rows["side"].append(np.full(count, float(number)))
            number += 1
    return Seen(**{key: np.concatenate(values) for key, values in rows.items()})


def _residual_function(
    lens: Lens, seen: Seen, bodies: tuple[Body, ...]
) -> Callable[[FloatArray], FloatArray]:
    """What is off (px) at each spot, (..., spots), of numbers, (..., K)."""
    count = len(bodies)
    size = np.asarray(bodies[0].size)
    index = seen.body.astype(int)

    def residual(numbers: FloatArray) -> FloatArray:
        poses = np.stack([_pose(numbers, k) for k in range(count)], axis=-2)[..., index, :]
        c, s = np.cos(poses[..., 2]), np.sin(poses[..., 2])
        matrix = lens.from_floor(numbers)
        true = 1.0 + numbers[..., None, SIZE]
        ends = []
        for end in (seen.start * true, seen.end * true):
            x = end[..., 0] * c - end[..., 1] * s + poses[..., 0]
            y = end[..., 0] * s + end[..., 1] * c + poses[..., 1]
            ends.append(projected(matrix, np.stack([x, y], axis=-1)))
        a, b = ends
        way = b - a
        way /= np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-12)[..., None]
        spots = lens.straightened(numbers, seen.spots)
        if count == 1:
            spots = lens.flattened(numbers, spots, size)
        away = spots - a
        # To the right of the way, for the picture's y runs down.
        right = (away[..., 1] * way[..., 0] - away[..., 0] * way[..., 1]) * lens.half
        return np.asarray(right - seen.bright * numbers[..., GLOW, None])

    return residual


def _minimised(
    residual: Callable[[FloatArray], FloatArray],
    numbers: FloatArray,
    prior: FloatArray,
    spread: FloatArray,
    weights: FloatArray,
) -> FloatArray:
    damping = 1e-3

    def cost_of(tried: FloatArray) -> float:
        return float(
            ((residual(tried) * weights) ** 2).sum() + (((tried - prior) / spread) ** 2).sum()
        )

    cost = cost_of(numbers)
    for _ in range(40):
        off = residual(numbers)
        slopes = _rough_slopes(residual, numbers, off) * weights[:, None]
        pull = slopes.T @ (off * weights) + (numbers - prior) / spread**2
        system = slopes.T @ slopes + np.diag(spread**-2.0)
        better = False
        for _ in range(8):
            step = np.linalg.solve(system + damping * np.diag(np.diag(system)), pull)
            tried = numbers - step
            new = cost_of(tried)
            if np.isfinite(new) and new < cost:
                better = True
                break
            damping *= 10.0
        if not better:
            break
        gained = cost - new
        numbers, cost, damping = tried, new, damping / 5.0
        if gained < 1e-4 * (1.0 + cost):
            break
    return numbers


def _rough_slopes(
    residual: Callable[[FloatArray], FloatArray], numbers: FloatArray, off: FloatArray
) -> FloatArray:
    """Slopes to one side, in half the time: good enough for finding the way."""
    steps = _steps(numbers)
    up = residual(numbers + np.diag(steps))
    return np.asarray(((up - off) / steps[:, None]).T)


def _slopes(function: Callable[[FloatArray], FloatArray], numbers: FloatArray) -> FloatArray:
    """How each figure of a function of (..., K) numbers changes with them: (..., K)."""
    steps = _steps(numbers)
    apart = function(numbers + np.diag(steps)) - function(numbers - np.diag(steps))
    return np.asarray(np.moveaxis(apart, 0, -1) / (2.0 * steps))


def _steps(numbers: FloatArray) -> FloatArray:
    steps = np.full(len(numbers), 1e-5)
    steps[GLOW] = 1e-3
    # Those of a pose suit the bend of a body that lies alone, too.
    steps[FIRST_POSE:] = np.tile([1e-2, 1e-2, 1e-5], (len(numbers) - FIRST_POSE) // 3)
    return steps


def _noise_of(off: FloatArray, weights: FloatArray, seen: Seen, bodies: int) -> float:
    """Scatter of one averaged spot, with what neighbours on a side have in common counted in."""
    free = max(1.0, weights.sum() - (11 + 3 * bodies))
    single = float((weights * off**2).sum() / free)
    joint = []
    for side in np.unique(seen.side):
        values = off[seen.side == side] * np.sqrt(weights[seen.side == side])
        blocks = np.array_split(values, max(1, len(values) // 4))
        joint += [float(block.sum()) ** 2 / len(block) for block in blocks]
    share = float(np.mean(joint)) / max(single, 1e-12)
    return float(np.sqrt(max(single, LEAST_NOISE**2) * np.clip(share, 1.0, 8.0)))


def _laid(ring: FloatArray, found: FloatArray) -> FloatArray:
    """Place and angle that bring a body nearest to where its corners lie (Procrustes)."""
    a, b = ring - ring.mean(axis=0), found - found.mean(axis=0)
    angle = np.arctan2((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum(), (a * b).sum())
    c, s = np.cos(angle), np.sin(angle)
    place = found.mean(axis=0) - np.array([[c, -s], [s, c]]) @ ring.mean(axis=0)
    return np.array([*place, angle])


def _pose(numbers: FloatArray, index: int) -> FloatArray:
    return np.zeros((*numbers.shape[:-1], 3)) if index == 0 else numbers[..., _at(index)]


def _at(index: int) -> slice:
    start = FIRST_POSE + 3 * (index - 1)
    return slice(start, start + 3)
