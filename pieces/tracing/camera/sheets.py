"""Which papers are sheets of a standard size: four straight sides that one camera explains."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.camera.bodies import Body, Side
from pieces.tracing.camera.first_guess import Guess, first_guess
from pieces.tracing.camera.model import homography

SHEETS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height, mm (ISO 216; US Letter 8.5 x 11 in)."""

TRUE_WITHIN = 0.2
"""Standard deviation (mm) of a side of a sheet. ISO 216 allows 2 mm; what is sold is trimmed far
better."""

CORNER_LEFT_OUT = 0.04
"""Of each end of a side: corners are worn, bent up, and rounded by blur."""

GREATEST_MISFIT = 0.09
"""Of squares, for a single sheet; Letter taken for A4 misses by 0.09 from straight above."""

ALIKE = 0.05
"""By how much the sides of two sheets may seem to differ before the lens is known."""


@dataclass(frozen=True)
class Quad:
    """Four-sided paper: which region it is, its corners (px), and spots along its four sides."""

    region: int
    corners: FloatArray
    sides: tuple[FloatArray, ...]
    bright: float


@dataclass(frozen=True)
class Sheets:
    """Sheets that go together, as bodies, and the first guess of the camera; `paper` names them."""

    paper: str
    bodies: tuple[Body, ...]
    regions: tuple[int, ...]
    guess: Guess


def quad_of(region: int, rim: FloatArray, bright: float) -> Quad | None:
    """Make a quad of a rim that has four sides, straight but for what the lens bends."""
    corners = _corner_indices(rim)
    if corners is None:
        return None
    x, y = rim.T
    if float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) > 0.0:
        # Counter-clockwise as seen, where the y of pictures runs down.
        rim = rim[::-1]
        corners = sorted(len(rim) - 1 - i for i in corners)
    sides, lines = [], []
    for a, b in itertools.pairwise([*corners, corners[0] + len(rim)]):
        index = np.arange(a, b) % len(rim)
        left_out = max(2, round(CORNER_LEFT_OUT * len(index)))
        spots = rim[index[left_out:-left_out]]
        if len(spots) < 24:
            return None
        middle = spots.mean(axis=0)
        way = np.linalg.svd(spots - middle, full_matrices=False)[2][0]
        off = np.abs((spots - middle) @ np.array([-way[1], way[0]]))
        length = np.hypot(*(spots[-1] - spots[0]))
        if np.percentile(off, 90) > 0.012 * length + 1.0:
            return None
        sides.append(spots)
        lines.append((middle, way))
    found = [_meeting(lines[k - 1], lines[k]) for k in range(4)]
    if any(point is None for point in found):
        return None
    return Quad(region, np.array(found), tuple(sides), bright)


def find_sheets(quads: list[Quad], size: tuple[int, int], papers: tuple[str, ...]) -> list[Sheets]:
    """Find for each standard size the sheets that go together, the best explained first."""
    found = []
    for paper in papers:
        sets = [
            chosen
            for quad in quads
            for turned in (False, True)
            if (chosen := _together(quad, turned, quads, size, paper)) is not None
        ]
        if sets:
            found.append(max(sets, key=lambda s: (len(s.bodies), -s.guess.misfit)))
    return sorted(found, key=lambda s: (-len(s.bodies), s.guess.misfit))


def _together(
    base: Quad, turned: bool, quads: list[Quad], size: tuple[int, int], paper: str
) -> Sheets | None:
    ring = _ring(paper)
    corners = np.roll(base.corners, -1, axis=0) if turned else base.corners
    guess = first_guess(ring, corners, size)
    if guess is None or guess.misfit > GREATEST_MISFIT:
        return None
    back = np.linalg.inv(homography(ring, corners))
    chosen = [(base, turned)]
    for quad in quads:
        if quad is base or quad.bright < 0.75 * base.bright:
            continue
        floor = np.column_stack([quad.corners, np.ones(4)]) @ back.T
        if (floor[:, 2] * back[2, 2] <= 0.0).any():
            continue
        flat = floor[:, :2] / floor[:, 2:]
        lengths = np.hypot(*(np.roll(flat, -1, axis=0) - flat).T)
        diagonals = np.hypot(*(flat[2:] - flat[:2]).T)
        for other in (False, True):
            want = np.roll(_ring(paper), 1 if other else 0, axis=0)
            sides = np.hypot(*(np.roll(want, -1, axis=0) - want).T)
            across = np.hypot(*(want[2] - want[0]))
            if (np.abs(lengths / sides - 1.0) < ALIKE).all() and (
                np.abs(diagonals / across - 1.0) < ALIKE
            ).all():
                chosen.append((quad, other))
    return Sheets(
        paper,
        tuple(_body(quad, turn, size, paper, len(chosen)) for quad, turn in chosen),
        tuple(quad.region for quad, _ in chosen),
        guess,
    )


def as_other_paper(sheets: Sheets, paper: str, size: tuple[int, int]) -> Sheets | None:
    """The same sheets taken for another size; None if no camera sees that so."""
    ring = _ring(paper)
    bodies = tuple(
        replace(
            body,
            ring=tuple((float(x), float(y)) for x, y in ring),
            sides=tuple(
                replace(side, start=tuple(ring[k]), end=tuple(ring[(k + 1) % 4]))
                for k, side in enumerate(body.sides)
            ),
        )
        for body in sheets.bodies
    )
    guess = first_guess(ring, bodies[0].corners, size)
    return None if guess is None else Sheets(paper, bodies, sheets.regions, guess)


def _body(quad: Quad, turned: bool, size: tuple[int, int], paper: str, count: int) -> Body:
    ring = [(float(x), float(y)) for x, y in _ring(paper)]
    first = 1 if turned else 0
    sides = tuple(
        Side(ring[k], ring[(k + 1) % 4], quad.sides[(k + first) % 4], bright_left=True)
        for k in range(4)
    )
    middle = quad.corners.mean(axis=0)
    name = f"the sheet {place_words(middle, size)}" if count > 1 else "the sheet"
    corners = np.roll(quad.corners, -first, axis=0)
    return Body(name, sides, corners, tuple(ring), TRUE_WITHIN)


def place_words(spot: FloatArray, size: tuple[int, int]) -> str:
    """Where in a picture a spot is, in words: "at the upper left"."""
    across, down = spot[0] / size[0], spot[1] / size[1]
    level = "upper " if down < 0.4 else "lower " if down > 0.6 else ""
    side = "left" if across < 0.4 else "right" if across > 0.6 else ""
    if not side:
        side, level = (level.strip() or "middle"), ""
        return f"in the {side}" if side == "middle" else f"at the {side} middle"
    return f"at the {level}{side}"


def _ring(paper: str) -> FloatArray:
    wide, high = SHEETS[paper]
    return np.array([[0.0, 0.0], [wide, 0.0], [wide, high], [0.0, high]])


def _corner_indices(rim: FloatArray) -> list[int] | None:
    """Where a closed line has its four corners: the largest four-sided figure in it."""
    import cv2

    hull = cv2.convexHull(rim.astype(np.float32))
    area = abs(_area(rim))
    if abs(_area(hull[:, 0].astype(float))) > 1.03 * area + 4.0:
        return None
    around = float(np.hypot(*(np.roll(rim, -1, axis=0) - rim).T).sum())
    rough = cv2.approxPolyDP(rim.astype(np.float32), 0.025 * around, True)[:, 0]
    if len(rough) != 4:
        return None
    if not 0.93 * area < abs(_area(rough.astype(float))) < 1.07 * area:
        return None
    return sorted(int(np.hypot(*(rim - corner).T).argmin()) for corner in rough)


def _area(ring: FloatArray) -> float:
    x, y = ring.T
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0


def _meeting(
    one: tuple[FloatArray, FloatArray], two: tuple[FloatArray, FloatArray]
) -> FloatArray | None:
    """Where two lines, each a point and a way, cross."""
    matrix = np.column_stack([one[1], -two[1]])
    if abs(np.linalg.det(matrix)) < 0.2:
        return None
    along = np.linalg.solve(matrix, two[0] - one[0])
    return np.asarray(one[0] + along[0] * one[1])
