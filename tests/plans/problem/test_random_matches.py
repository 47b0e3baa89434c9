"""Random match points on every fold: what is laid is in phase, or the fold says why not."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest

from fabrics.fabric import Fabric, Repeat
from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from layout.validator import validate
from pieces.drafting.garment import Garment
from pieces.readers.garment_toml import load_garment
from plans.folds.fold_search import screen
from plans.folds.jobs import job_for
from plans.folds.levels import level_for
from plans.folds.outcome import FoldResult
from plans.order import Order

SEEDS = (0, 1, 2, 3, 4, 5, 6, 7, 10, 13, 14, 15)
"""Of the first sixteen, those whose points can all match."""

LEVEL = level_for("quick")

PANEL = """
[[piece]]
name = "{name}"
cut = {{ main = "{cut}" }}
drawn = "with allowance"
grain = "up"
{fold}
match = [{match}]
edges = [
  {{ name = "hem", to = [{width}, 0] }},
  {{ name = "side", to = [{width}, {height}] }},
  {{ name = "top", to = [0, {height}] }},
  {{ name = "centre", to = [0, 0] }},
]
"""


def random_garment(draw: random.Random, folder: Path) -> Garment:
    """Up to four panels, some drawn as halves, with points of up to three groups."""
    groups = ["a", "b", "c"][: draw.randint(1, 3)]
    bars = {group: draw.choice(["", "", '"axis"', '"between"', '"30 mm"']) for group in groups}
    text = 'title = "t"\nunits = "mm"\n'
    for number in range(draw.randint(1, 4)):
        points = []
        for group in draw.sample(groups, draw.randint(1, len(groups))):
            at = draw.choice(
                ["[0, 60]", "[0, 120]", '{ edge = "side", along = "60 mm" }', "[30, 120]"]
            )
            more = ', only = "along"' if draw.random() < 0.3 else ""
            if not more and bars[group]:
                more = f", bar = {bars[group]}"
            points.append(f'{{ group = "{group}", at = {at}{more} }}')
        half = draw.random() < 0.5
        text += PANEL.format(
            name=f"p{number}",
            cut=draw.choice(["1 on fold", "2 on fold"] if half else ["1", "2", "2 same way"]),
            fold='fold = "centre"' if half else "",
            match=", ".join(points),
            width=draw.choice([150, 170, 200]),
            height=draw.choice([300, 390, 420]),
        )
    path = folder / "g.toml"
    path.write_text(text, encoding="utf-8")
    return load_garment(path)


def random_cloth(draw: random.Random) -> Fabric:
    """80 cm wide; the middle lies on an axis, halfway between two, or on neither."""
    return replace(
        plain_fabric("80cm"),
        selvage=0.0,
        one_way=draw.random() < 0.5,
        faces_alike=draw.random() < 0.2,
        repeat=Repeat(60.0, 60.0, draw.choice([400.0, 430.0, 415.0])),
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_whatever_is_laid_is_in_phase(tmp_path: Path, seed: int) -> None:
    """A layout that the search finds on a repeat is one that the validator takes."""
    draw = random.Random(seed)
    garment, cloth = random_garment(draw, tmp_path), random_cloth(draw)
    job = job_for(Order(garment, {}, gap=3.0), ("main",), cloth)
    laid = 0
    for fold in Fold:
        result = screen(job, fold, LEVEL.glance, LEVEL.glance)
        if isinstance(result, FoldResult):
            laid += 1
            assert validate(result.built.problem, result.layout) == [], fold
    assert laid > 0
