"""Irregular strip packing instances as layout problems, and an exact check from the raw file.

The format is that of the public collection OR-Datasets (2D-Irregular): `Items` with `Demand`,
`AllowedOrientations` (degrees) and `Shape.Data`; `Strip.Height`. A folder of them is named on the
command line or by LAYWRIGHT_INSTANCES; none are kept here.
"""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from shapely import affinity
from shapely.geometry import Polygon

from fabrics.spread import Fold, make_spread
from layout.layout import Layout
from layout.problem import Grain, Item, OneHeading, Pose, Section, Slot, Wanted
from layout.strip_problem import StripProblem

VARIABLE = "LAYWRIGHT_INSTANCES"

HEIGHT_MM = 2000.0
"""Height that instances are scaled to, so that millimetre tolerances mean little."""

FREE_STEP = 30.0
"""Turns tried, in degrees, for items without stated orientations."""


@dataclass(frozen=True)
class Instance:
    """One instance: its name, raw items and height."""

    name: str
    items: tuple[tuple[tuple[tuple[float, float], ...], int, tuple[float, ...]], ...]
    height: float

    @property
    def scale(self) -> float:
        """Millimetres in one unit of the file."""
        return HEIGHT_MM / self.height

    @property
    def area(self) -> float:
        """Area of all items, in units of the file."""
        return sum(float(Polygon(points).area) * demand for points, demand, _ in self.items)


def read_instance(path: Path) -> Instance:
    """Read an instance file."""
    data: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    items = []
    for entry in data["Items"]:
        points = [(float(x), float(y)) for x, y in entry["Shape"]["Data"]]
        if points[0] == points[-1]:
            points = points[:-1]
        if not Polygon(points).exterior.is_ccw:
            points.reverse()
        turns = entry.get("AllowedOrientations")
        if turns is None:
            turns = [k * FREE_STEP for k in range(int(360 / FREE_STEP))]
        angles = tuple(dict.fromkeys(float(turn) % 360.0 for turn in turns)) or (0.0,)
        items.append((tuple(points), int(entry["Demand"]), angles))
    return Instance(data.get("Name") or path.stem, tuple(items), float(data["Strip"]["Height"]))


def read_folder(folder: Path) -> list[Instance]:
    """Read every instance of a folder, by file name."""
    return [read_instance(path) for path in sorted(folder.glob("*.json"))]


def as_problem(instance: Instance) -> StripProblem:
    """The instance as cloth without selvages or gap, in a single layer."""
    spread = make_spread(Fold.OPEN, HEIGHT_MM)
    items = []
    for k, (points, demand, angles) in enumerate(instance.items):
        ring = tuple((x * instance.scale, y * instance.scale) for x, y in points)
        poses = tuple(Pose(angle) for angle in angles)
        items.append(Item(str(k), (ring,), demand, (Slot(0, 0, (0,), 0, poses),)))
    return StripProblem(
        tuple(items),
        (Section("strip", spread),),
        gap=0.0,
        wanted={str(k): Wanted(drawn=demand) for k, (_, demand, _) in enumerate(instance.items)},
        grain={
            str(k): Grain(angles, OneHeading.FREE)
            for k, (_, _, angles) in enumerate(instance.items)
        },
    )


def exact_length(instance: Instance, layout: Layout) -> float:
    """Check a layout against the raw file and return its length in the file's units.

    Raises
    ------
    ValueError
        If counts, turns, the strip or separation are violated (overlap of a pair above a
        hundred-millionth of the smaller one's area).
    """
    placed = []
    counts: Counter[int] = Counter()
    for p in layout.placements:
        points, _, angles = instance.items[p.item]
        if p.pose.flip or not any(abs((p.pose.angle_deg - a) % 360.0) < 1e-9 for a in angles):
            raise ValueError(f"item {p.item} is turned as it may not be")
        turned = affinity.rotate(Polygon(points), p.pose.angle_deg, origin=(0, 0))
        placed.append(affinity.translate(turned, p.x / instance.scale, p.y / instance.scale))
        counts[p.item] += 1
    return checked_length(instance, placed, counts)


def checked_length(instance: Instance, placed: list[Polygon], counts: Counter[int]) -> float:
    """Length of placed polygons, after an exact check."""
    wanted = Counter({k: demand for k, (_, demand, _) in enumerate(instance.items)})
    if counts != wanted:
        raise ValueError("wrong number of items")
    for i, one in enumerate(placed):
        for other in placed[:i]:
            overlap = one.intersection(other).area
            if overlap > 1e-8 * min(one.area, other.area):
                raise ValueError(f"items overlap by {overlap:g}")
    low = min(p.bounds[1] for p in placed)
    high = max(p.bounds[3] for p in placed)
    if low < -1e-7 * instance.height or high > instance.height * (1 + 1e-7):
        raise ValueError("an item leaves the strip")
    return float(max(p.bounds[2] for p in placed) - min(p.bounds[0] for p in placed))
