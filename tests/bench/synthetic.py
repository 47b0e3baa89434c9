"""Instances of our own, so that the search is not tuned to a public folder.

python -m tests.bench.synthetic DIR writes them in the format of `tests.bench.instances`.
"""

from __future__ import annotations

import json
import math
from pathlib import Path

import click
import numpy as np
from shapely.geometry import Polygon

Shape = list[list[float]]


def blob(rng: np.random.Generator, size: float, corners: int) -> Shape:
    """A rounded shape with some hollows."""
    phases = rng.uniform(0.0, 2.0 * math.pi, 3)
    swings = rng.uniform(0.05, 0.28, 3) / np.array([1.0, 1.5, 2.5])
    stretch = rng.uniform(0.45, 1.0)
    points = []
    for k in range(corners):
        t = 2.0 * math.pi * k / corners
        r = 1.0 + sum(
            s * math.cos((n + 2) * t + p)
            for n, (s, p) in enumerate(zip(swings, phases, strict=True))
        )
        points.append(
            [round(size * r * math.cos(t), 3), round(size * stretch * r * math.sin(t), 3)]
        )
    return points


def panel(rng: np.random.Generator, size: float) -> Shape:
    """A straight-sided garment panel: slanted sides, a scooped corner."""
    long, wide = size * rng.uniform(1.4, 2.6), size * rng.uniform(0.5, 1.1)
    slant, scoop = wide * rng.uniform(0.0, 0.3), wide * rng.uniform(0.15, 0.45)
    points = [
        [0.0, 0.0],
        [long, slant],
        [long, wide - scoop],
        [long - 0.5 * scoop, wide - 0.35 * scoop],
        [long - 1.6 * scoop, wide],
        [0.0, wide + 0.4 * slant],
    ]
    return [[round(x, 3), round(y, 3)] for x, y in points]


def strip(rng: np.random.Generator, size: float) -> Shape:
    """A band or tie."""
    long, wide = size * rng.uniform(1.5, 3.5), size * rng.uniform(0.12, 0.3)
    return [
        [0.0, 0.0],
        [round(long, 3), 0.0],
        [round(long, 3), round(wide, 3)],
        [0.0, round(wide, 3)],
    ]


def instances() -> dict[str, tuple[float, list[tuple[Shape, int]]]]:
    """Height and shapes with demands, by name; always the same."""
    rng = np.random.default_rng(20_261_125)
    return {
        "blobs-few": (100.0, [(blob(rng, rng.uniform(8, 22), 24), 4) for _ in range(8)]),
        "blobs-many": (150.0, [(blob(rng, rng.uniform(6, 16), 16), 10) for _ in range(12)]),
        "panels": (120.0, [(panel(rng, rng.uniform(15, 35)), 4) for _ in range(9)]),
        "distinct": (
            140.0,
            [(panel(rng, rng.uniform(10, 30)), 1) for _ in range(24)]
            + [(blob(rng, rng.uniform(5, 15), 20), 1) for _ in range(16)],
        ),
        "mixed": (
            150.0,
            [(panel(rng, rng.uniform(12, 30)), 6) for _ in range(6)]
            + [(blob(rng, rng.uniform(5, 10), 14), 6) for _ in range(4)]
            + [(strip(rng, rng.uniform(15, 30)), 6) for _ in range(4)],
        ),
    }


def write(folder: Path) -> None:
    """Write all instances into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, (height, shapes) in instances().items():
        items = [
            {
                "Demand": demand,
                "AllowedOrientations": [0.0, 180.0],
                "Shape": {"Type": "SimplePolygon", "Data": shape},
            }
            for shape, demand in shapes
            if Polygon(shape).is_valid
        ]
        data = {"Name": name, "Items": items, "Strip": {"Height": height}}
        (folder / f"{name}.json").write_text(json.dumps(data, indent=1), encoding="utf-8")


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
def main(folder: Path) -> None:
    """Write the instances into FOLDER."""
    write(folder)


if __name__ == "__main__":
    main()
