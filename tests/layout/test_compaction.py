"""Moving layouts together: sound half-planes, known optima, locks and lattices kept."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point as Spot
from shapely.geometry import Polygon

from fabrics.spread import Fold, make_spread
from layout.geometry.nofit import NoFitTable, OrientedShape
from layout.layout import Layout
from layout.problem import Flaw, Item, Lattice, Pose, Section, Slot, Wanted
from layout.search.compaction.compact import compacted
from layout.search.compaction.regions import border, free_region
from layout.search.model import Model, strip_model
from layout.search.state import State, placements, state_from
from layout.strip_problem import StripProblem
from layout.validator import validate
from pieces.geometry_types import FloatArray, Ring
from tests.layout.examples import ALONG, rect
from tests.layout.test_geometry import rings

HOOK: Ring = (
    (0.0, 0.0), (300.0, 0.0), (300.0, 60.0), (60.0, 60.0), (60.0, 240.0), (300.0, 240.0),
    (300.0, 300.0), (0.0, 300.0),
)  # fmt: skip


def never() -> bool:
    return False


@settings(max_examples=60, deadline=None)
@given(rings, rings, st.floats(-math.pi, math.pi), st.floats(1e-6, 60.0), st.booleans())
def test_half_planes_keep_a_pair_apart(
    a: FloatArray, b: FloatArray, way: float, off: float, sideways: bool
) -> None:
    """Whatever obeys all of them within reach lies outside the no-fit polygon, and so do we now."""
    found = NoFitTable((a, b), 3.0).rings(
        OrientedShape(0, Pose(0.0), a), OrientedShape(1, Pose(0.0), b)
    )
    nofit = Polygon(found[0], found[1:])
    # A place beside it: on the way out from the middle.
    line = np.array([math.cos(way), math.sin(way)])
    middle = np.array(nofit.representative_point().coords[0])
    distance = next(d for d in range(1000) if not nofit.covers(Spot(middle + d * line)))
    x, y = middle + (distance + off) * line
    if nofit.contains(Spot(x, y)):
        return
    reach = 80.0
    planes = free_region(border(found), float(x), float(y), reach, sideways)
    assert planes is not None
    assert all(nx * x + ny * y >= c - 1e-6 for nx, ny, c in planes)
    rng = np.random.default_rng(5)
    shrunk = nofit.buffer(-1e-5)
    for u, v in rng.uniform(-reach, reach, (60, 2)) + np.array([x, y]):
        if all(nx * u + ny * v >= c for nx, ny, c in planes):
            assert not shrunk.contains(Spot(u, v))


def test_a_position_inside_has_no_region() -> None:
    """What overlaps is not taken for what lies beside."""
    square = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])
    assert free_region(border((square,)), 4.0, 5.0, 3.0, False) is None
    assert free_region(border((square,)), 12.0, 5.0, 1.0, False) == []


def strip(
    *items: Item, gap: float = 0.0, width: float = 1000.0, flaws: tuple[Flaw, ...] = ()
) -> StripProblem:
    return StripProblem(
        items,
        (Section("open", make_spread(Fold.OPEN, width)),),
        gap=gap,
        wanted={item.key: Wanted(either=item.demand) for item in items},
        flaws=flaws,
    )


def piece(key: str, ring: Ring, demand: int = 1, lattice: Lattice | None = None) -> Item:
    return Item(key, (ring,), demand, (Slot(0, 0, (0,), 0, ALONG, lattice=lattice),))


def at(model: Model, *places: tuple[float, float]) -> State:
    """Every unit in its first way, at these places."""
    x, y = np.array(places).T
    return State(np.zeros(len(places), dtype=np.int32), x.copy(), y.copy())


def moved(problem: StripProblem, *places: tuple[float, float]) -> tuple[Model, State]:
    """A layout of a strip's only section and what it becomes; checked by the validator."""
    counts = {k: item.demand for k, item in enumerate(problem.items)}
    model = strip_model(problem, 0, counts, problem.spans((2000.0,))[0])
    begin = at(model, *places)
    result = compacted(model, begin, never)
    layout = Layout(placements(model, result), (result.extent(model),))
    assert not validate(problem, layout)
    return model, result


def test_scattered_squares_come_together() -> None:
    """A row with gaps far wider than one step ends as a plain sum."""
    problem = strip(piece("square", rect(100.0, 100.0), 4), gap=3.0, width=150.0)
    model, result = moved(problem, (50.0, 3.0), (260.0, 40.0), (500.0, 0.0), (801.0, 20.0))
    assert result.extent(model) == pytest.approx(409.0, abs=1e-6)


def test_a_tongue_goes_into_a_hook() -> None:
    """Into a hollow, between both of its lips, as far as it goes."""
    problem = strip(piece("hook", HOOK), piece("tongue", rect(240.0, 179.9)), width=320.0)
    model, result = moved(problem, (0.0, 0.0), (290.0, 60.05))
    assert result.extent(model) == pytest.approx(300.0, abs=1e-6)


def test_pieces_slide_along_slanting_edges() -> None:
    """Two wedges whose slopes meet move across to come closer along."""
    wedge: Ring = ((0.0, 0.0), (200.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    other: Ring = ((100.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0))
    problem = strip(piece("wedge", wedge), piece("other", other), width=100.0)
    model, result = moved(problem, (0.0, 0.0), (160.0, 0.0))
    assert result.extent(model) == pytest.approx(300.0, abs=1e-6)


def test_what_lies_on_a_lattice_keeps_its_phase() -> None:
    """A piece in phase stays, whatever lies behind it closes up."""
    lattice = Lattice((0.0, 0.0), pitch_x=60.0, phase_x=10.0)
    problem = strip(
        piece("panel", rect(130.0, 700.0), lattice=lattice), piece("free", rect(100.0, 900.0))
    )
    _, result = moved(problem, (70.0, 5.0), (290.0, 0.0))
    assert result.x.tolist() == pytest.approx([70.0, 200.0])


def test_a_flaw_holds_back_what_lies_beyond_it() -> None:
    """No piece jumps over a flaw or comes nearer to it than the gap."""
    flaw = Flaw(((100.0, 40.0), (120.0, 40.0), (120.0, 60.0), (100.0, 60.0)))
    problem = strip(piece("square", rect(90.0, 100.0), 2), gap=5.0, width=110.0, flaws=(flaw,))
    _, result = moved(problem, (5.0, 5.0), (160.0, 5.0))
    assert sorted(result.x.tolist()) == pytest.approx([0.0, 125.0])


def test_pieces_that_lie_into_each_other_by_rounding_are_put_right() -> None:
    """Exact is a little longer here; what truly overlaps is left as it is."""
    problem = strip(piece("square", rect(100.0, 100.0), 3), width=110.0)
    model, result = moved(problem, (0.0, 0.0), (99.99998, 0.0), (199.99996, 0.0))
    assert result.extent(model) == pytest.approx(300.0, abs=1e-6)
    # Not to the last digit: a hair is left between them.
    assert (np.diff(result.x) > 100.0 + 1e-9).all()
    overlapping = at(model, (0.0, 0.0), (50.0, 0.0), (200.0, 0.0))
    assert compacted(model, overlapping, never) is overlapping


def test_the_same_layout_is_compacted_alike_and_not_again() -> None:
    """Two runs give the same places, and a result gives nothing more."""
    problem = strip(piece("hook", HOOK, 3), piece("tongue", rect(240.0, 170.0), 3), width=700.0)
    places = [(0.0, 0.0), (0.0, 320.0), (560.0, 10.0), (310.0, 90.0), (880.0, 0.0), (880.0, 320.0)]
    model, first = moved(problem, *places)
    _, second = moved(problem, *places)
    assert (first.x == second.x).all()
    assert (first.y == second.y).all()
    again = compacted(model, first, never)
    assert again.extent(model) == pytest.approx(first.extent(model), abs=1e-3)
    assert state_from(model, placements(model, first)) is not None
