"""Photographs that must not be believed: each either refused, or measured within its error."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from tests.pieces.tracing.rendering import A4, LETTER, PAPERS, Camera, Paper
from tests.pieces.tracing.scenes import Known, framed, good, sheet_ring, with_marks

KINDS = (
    "bent sheet", "one bent sheet", "wrong paper", "one wrong paper", "moved centre",
    "one moved centre", "oblique", "one oblique", "marks printed small", "coarse", "shaken",
    "touching", "cut off",
)  # fmt: skip


@dataclass
class Bad:
    """A scene of some kind, and what its user says the sheets are."""

    kind: str
    known: Known
    paper: str | None = None


def bad(seed: int, kind: str | None = None) -> Bad:
    """A bad photograph."""
    rng = np.random.default_rng(seed + 7000)
    kind = kind or str(rng.choice(KINDS))
    single = kind.startswith("one")
    known = with_marks(seed) if kind.startswith("marks") else good(seed, sheets=1 if single else 4)
    camera, papers, paper = known.scene.camera, known.scene.papers, "A4" if single else None
    if kind.endswith("bent sheet"):
        which = 0 if single else int(rng.integers(4))
        bent = replace(papers[which], lift=rng.uniform(8.0, 30.0), lift_way=rng.uniform(0, math.pi))
        papers[which] = bent
    elif kind.endswith("wrong paper"):
        true = str(rng.choice(["A4", "Letter"]))
        paper = "Letter" if true == "A4" else "A4"
        for k in range(1 if single else 4):
            papers[k] = _other(papers[k], LETTER if true == "Letter" else A4)
    elif kind.endswith("moved centre"):
        off = rng.uniform(0.15, 0.4, 2) * rng.choice([-1.0, 1.0], 2)
        camera = replace(
            camera, centre=(0.5 + float(off[0]), 0.5 + float(off[1])), focal=rng.uniform(1.0, 1.5),
            tilt=rng.uniform(5.0, 25.0), k1=rng.uniform(-0.06, 0.04),
        )  # fmt: skip
        camera = _pointed(camera)
    elif kind.endswith("oblique"):
        camera = replace(camera, tilt=rng.uniform(55.0, 65.0))
    elif kind.startswith("marks"):
        known = with_marks(seed, scale=float(rng.uniform(0.95, 0.975)))
        papers = known.scene.papers
    elif kind == "coarse":
        camera = replace(camera, size=(800, 600), distance=1.6 * camera.distance)
    elif kind == "touching":
        _touch(papers, known.rings, rng)
    camera = framed(camera, papers)
    if kind == "cut off":
        camera = replace(camera, distance=camera.distance * rng.uniform(0.8, 0.93))
    scene = replace(known.scene, camera=camera, papers=papers)
    if kind == "shaken":
        scene = replace(scene, shake=rng.uniform(14.0, 30.0))
    return Bad(kind, Known(scene, known.rings), paper)


def _touch(papers: list[Paper], rings: list[np.ndarray], rng: np.random.Generator) -> None:
    """Push the second piece against the first, until they just meet or overlap by a little."""
    from shapely.affinity import translate
    from shapely.geometry import Polygon

    still, moving = papers[-2], papers[-1]
    way = still.ring.mean(axis=0) - moving.ring.mean(axis=0)
    low, high = 0.0, 1.0
    fixed, shape = Polygon(still.ring), Polygon(moving.ring)
    for _ in range(30):
        middle = (low + high) / 2.0
        met = translate(shape, *(way * middle)).intersects(fixed)
        low, high = (low, middle) if met else (middle, high)
    step = high + rng.uniform(0.0, 6.0) / float(np.hypot(*way))
    papers[-1] = replace(moving, ring=moving.ring + way * step, strokes=[], fills=[])


def _other(paper: Paper, size: tuple[float, float]) -> Paper:
    way = paper.ring[1] - paper.ring[0]
    x, y = paper.ring.mean(axis=0)
    ring = sheet_ring((float(x), float(y)), math.atan2(way[1], way[0]), size)
    return Paper(ring, PAPERS["white"])


def _pointed(camera: Camera) -> Camera:
    """Look so that the middle of the picture meets the middle of the floor."""
    seen = camera.project(np.array([[0.0, 0.0], [10.0, 0.0], [0.0, 10.0]]))
    middle = (np.asarray(camera.size) - 1.0) / 2.0
    across = np.column_stack([seen[1] - seen[0], seen[2] - seen[0]]) / 10.0
    move = np.linalg.solve(across, seen[0] - middle)
    x, y = camera.look_at
    return replace(camera, look_at=(x + float(move[0]), y + float(move[1])))
