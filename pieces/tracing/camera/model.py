"""A camera above a floor: a pinhole with radial distortion, in numbers that are fitted.

Spots are taken from the middle of the picture in halves of its diagonal. Straightening them is
q' = c + (q - c)(1 + k1 r^2 + k2 r^4), r = |q - c|; the floor is seen through focal length f at
rotation R and place t: q' = f (RX + t)_xy / (RX + t)_z. Numbers are (K,), or (..., K) of several
cameras at once, and what is worked out of them has the same axes in front.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pieces.geometry_types import FloatArray

FOCAL, TURN, PLACE, CENTRE, LENS = 0, slice(1, 4), slice(4, 7), slice(7, 9), slice(9, 11)
"""Where in the numbers stand: log f; a turn on top of R; t in units of its depth; c; k1, k2."""

GLOW, SIZE, FIRST_POSE, BEND = 11, slice(12, 14), 14, slice(14, 17)
"""By how much (px) bright things look larger; by which shares the bodies are wider and higher than
said; then x, y (mm) and angle of every body but the first. A body that lies alone has its bend
there instead: see `rises`."""


@dataclass(frozen=True)
class Lens:
    """What does not change while numbers are fitted: the picture and where the fit began."""

    size: tuple[int, int]
    turn: FloatArray
    depth: float

    @property
    def half(self) -> float:
        """Half of the diagonal, px."""
        return float(np.hypot(*self.size)) / 2.0

    def straightened(self, numbers: FloatArray, spots: FloatArray) -> FloatArray:
        """Spots of the picture (px), (N, 2), as a lens without distortion would show them."""
        middle = (np.asarray(self.size) - 1.0) / 2.0
        centre, lens = numbers[..., None, CENTRE], numbers[..., None, LENS]
        away = (spots - middle) / self.half - centre
        r2 = (away**2).sum(axis=-1, keepdims=True)
        return np.asarray(centre + away * (1.0 + lens[..., :1] * r2 + lens[..., 1:] * r2**2))

    def from_floor(self, numbers: FloatArray) -> FloatArray:
        """3 x 3 matrix from the floor (mm) to straightened spots."""
        turn = rotation(numbers[..., TURN]) @ self.turn
        place = numbers[..., PLACE, None] * self.depth
        flat = np.concatenate([turn[..., :2], place], axis=-1)
        flat[..., :2, :] *= np.exp(numbers[..., FOCAL, None, None])
        # The optical axis meets the picture at the centre of the distortion.
        flat[..., :2, :] += numbers[..., CENTRE, None] * flat[..., 2:, :]
        return np.asarray(flat)

    def to_floor(self, numbers: FloatArray, spots: FloatArray) -> FloatArray:
        """Where on the floor (mm) spots of the picture (px), (N, 2), lie."""
        straight = self.straightened(numbers, spots)
        return projected(_inverse(self.from_floor(numbers)), straight)

    def to_picture(self, numbers: FloatArray, points: FloatArray) -> FloatArray:
        """Where in the picture (px) points of the floor (mm) are seen; of one camera."""
        aim = projected(self.from_floor(numbers), points) - numbers[CENTRE]
        away = aim.copy()
        k1, k2 = numbers[LENS]
        for _ in range(12):
            r2 = (away**2).sum(axis=1, keepdims=True)
            away = aim / (1.0 + k1 * r2 + k2 * r2**2)
        middle = (np.asarray(self.size) - 1.0) / 2.0
        return np.asarray((away + numbers[CENTRE]) * self.half + middle)

    def flattened(self, numbers: FloatArray, spots: FloatArray, size: FloatArray) -> FloatArray:
        """Straightened spots of a body that lies alone, as they would be if it lay flat.

        Parameters
        ----------
        numbers : FloatArray
        spots : FloatArray
            Straightened, (..., N, 2).
        size : FloatArray
            Width and height of the body, mm, which lies with its lower left corner at 0, 0.
        """
        matrix = self.from_floor(numbers)
        floor = projected(_inverse(matrix), spots)
        foot = self.foot(numbers)[..., None, :]
        under, height = foot[..., :2], foot[..., 2:]
        rise = rises(numbers[..., BEND], 2.0 * floor / size - 1.0)[..., None]
        return projected(matrix, under + (floor - under) * (1.0 - rise / height))

    def foot(self, numbers: FloatArray) -> FloatArray:
        """Where the camera stood: x, y on the floor and height above it, mm."""
        turn = rotation(numbers[..., TURN]) @ self.turn
        place = -np.swapaxes(turn, -1, -2) @ (numbers[..., PLACE, None] * self.depth)
        return np.concatenate([place[..., :2, 0], np.abs(place[..., 2:, 0])], axis=-1)

    def tilt(self, numbers: FloatArray) -> float:
        """Angle between the optical axis and the upright, degrees; of one camera."""
        turn = rotation(numbers[TURN]) @ self.turn
        return float(np.degrees(np.arccos(min(1.0, abs(turn[2, 2])))))


def rises(bend: FloatArray, spots: FloatArray) -> FloatArray:
    """How high (mm) a bent sheet stands off the floor; its lowest spot lies on it.

    Parameters
    ----------
    bend : FloatArray
        (..., 3): how far (mm) the middle stands above the sides across its width and across its
        height, and how far two opposite corners stand above the middle when the other two are as
        far below.
    spots : FloatArray
        On the sheet, -1 to 1 over its width and its height, (..., N, 2).
    """
    wide, high, twist = (bend[..., k, None] for k in range(3))

    def shape(u: FloatArray, v: FloatArray) -> FloatArray:
        return np.asarray(twist * u * v - wide * u * u - high * v * v)

    u, v = np.meshgrid([-1.0, 0.0, 1.0], [-1.0, 0.0, 1.0])
    least = shape(u.ravel(), v.ravel()).min(axis=-1, keepdims=True)
    return np.asarray(shape(spots[..., 0], spots[..., 1]) - least)


def projected(matrix: FloatArray, points: FloatArray) -> FloatArray:
    """Points of a plane, (..., N, 2), through 3 x 3 matrices, (..., 3, 3)."""
    rays = points @ np.swapaxes(matrix[..., :2], -1, -2) + matrix[..., None, :, 2]
    return np.asarray(rays[..., :2] / rays[..., 2:])


def _inverse(matrix: FloatArray) -> FloatArray:
    return np.asarray(np.linalg.inv(matrix), float)


def rotation(vector: FloatArray) -> FloatArray:
    """Rotation matrices, (..., 3, 3), of rotation vectors, (..., 3) (Rodrigues)."""
    angle = np.linalg.norm(vector, axis=-1)[..., None, None]
    x, y, z = (vector[..., k] for k in range(3))
    cross = np.zeros((*vector.shape, 3))
    cross[..., 0, 1], cross[..., 0, 2], cross[..., 1, 2] = -z, y, -x
    cross[..., 1, 0], cross[..., 2, 0], cross[..., 2, 1] = z, -y, x
    none = angle < 1e-12
    some = np.where(none, 1.0, angle)
    once = np.where(none, 1.0, np.sin(some) / some)
    twice = np.where(none, 0.0, (1.0 - np.cos(some)) / some**2)
    return np.asarray(np.eye(3) + once * cross + twice * (cross @ cross))


def homography(points: FloatArray, seen: FloatArray) -> FloatArray:
    """3 x 3 matrix that takes four points to where they are seen."""
    rows = []
    for (x, y), (u, v) in zip(points, seen, strict=True):
        rows.append([x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, -u])
        rows.append([0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y, -v])
    return np.asarray(np.linalg.svd(np.asarray(rows))[2][-1].reshape(3, 3))
