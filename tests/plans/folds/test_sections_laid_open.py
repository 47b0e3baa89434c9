"""Every layout in sections is one of its problem laid open, as the validator sees it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fabrics.fabric import Fabric
from fabrics.plain import plain_fabric
from fabrics.shelf import find_fabric
from fabrics.spread import Faces, Fold
from layout.bounds.best import Care
from layout.effort import Effort
from layout.layout import Layout, Placement, cloth_length, posed
from layout.problem import Item, Pose
from layout.proofs.laid_open import laid_open
from layout.proofs.twins import EQUAL_MM, from_corner
from layout.solver import NoLayoutError, solve
from layout.strip_problem import StripProblem
from layout.validator import validate
from pieces.geometry_types import FloatArray, Ring
from plans.folds.bound import bound_of
from plans.folds.job import FabricJob
from plans.folds.jobs import job_for
from plans.folds.outcome import FoldResult, Variant
from plans.folds.variants import variants
from plans.order import Order
from plans.problem.on_cloth import copy_poses
from tests.plans.demo import garment

MOST = 3
"""Variants of each kind of first section that are laid."""

CLOTHS = {
    "plain": plain_fabric("140cm"),
    "with a nap": find_fabric("demo-velveteen"),
    "right sides out": replace(plain_fabric("115cm"), faces=Faces.OUT),
    "faces alike": replace(plain_fabric("115cm"), faces_alike=True),
}


def some_results(job: FabricJob) -> list[FoldResult]:
    """Rough layouts of a few variants of each kind of first section."""
    met: dict[Fold, int] = {}
    found = []
    for variant in variants(job, Fold.SECTIONED):
        if not isinstance(variant, Variant):
            continue
        kind = variant.sections[0].spread.fold
        met[kind] = met.get(kind, 0) + 1
        if met[kind] > MOST:
            continue
        try:
            layout = solve(variant.built.problem, replace(Effort.GLANCE, rough=True), job.seed)
        except NoLayoutError:
            continue
        found.append(variant.laid(job, layout))
    return found


def outline(ring: Ring, pose: Pose) -> FloatArray:
    points = posed(ring, pose)
    turned = from_corner(points[::-1] if pose.flip else points)
    moved: FloatArray = turned - turned[0]
    return moved


def opened(result: FoldResult, single: StripProblem) -> Layout:
    """Copies where they come off the cloth, as placements in the single layer."""
    left = [item.demand for item in single.items]
    placements = []
    extent = 0.0
    for copy in copy_poses(result.built.problem, result.layout):
        placed = result.layout.placements[copy.placement]
        item = result.built.problem.items[placed.item]
        whole = item.whole(item.slots[placed.slot].shape)
        there = posed(whole, copy.pose, copy.x, copy.y)
        extent = max(extent, float(there[:, 0].max()))
        kind, slot, pose = next(
            (kind, *way)
            for kind, one in enumerate(single.items)
            if one.key == item.key and left[kind]
            for way in _ways(one, outline(whole, copy.pose))
        )
        left[kind] -= 1
        shape = single.items[kind].shapes[single.items[kind].slots[slot].shape]
        x, y = (there.min(axis=0) - posed(shape, pose).min(axis=0)).tolist()
        placements.append(Placement(kind, slot, pose, x, y))
    return Layout(tuple(placements), (extent,))


def _ways(item: Item, wanted: FloatArray) -> list[tuple[int, Pose]]:
    return [
        (number, pose)
        for number, slot in enumerate(item.slots)
        for pose in slot.poses
        if (mine := outline(item.shapes[slot.shape], pose)).shape == wanted.shape
        and abs(mine - wanted).max() <= EQUAL_MM
    ]


@pytest.mark.parametrize("name", ["wrap-skirt", "trousers", "toy-hare", "blouse"])
@pytest.mark.parametrize("cloth", CLOTHS)
def test_each_layout_opened_out_is_one(name: str, cloth: str) -> None:
    """Nothing is longer, too near, of the wrong hand or off the grain; and the bound is below."""
    made = garment(name)
    fabric: Fabric = CLOTHS[cloth]
    job = job_for(Order(made, {}), made.roles[:1], fabric)
    results = some_results(job)
    assert results
    for result in results:
        single = laid_open(job.every_place(result.demands, result.built))
        layout = opened(result, single)
        assert validate(single, layout) == []
        assert cloth_length(single, layout.extents) <= result.length + 1e-6
    best = min(results, key=lambda one: one.length)
    proved = bound_of(job, best.variant, Care.SEARCHED).length
    assert bound_of(job, best.variant, Care.CLOSE).length <= proved + 0.5
    assert proved <= best.length
