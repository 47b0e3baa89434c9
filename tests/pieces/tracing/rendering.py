"""Photographs of paper on a floor, drawn: what is in them is known exactly.

Shapes are projected point by point through a camera with radial distortion and filled by exact
coverage; light, blur and noise are applied to linear light, then come the tone curve and JPEG.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field
from typing import Any

import cv2
import numpy as np
from matplotlib.backends import backend_agg
from matplotlib.path import Path as Outline
from matplotlib.transforms import IdentityTransform

from pieces.geometry_types import FloatArray

RendererAgg: Any = backend_agg.RendererAgg
"""It bears no annotations."""

A4, LETTER = (210.0, 297.0), (215.9, 279.4)

WAVE_MM = 160.0
"""From crest to crest of wavy paper."""

FLOORS = {
    "wood": (0.24, 0.13, 0.065),
    "dark wood": (0.09, 0.05, 0.03),
    "grey": (0.16, 0.17, 0.18),
    "blue": (0.07, 0.11, 0.2),
}
"""Reflected share of red, green and blue light."""

PAPERS = {
    "white": (0.84, 0.84, 0.82),
    "tissue": (0.62, 0.55, 0.42),
    "brown": (0.45, 0.31, 0.19),
    "news": (0.55, 0.54, 0.5),
}


def _tones(count: int = 2**16) -> Any:
    """Bytes of even steps of light, 0 to 1, by the usual tone curve (IEC 61966-2-1)."""
    light = np.linspace(0.0, 1.0, count)
    toned = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.round(toned * 255.0).astype(np.uint8)


TONES = _tones()
"""A table takes a fifth of the time of powers, pixel by pixel."""


@dataclass(frozen=True)
class Camera:
    """Where from, and through which lens: mm, px; distortion on coordinates divided by depth.

    `centre` is where the optical axis meets the picture, as shares of its width and height.
    """

    size: tuple[int, int] = (2200, 1650)
    look_at: tuple[float, float] = (0.0, 0.0)
    distance: float = 1400.0
    tilt: float = 8.0
    towards: float = 90.0
    roll: float = 0.0
    focal: float = 0.8
    k1: float = -0.02
    k2: float = 0.0
    centre: tuple[float, float] = (0.5, 0.5)

    def axes(self) -> FloatArray:
        """Rows: to the right, down and forward, as seen by the camera; z of the world is up."""
        t, a = math.radians(self.tilt), math.radians(self.towards)
        forward = np.array([-math.sin(t) * math.cos(a), -math.sin(t) * math.sin(a), -math.cos(t)])
        up = np.array([0.0, 1.0, 0.0])
        right = np.cross(forward, up)
        right /= np.linalg.norm(right)
        down = np.cross(forward, right)
        c, s = math.cos(math.radians(self.roll)), math.sin(math.radians(self.roll))
        return np.array([c * right + s * down, -s * right + c * down, forward])

    def project(self, points: FloatArray) -> FloatArray:
        """Pixels of points of the world, (N, 2) on the floor or (N, 3); pixel centres are whole."""
        world = np.zeros((len(points), 3))
        world[:, : points.shape[1]] = points
        axes = self.axes()
        place = np.array([*self.look_at, 0.0]) - self.distance * axes[2]
        seen = (world - place) @ axes.T
        plain = seen[:, :2] / seen[:, 2:]
        r2 = (plain**2).sum(axis=1, keepdims=True)
        wide, high = self.size
        scale = self.focal * max(wide, high)
        middle = np.array([self.centre[0] * wide - 0.5, self.centre[1] * high - 0.5])
        return np.asarray(plain * (1.0 + self.k1 * r2 + self.k2 * r2**2) * scale + middle)


@dataclass
class Paper:
    """One sheet or piece: its ring on the floor (mm), its colour, what is written on it.

    `lift` is how high (mm) the middle of it stands off the floor, bent about an axis of the ring;
    `waves` how high its crests are, a hand's width from each other, along the same way.
    """

    ring: FloatArray
    colour: tuple[float, float, float]
    strokes: list[tuple[FloatArray, float]] = field(default_factory=list)
    fills: list[tuple[FloatArray, float]] = field(default_factory=list)
    lift: float = 0.0
    lift_way: float = 0.0
    waves: float = 0.0


@dataclass
class Scene:
    """All that a photograph shows, and how it is taken; the seed draws grain, light and noise."""

    camera: Camera
    papers: list[Paper]
    floor: str = "wood"
    light: float = 0.2
    shadow: float = 0.15
    blur: float = 0.7
    shake: float = 0.0
    noise: float = 0.01
    quality: int = 90
    seed: int = 0


def dense(ring: FloatArray, step: float = 4.0, closed: bool = True) -> FloatArray:
    """Points along a line, no farther apart than a step: lines bend under a lens."""
    ends = np.vstack([ring, ring[:1]]) if closed else ring
    points = []
    for a, b in itertools.pairwise(ends):
        count = max(1, math.ceil(math.dist(a, b) / step))
        points.append(a + (b - a) * np.linspace(0.0, 1.0, count, endpoint=False)[:, None])
    if not closed:
        points.append(ends[-1:])
    return np.vstack(points)


def lifted(paper: Paper, points: FloatArray) -> FloatArray:
    """Points of a paper in space: a bent one stands off the floor like a shallow arch."""
    if not paper.lift and not paper.waves:
        return points
    way = np.array([math.cos(paper.lift_way), math.sin(paper.lift_way)])
    along = (paper.ring - paper.ring.mean(axis=0)) @ way
    half = np.abs(along).max()
    t = ((points - paper.ring.mean(axis=0)) @ way) / half
    arch = paper.lift * (1.0 - np.clip(t, -1, 1) ** 2)
    # The paper is no longer for being bent: what it rises, it draws in (arc of a parabola).
    shrink = (2.0 / 3.0) * (paper.lift / half) ** 2
    flat = points - ((points - paper.ring.mean(axis=0)) @ way)[:, None] * way * shrink
    along = (points - paper.ring.mean(axis=0)) @ way
    crests = paper.waves * (1.0 + np.cos(2.0 * math.pi * along / WAVE_MM)) / 2.0
    return np.column_stack([flat, arch + crests])


def photograph(scene: Scene) -> FloatArray:
    """Draw a scene: colours as 8-bit blue, green, red, shape (high, wide, 3)."""
    rng = np.random.default_rng(scene.seed)
    camera = scene.camera
    wide, high = camera.size
    renderer = RendererAgg(wide, high, 72)
    cast = RendererAgg(wide, high, 72)
    offset = rng.uniform(-1.0, 1.0, 2) * wide / 1500.0
    for paper in scene.papers:
        ring = camera.project(lifted(paper, dense(paper.ring)))
        _fill(renderer, ring, paper.colour)
        _fill(cast, ring + offset, (1.0, 1.0, 1.0))
        for line, width in paper.strokes:
            for a, b in itertools.pairwise(line):
                _fill(
                    renderer, camera.project(lifted(paper, _bar(a, b, width))), (0.03, 0.03, 0.06)
                )
        for shape, tone in paper.fills:
            ring = camera.project(lifted(paper, dense(shape)))
            _fill(renderer, ring, (tone, tone, tone))
    drawn = np.asarray(renderer.buffer_rgba())
    alpha = drawn[:, :, 3:].astype(np.float32) / 255.0
    colours = drawn[:, :, 2::-1].astype(np.float32) / 255.0
    rim = cv2.GaussianBlur(
        np.asarray(cast.buffer_rgba())[:, :, 3].astype(np.float32) / 255.0, (0, 0), wide / 1500.0
    )
    floor = _floor(scene, rng) * (1.0 - 0.25 * rim[:, :, None])
    picture = floor * (1.0 - alpha) + colours * alpha
    picture *= _light(scene, rng)[:, :, None]
    if scene.blur > 0.0:
        picture = cv2.GaussianBlur(picture, (0, 0), scene.blur)
    if scene.shake > 1.0:
        size = math.ceil(scene.shake)
        kernel = np.full((1, size), 1.0 / size, np.float32)
        picture = cv2.filter2D(picture, -1, kernel)
    spread = scene.noise * np.sqrt(np.maximum(picture, 0.01))
    picture += spread * rng.standard_normal(picture.shape, dtype=np.float32)
    steps = len(TONES) - 1
    return np.asarray(TONES[np.rint(np.clip(picture, 0.0, 1.0) * steps).astype(np.int32)])


def jpeg(scene: Scene) -> bytes:
    """A scene as the bytes of a JPEG file."""
    done, content = cv2.imencode(
        ".jpg", photograph(scene), [cv2.IMWRITE_JPEG_QUALITY, scene.quality]
    )
    assert done
    return bytes(content)


def _bar(a: FloatArray, b: FloatArray, width: float) -> FloatArray:
    way = (b - a) / max(math.dist(a, b), 1e-9)
    side = np.array([-way[1], way[0]]) * width / 2.0
    return np.array([a - side, b - side, b + side, a + side])


def _fill(renderer: Any, ring: FloatArray, colour: tuple[float, float, float]) -> None:
    flipped = np.column_stack([ring[:, 0] + 0.5, renderer.height - ring[:, 1] - 0.5])
    path = Outline(np.vstack([flipped, flipped[:1]]), closed=True)
    path.should_simplify = False
    gc = renderer.new_gc()
    gc.set_snap(False)
    gc.set_linewidth(0.0)
    gc.set_antialiased(True)
    renderer.draw_path(gc, path, IdentityTransform(), (*colour, 1.0))


def _floor(scene: Scene, rng: np.random.Generator) -> FloatArray:
    """Planks with grain, a millimetre a sample, seen through the camera."""
    size, half = 2400, 1200
    tone = np.ones((size, size), np.float32)
    if "wood" in scene.floor:
        for start in range(0, size, 140):
            grain = rng.normal(1.0, 0.12, (1, size // 60 + 2)).astype(np.float32)
            streaks = rng.normal(1.0, 0.10, (140, size // 60 + 2)).astype(np.float32)
            part = cv2.resize(
                grain * 0.3 + streaks * 0.7, (size, 140), interpolation=cv2.INTER_CUBIC
            )
            tone[start : start + 140] = (part * rng.uniform(0.88, 1.12))[: size - start]
            tone[start : start + 2] *= 0.6
    else:
        tone += rng.normal(0.0, 0.12, tone.shape).astype(np.float32)
        tone = cv2.GaussianBlur(tone, (0, 0), 1.0)
    corners = np.array([[-half, half], [half, half], [half, -half], [-half, -half]], dtype=float)
    plain = Camera(**{**scene.camera.__dict__, "k1": 0.0, "k2": 0.0})
    seen = plain.project(corners + np.asarray(scene.camera.look_at)).astype(np.float32)
    flat = np.array([[0, 0], [size, 0], [size, size], [0, size]], np.float32)
    turned = cv2.warpPerspective(
        tone, cv2.getPerspectiveTransform(flat, seen), scene.camera.size,
        flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT,
    )  # fmt: skip
    blue_first = np.array(FLOORS[scene.floor][::-1], np.float32)
    return np.asarray(turned[:, :, None] * blue_first)


def _light(scene: Scene, rng: np.random.Generator) -> FloatArray:
    """Uneven light, and the soft shadow of someone who stands beside it."""
    wide, high = scene.camera.size
    coarse = rng.uniform(1.0 - scene.light, 1.0, (3, 4)).astype(np.float32)
    light = cv2.resize(coarse, (wide, high), interpolation=cv2.INTER_CUBIC)
    if scene.shadow > 0.0:
        small = np.zeros((90, 120), np.float32)
        centre = (int(rng.integers(10, 110)), int(rng.integers(10, 80)))
        axes = (int(rng.integers(15, 40)), int(rng.integers(10, 30)))
        cv2.ellipse(small, centre, axes, float(rng.uniform(0, 180)), 0, 360, 1.0, -1)
        small = cv2.GaussianBlur(small, (0, 0), 5.0)
        light *= 1.0 - scene.shadow * cv2.resize(small, (wide, high), interpolation=cv2.INTER_CUBIC)
    return np.asarray(light)
