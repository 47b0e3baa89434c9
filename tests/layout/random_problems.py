"""Random layout problems under every constraint, made from a seed alone."""

from __future__ import annotations

import math

import numpy as np
from shapely.geometry import Polygon

from fabrics.spread import Faces, Fold, Spread, SpreadError, make_spread
from layout.bounded_problem import BoundedProblem
from layout.layout import posed
from layout.problem import (
    Flaw,
    Grain,
    Item,
    Lattice,
    OneHeading,
    Pose,
    Section,
    Slot,
    Wanted,
)
from layout.strip_problem import StripProblem
from pieces.geometry_types import Ring

FOLDS = (Fold.OPEN, Fold.LENGTHWISE, Fold.PARTIAL, Fold.DOUBLE, Fold.CROSSWISE, Fold.TURNED)
TURNS = (
    ((0.0, 180.0), (0.0, 180.0)),
    ((90.0, 270.0), (90.0, 270.0)),
    ((45.0, 135.0, 225.0, 315.0), (45.0, 135.0, 225.0, 315.0)),
    ((0.0, 33.0, 90.0, 141.5, 250.0), None),
)
"""Angles of poses and the headings that they stand for."""


def random_ring(rng: np.random.Generator, longest: float, widest: float) -> Ring:
    """A rectangle, wedge, hollow piece, rounded piece or sliver in its item frame."""
    long = float(rng.uniform(0.1, 1.0)) * longest
    wide = float(rng.uniform(0.1, 1.0)) * widest
    kind = int(rng.integers(5))
    if kind == 0:
        return ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))
    if kind == 1:
        slope = float(rng.uniform(0.05, 1.0))
        return ((0.0, 0.0), (long, 0.0), (long, wide * slope), (0.0, wide))
    if kind == 2:
        a, b = float(rng.uniform(0.2, 0.8)) * long, float(rng.uniform(0.2, 0.8)) * wide
        return ((0.0, 0.0), (long, 0.0), (long, b), (a, b), (a, wide), (0.0, wide))
    if kind == 3:
        corners = int(rng.integers(12, 60))
        swing, phase = float(rng.uniform(0.0, 0.3)), float(rng.uniform(0.0, 6.0))
        points = []
        for k in range(corners):
            t = 2.0 * math.pi * k / corners
            r = (1.0 + swing * math.cos(3.0 * t + phase)) / (1.0 + swing) / 2.0
            points.append((long * r * math.cos(t), wide * r * math.sin(t)))
        return tuple(points)
    wide = max(2.0, 0.04 * wide)
    return ((0.0, 0.0), (long, 0.5 * wide), (long, wide), (0.0, wide))


def random_half(
    rng: np.random.Generator, longest: float, widest: float
) -> tuple[Ring, tuple[tuple[float, float], tuple[float, float]], Ring]:
    """A half above its fold edge (the x axis), that edge, and the whole."""
    long = float(rng.uniform(0.2, 1.0)) * longest
    wide = float(rng.uniform(0.2, 1.0)) * widest
    left, right = (float(v) for v in rng.uniform(-0.3, 0.3, 2) * long)
    upper: list[tuple[float, float]] = [(long + right, wide), (0.5 * long, 0.7 * wide)]
    if rng.random() < 0.5:
        upper = [
            (long * (1 + 0.2 * math.sin(t)), wide * t / 1.5) for t in np.linspace(0.1, 1.5, 12)
        ]
    upper.append((left, wide))
    half = ((0.0, 0.0), (long, 0.0), *upper)
    whole = (*[(x, -y) for x, y in reversed(upper)], (long, 0.0), *upper, (0.0, 0.0))
    order = [(0.0, 0.0), *[(x, -y) for x, y in reversed(upper)], (long, 0.0), *upper]
    del whole
    return half, ((0.0, 0.0), (long, 0.0)), tuple(order)


def turned_ring(ring: Ring) -> Ring:
    """The ring turned by a quarter: what lay along the grain lies across it."""
    return tuple((-y, x) for x, y in ring)


def random_spread(rng: np.random.Generator, width: float, selvage: float) -> Spread:
    """Any spread of this cloth."""
    fold = FOLDS[int(rng.integers(len(FOLDS)))]
    faces = Faces.IN if rng.random() < 0.6 else Faces.OUT
    d1 = d2 = None
    if fold is Fold.PARTIAL:
        d1 = float(rng.uniform(0.15, 0.45)) * width
    if fold is Fold.DOUBLE and rng.random() < 0.7:
        d1, d2 = (float(v) for v in rng.uniform(0.1, 0.25, 2) * width)
    try:
        return make_spread(fold, width, selvage, d1, d2, faces)
    except SpreadError:
        return make_spread(Fold.OPEN, width, selvage)


class _Maker:
    """One random strip problem in the making."""

    def __init__(self, rng: np.random.Generator) -> None:
        self.rng = rng
        self.width = float(rng.uniform(500.0, 1500.0))
        selvage = float(rng.choice([0.0, 10.0, 15.0]))
        count = 1 if rng.random() < 0.7 else int(rng.integers(2, 4))
        self.spreads = [random_spread(rng, self.width, selvage) for _ in range(count)]
        self.gap = float(rng.choice([0.0, 3.0, 7.5]))
        crosswise = any(spread.fold is Fold.CROSSWISE for spread in self.spreads)
        self.one_way = bool(rng.random() < 0.3) and not crosswise
        self.items: list[Item] = []
        self.wanted: dict[str, Wanted] = {}
        self.grain: dict[str, Grain] = {}

    def problem(self) -> StripProblem | None:
        for _ in range(int(self.rng.integers(1, 6))):
            (self.pair, self.single, self.half)[int(self.rng.integers(3))]()
        if not self.items:
            return None
        flaws: list[Flaw] = []
        if self.rng.random() < 0.3:
            for _ in range(int(self.rng.integers(1, 4))):
                ring = random_ring(self.rng, 150.0, 100.0)
                x, y = float(self.rng.uniform(0, 1500)), float(self.rng.uniform(0, self.width))
                flaws.append(Flaw(tuple((px + x, py + y) for px, py in ring)))
        sections = tuple(
            Section(
                f"{k + 1} {spread.fold.value}",
                spread,
                fold_at=float(self.rng.uniform(300.0, 3000.0)) if flaws and spread.doubled else 0.0,
            )
            for k, spread in enumerate(self.spreads)
        )
        return StripProblem(
            tuple(self.items),
            sections,
            tuple(flaws),
            gap=self.gap,
            one_way=self.one_way,
            wanted=self.wanted,
            grain=self.grain,
        )

    def pair(self) -> None:
        self._free(through=2)

    def single(self) -> None:
        self._free(through=1)

    def _free(self, through: int) -> None:
        """An item that is cut through two plies, or through one of however many there are."""
        rng = self.rng
        ring = random_ring(rng, 500.0, 0.6 * self.width)
        angles: tuple[float, ...]
        angles, headings = TURNS[int(rng.choice([0, 0, 0, 1, 2, 3]))]
        rule = OneHeading.SAME
        if self.one_way:
            rule = OneHeading.SAME if headings == (0.0, 180.0) else OneHeading.FREE
            angles = angles[:1] if rule is OneHeading.SAME else angles
        slots: list[Slot] = []
        for section, spread in enumerate(self.spreads):
            for zone_index, zone in enumerate(spread.zones):
                if through == 2 and len(zone.plies) != 2:
                    continue
                if through == 1 and len(zone.plies) == 2 and rng.random() < 0.5:
                    continue
                plies = zone.plies if through == 2 else (int(rng.choice(zone.plies)),)
                flips: tuple[bool, ...] = (False, True)
                if through == 1:
                    flips = (not spread.plies[plies[0]].face_up,)
                poses = tuple(
                    Pose(a, f)
                    for a in angles
                    for f in flips
                    if np.ptp(posed(ring, Pose(a, f))[:, 1]) <= zone.height - self.gap
                )
                if poses:
                    clearance = self.gap / 2
                    lattice = self._lattice(ring, poses, spread, zone.height)
                    slots.append(
                        Slot(section, zone_index, plies, 0, poses, None, lattice, clearance)
                    )
        self._add(ring, tuple(slots), headings, rule, through)

    def _lattice(
        self, ring: Ring, poses: tuple[Pose, ...], spread: Spread, height: float
    ) -> Lattice | None:
        rng = self.rng
        if len(self.spreads) > 1 or spread.doubled or rng.random() < 0.7:
            return None
        room = height - max(float(np.ptp(posed(ring, pose)[:, 1])) for pose in poses) - self.gap
        pitch_y = float(rng.uniform(0.2, 0.9)) * room if room > 40.0 and rng.random() < 0.4 else 0.0
        pitch_x = float(rng.uniform(10.0, 120.0)) if pitch_y == 0.0 or rng.random() < 0.6 else 0.0
        point = (float(rng.uniform(-50, 50)), float(rng.uniform(-50, 50)))
        return Lattice(
            point, pitch_x, float(rng.uniform(0, 99)), pitch_y, float(rng.uniform(0, 99))
        )

    def _add(
        self,
        ring: Ring,
        slots: tuple[Slot, ...],
        headings: tuple[float, ...] | None,
        rule: OneHeading,
        through: int,
    ) -> None:
        if not slots:
            return
        key = f"piece {len(self.items)}"
        count = int(self.rng.integers(1, 4))
        self.items.append(Item(key, (ring,), count, slots))
        self.wanted[key] = Wanted(drawn=count, other=count if through == 2 else 0)
        self.grain[key] = Grain(headings, rule)

    def half(self) -> None:
        """A half on the fold edges there are, or opened out on single cloth."""
        rng = self.rng
        half, line, whole = random_half(rng, 400.0, 0.2 * self.width)
        across = any(spread.fold is Fold.CROSSWISE for spread in self.spreads)
        if across:
            # The fold lies across the grain: the item frame is turned by a quarter.
            half, whole = turned_ring(half), turned_ring(whole)
            half, whole = tuple((-x, -y) for x, y in half), tuple((-x, -y) for x, y in whole)
            line = ((0.0, -line[1][0]), (0.0, 0.0))
        slots: list[Slot] = []
        turns = (0.0,) if self.one_way else (0.0, 180.0)
        for section, spread in enumerate(self.spreads):
            for edge_index, edge in enumerate(spread.fold_edges):
                if edge.along == across:
                    continue
                poses = []
                for angle in turns:
                    for flip in (False, True):
                        points = posed(half, Pose(angle, flip))
                        axis = 1 if edge.along else 0
                        if points[:, axis].mean() * edge.side > 0:
                            poses.append(Pose(angle, flip))
                for zone_index, zone in enumerate(spread.zones):
                    border = not edge.along or edge.at in (zone.y_from, zone.y_to)
                    high = max(float(np.ptp(posed(half, pose)[:, 1])) for pose in poses)
                    if len(zone.plies) == 2 and border and high <= zone.height - self.gap:
                        slots.append(
                            Slot(section, zone_index, zone.plies, 1, tuple(poses), edge_index)
                        )
            for zone_index, zone in enumerate(spread.zones):
                if len(zone.plies) == 1 and np.ptp(np.array(whole)[:, 1]) <= zone.height - self.gap:
                    poses = [Pose(angle) for angle in turns]
                    slots.append(Slot(section, zone_index, zone.plies, 0, tuple(poses)))
        if not slots:
            return
        key = f"half {len(self.items)}"
        count = int(rng.integers(1, 3))
        self.items.append(
            Item(
                key, (whole, half), count, tuple(slots), (None, line), (whole, whole))
        )  # fmt: skip
        self.wanted[key] = Wanted(either=count)
        self.grain[key] = Grain()


def random_strip(seed: int) -> StripProblem | None:
    """A strip problem of this seed, or None where nothing drawn fits the cloth drawn."""
    return _Maker(np.random.default_rng(seed)).problem()


def random_leftover(seed: int) -> BoundedProblem:
    """Pieces for a bounded cloth of any outline, with holes."""
    rng = np.random.default_rng(seed)
    corners = int(rng.integers(3, 12))
    angles = np.sort(rng.uniform(0, 2 * math.pi, corners))
    if corners < 5 or np.diff(angles).max() > 2.5:
        angles = np.linspace(0, 2 * math.pi, corners, endpoint=False)
    radii = rng.uniform(200.0, 700.0, corners)
    outline = tuple(
        (float(900 + r * math.cos(t)), float(500 + r * math.sin(t)))
        for r, t in zip(radii, angles, strict=True)
    )
    region = Polygon(outline)
    if not region.is_valid:
        # Where corners leave more than half a turn between the last and the first, it may cross
        # itself: no cloth does.
        outline = tuple((float(x), float(y)) for x, y in region.convex_hull.exterior.coords[:-1])
        region = Polygon(outline)
    holes: list[Ring] = []
    for _ in range(int(rng.integers(0, 3))):
        x, y = (float(v) for v in rng.uniform(300, 900, 2))
        hole = tuple((x + px, y + py) for px, py in random_ring(rng, 120.0, 90.0))
        other = [Polygon(h).buffer(2.0) for h in holes]
        if region.buffer(-1.0).contains(Polygon(hole)) and not any(
            o.intersects(Polygon(hole)) for o in other
        ):
            holes.append(hole)
    items, wanted, grain = [], {}, {}
    for k in range(int(rng.integers(1, 6))):
        ring = random_ring(rng, 450.0, 350.0)
        angles_of, headings = TURNS[int(rng.integers(len(TURNS)))]
        count = int(rng.integers(1, 4))
        poses = tuple(Pose(a, f) for a in angles_of for f in (False, True))
        priority = float(rng.uniform(1.0, 9.0)) if rng.random() < 0.3 else None
        items.append(Item(str(k), (ring,), count, (Slot(0, 0, (0,), 0, poses),), priority=priority))
        wanted[str(k)] = Wanted(either=count)
        grain[str(k)] = Grain(headings)
    gap = float(rng.choice([0.0, 3.0]))
    return BoundedProblem(tuple(items), outline, tuple(holes), gap=gap, wanted=wanted, grain=grain)
