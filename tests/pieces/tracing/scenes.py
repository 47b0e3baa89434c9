"""Scenes from seeds: good ones that must be measured well, and bad ones that must be refused."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from shapely.geometry import Polygon

from pieces.geometry_types import FloatArray
from pieces.tracing.marks import (
    BODY_MM,
    KNOWN_MARK_MM,
    KNOWN_MARKS,
    MARK_MM,
    MARKS_A_PAGE,
    mark_corners,
    white_cells,
)
from tests.pieces.tracing.rendering import A4, FLOORS, PAPERS, Camera, Paper, Scene
from tests.pieces.tracing.shapes import a_shape, turned

Rng = np.random.Generator
SIZE = (2200, 1650)
HALF = (560.0, 420.0)
"""Half of the floor that is used, mm."""

GLYPHS = (
    ((0, 0), (0, 10), (6, 10), (6, 5), (0, 5)),
    ((0, 10), (3, 0), (6, 10)),
    ((0, 0), (6, 0), (6, 10), (0, 10), (0, 0)),
    ((6, 10), (0, 10), (0, 0), (6, 0)),
    ((0, 0), (3, 10), (6, 0)),
)


@dataclass
class Known:
    """A scene, and the rings (mm) of its pieces in truth."""

    scene: Scene
    rings: list[FloatArray]


def sheet_ring(at: tuple[float, float], angle: float, size: tuple[float, float] = A4) -> FloatArray:
    """Ring of a sheet about a centre."""
    w, h = size[0] / 2.0, size[1] / 2.0
    return turned(np.array([[-w, -h], [w, -h], [w, h], [-w, h]]), angle, at)


def writing(ring: FloatArray, rng: Rng) -> list[tuple[FloatArray, float]]:
    """Strokes of a few letters and of a line, inside a piece."""
    shape = Polygon(ring)
    middle = shape.representative_point()
    angle, size = rng.uniform(0, 2 * math.pi), rng.uniform(1.0, 2.0)
    strokes = []
    for k in range(5):
        glyph = np.asarray(GLYPHS[int(rng.integers(len(GLYPHS)))], dtype=float) * size
        line = turned(glyph + np.array([k * 9.0 * size - 20 * size, 0.0]), angle,
                      (middle.x, middle.y))  # fmt: skip
        if shape.buffer(-12.0).contains(Polygon(line).envelope):
            strokes.append((line, 0.9))
    return strokes


def spread_pieces(
    rng: Rng, blocked: list[FloatArray], count: int, half: tuple[float, float] = HALF
) -> list[FloatArray]:
    """Rings of pieces that lie apart from each other and from what lies there."""
    taken = [Polygon(ring).buffer(18.0) for ring in blocked]
    found: list[FloatArray] = []
    for _ in range(400):
        if len(found) == count:
            break
        ring = turned(
            a_shape(rng), rng.uniform(0, 2 * math.pi),
            (rng.uniform(-half[0], half[0]), rng.uniform(-half[1], half[1])),
        )  # fmt: skip
        if np.abs(ring[:, 0]).max() > half[0] or np.abs(ring[:, 1]).max() > half[1]:
            continue
        shape = Polygon(ring)
        if any(shape.intersects(other) for other in taken):
            continue
        taken.append(shape.buffer(18.0))
        found.append(ring)
    return found


def corner_sheets(rng: Rng, count: int, size: tuple[float, float] = A4) -> list[FloatArray]:
    """Sheets spread to the corners of the floor; a single one lies near the middle."""
    if count == 1:
        at = (rng.uniform(-80, 80), rng.uniform(-60, 60))
        return [sheet_ring(at, rng.uniform(0, math.pi), size)]
    corners = [(-1, -1), (1, -1), (1, 1), (-1, 1)][:count]
    rings = []
    for sx, sy in corners:
        at = (sx * (HALF[0] - 150 - rng.uniform(0, 30)), sy * (HALF[1] - 165 - rng.uniform(0, 20)))
        quarter = rng.integers(0, 2) * math.pi / 2.0
        rings.append(sheet_ring(at, quarter + rng.uniform(-0.12, 0.12), size))
    return rings


def page_of_marks(number: int, at: tuple[float, float], angle: float, scale: float = 1.0) -> Paper:
    """A printed page, its print larger by a factor than it should be; the paper is A4."""
    low = -np.asarray(BODY_MM) / 2.0
    fills = []
    for place in range(MARKS_A_PAGE):
        corner = np.asarray(mark_corners(place)[3]) + low
        fills += _mark(MARKS_A_PAGE * number + place, corner, MARK_MM)
    return Paper(
        sheet_ring(at, angle), PAPERS["white"],
        fills=[(turned(ring * scale, angle, at), tone) for ring, tone in fills],
    )  # fmt: skip


def known_mark(number: int, at: tuple[float, float], angle: float) -> Paper:
    """One of the two marks for a known length, cut out."""
    half = KNOWN_MARK_MM / 2.0 + 16.0
    ring = np.array([[-half, -half], [half, -half], [half, half], [-half, half]])
    fills = _mark(KNOWN_MARKS[number], np.full(2, -KNOWN_MARK_MM / 2.0), KNOWN_MARK_MM)
    return Paper(
        turned(ring, angle, at), PAPERS["white"],
        fills=[(turned(shape, angle, at), tone) for shape, tone in fills],
    )  # fmt: skip


def _mark(number: int, corner: FloatArray, side: float) -> list[tuple[FloatArray, float]]:
    black = np.array([[0.0, 0.0], [side, 0.0], [side, side], [0.0, side]]) + corner
    white = [(np.asarray(ring) + corner, 0.84) for ring in white_cells(number, side)]
    return [(black, 0.03), *white]


def with_marks(
    seed: int, size: tuple[int, int] = SIZE, pages: int = 4, scale: float = 1.0
) -> Known:
    """The photograph of a seed with pages of marks where its sheets lie."""
    known = good(seed, size, pages)
    rng = np.random.default_rng(seed)
    papers = known.scene.papers
    for k in range(pages):
        ring = papers[k].ring
        way = ring[1] - ring[0]
        at = ring.mean(axis=0)
        papers[k] = page_of_marks(
            k, (float(at[0]), float(at[1])), math.atan2(way[1], way[0]),
            scale * (1.0 + rng.normal(0.0, 0.0007)),
        )  # fmt: skip
    return known


def good(seed: int, size: tuple[int, int] = SIZE, sheets: int = 4) -> Known:
    """A photograph that a careful person takes."""
    rng = np.random.default_rng(seed)
    floor = str(rng.choice(list(FLOORS)))
    dark = [name for name in PAPERS if floor != "wood" or name != "brown"]
    paper = PAPERS[str(rng.choice(dark))]
    off = rng.normal(0.0, 0.15, 2)
    rings = corner_sheets(rng, sheets, (A4[0] + off[0], A4[1] + off[1]))
    pieces = spread_pieces(rng, rings, 3)
    papers = [Paper(ring, PAPERS["white"]) for ring in rings]
    papers += [Paper(ring, paper, writing(ring, rng)) for ring in pieces]
    camera = Camera(
        size=size,
        look_at=(rng.uniform(-20, 20), rng.uniform(-20, 20)),
        distance=rng.uniform(1.0, 1.1) * 1000.0,
        tilt=rng.uniform(0.0, 20.0),
        towards=rng.uniform(0.0, 360.0),
        roll=rng.uniform(-6.0, 6.0),
        focal=0.8,
        k1=rng.uniform(-0.03, 0.02),
        k2=rng.uniform(-0.005, 0.005),
    )
    camera = framed(camera, papers)
    scene = Scene(
        camera, papers, floor, light=rng.uniform(0.05, 0.35), shadow=rng.uniform(0.0, 0.3),
        blur=rng.uniform(0.5, 1.0) * max(1.0, size[0] / 3000.0), noise=rng.uniform(0.005, 0.02),
        quality=int(rng.choice([75, 85, 92, 96])), seed=seed,
    )  # fmt: skip
    return Known(scene, pieces)


def framed(camera: Camera, papers: list[Paper]) -> Camera:
    """Step back until every paper is in the picture."""
    wide, high = camera.size
    for _ in range(40):
        seen = np.vstack([camera.project(paper.ring) for paper in papers])
        inside = (seen > 0.015 * wide).all() and (
            seen < np.array([wide * 0.985, high - 0.015 * wide])
        ).all()
        if inside:
            return camera
        camera = replace(camera, distance=camera.distance * 1.03)
    return camera
