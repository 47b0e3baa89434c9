"""Bounds that the bench holds beside best known lengths: none of them is above such a length."""

from __future__ import annotations

import json

import pytest

from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from layout.bounds.terms.bound import BoundKind
from plans.folds.bound import NEAR_SHARE
from plans.folds.jobs import job_for
from plans.order import Order
from tests.bench.garments import BEST_KNOWN
from tests.bench.proofs import measured, searches_depth
from tests.plans.demo import garment

KNOWN = json.loads(BEST_KNOWN.read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", [n for n in KNOWN if n.endswith(("partial", "double"))])
def test_a_bound_is_true_for_every_depth_that_may_be_chosen(name: str) -> None:
    """Not for the few depths alone that are tried first."""
    cell = measured(name, KNOWN[name], 0.0, "proved")
    assert cell.any_depth
    assert 0.0 < cell.bound.length <= cell.length


@pytest.mark.parametrize(
    "name",
    [
        "layered-top | demo-linen | lengthwise",
        "top-from-block | demo-linen | open",
        "trousers | demo-velveteen | lengthwise",
        "wrap-skirt | demo-narrow-poplin | open",
    ],
)
def test_the_shortest_layouts_known_are_proved_to_be_so(name: str) -> None:
    """Within a thousandth, by what planning at normal effort spends on it."""
    cell = measured(name, KNOWN[name], 0.0, "proved")
    assert cell.bound.kind is BoundKind.PLACED
    assert -1e-6 <= cell.above <= NEAR_SHARE


def test_where_the_depth_is_given_the_bound_is_that_of_the_fold() -> None:
    """In half and across there is one depth; that of the other folds is searched."""
    trousers = garment("trousers")
    job = job_for(Order(trousers, {}), trousers.roles, find_fabric("demo-cotton-lawn"))
    found = {fold.value for fold in Fold if searches_depth(job, fold)}
    assert found == {"partial", "double"}
    name = "trousers | demo-cotton-lawn | lengthwise"
    assert not measured(name, KNOWN[name], 0.0, "proved").any_depth
