"""Slits that allowances close: darts and neck slits, halves on a fold, and what is none."""

from __future__ import annotations

import pytest

from pieces.drafting.draft import Draft
from pieces.drafting.slits import MOST_PLACES, Slit, _line, _pairs, closed_slits
from pieces.geometry_types import Point
from pieces.outline import Edge


def outline(*corners: tuple[str, Point]) -> tuple[Edge, ...]:
    """Edges by name and where each begins."""
    count = len(corners)
    return tuple(
        Edge(name, (at, corners[(k + 1) % count][1])) for k, (name, at) in enumerate(corners)
    )


def with_dart(mouth: float) -> tuple[Edge, ...]:
    """300 x 300 mm with a dart of 100 mm in its upper edge, so wide at its mouth."""
    half = mouth / 2.0
    return outline(
        ("hem", (0.0, 0.0)), ("side", (300.0, 0.0)), ("waist", (300.0, 300.0)),
        ("leg 1", (150.0 + half, 300.0)), ("leg 2", (150.0, 200.0)),
        ("waist beyond", (150.0 - half, 300.0)), ("other side", (0.0, 300.0)),
    )  # fmt: skip


def with_slit(gap: float, neck: float) -> tuple[Edge, ...]:
    """The same with a slit of 120 mm with parallel sides, at the bottom of a neck so deep."""
    half, top = gap / 2.0, 300.0 - neck
    return outline(
        ("hem", (0.0, 0.0)), ("side", (300.0, 0.0)), ("shoulder", (300.0, 300.0)),
        ("neck side", (200.0, 300.0)), ("neck", (200.0, top)), ("slit right", (150.0 + half, top)),
        ("bottom", (150.0 + half, top - 120.0)), ("slit left", (150.0 - half, top - 120.0)),
        ("neck beyond", (150.0 - half, top)), ("other neck side", (100.0, top)),
        ("other shoulder", (100.0, 300.0)), ("other side", (0.0, 300.0)),
    )  # fmt: skip


def half_with_slit(gap: float) -> tuple[Edge, ...]:
    """Right half of a front whose neck slit lies on the fold, drawn at half its width."""
    corners: list[tuple[str, Point]] = [
        ("hem", (0.0, 0.0)), ("side", (200.0, 0.0)), ("neck", (200.0, 300.0)),
        ("slit", (gap / 2.0, 300.0)), ("bottom", (gap / 2.0, 180.0)), ("fold", (0.0, 180.0)),
    ]  # fmt: skip
    if gap == 0.0:
        del corners[4]
    return outline(*corners)


def slits(
    edges: tuple[Edge, ...], own: dict[str, float] | None = None, fold: str | None = None
) -> list[Slit]:
    grain = ((100.0, 50.0), (100.0, 150.0))
    return closed_slits(Draft("front", edges, grain, True, 10.0, allowances=own or {}, fold=fold))


@pytest.mark.parametrize("turned", [False, True])
def test_a_slit_narrower_than_its_allowances_is_found(turned: bool) -> None:
    """4 mm between sides with 10 mm each: at its mouth, whichever way round it is drawn."""
    edges = with_slit(4.0, 60.0)
    if turned:
        edges = tuple(Edge(edge.name, edge.points[::-1]) for edge in reversed(edges))
    (slit,) = slits(edges)
    assert slit.gap == pytest.approx(4.0)
    assert slit.at == pytest.approx((150.0, 239.0), abs=1.1)
    assert sorted(slit.edges) == ["slit left", "slit right"]
    assert slit.allowances == (10.0, 10.0)


@pytest.mark.parametrize(
    ("edges", "own"),
    [
        (with_slit(21.0, 60.0), {}),
        (with_slit(4.0, 60.0), {"slit left": 0.0, "slit right": 0.0, "bottom": 0.0}),
        (with_slit(4.0, 60.0), {"slit left": 1.5, "slit right": 1.5, "bottom": 0.0}),
        (with_dart(30.0), {}),
        (with_dart(10.0), {"leg 1": 0.0, "leg 2": 0.0}),
        (with_dart(200.0), {}),
    ],
)
def test_what_stays_open_is_none(edges: tuple[Edge, ...], own: dict[str, float]) -> None:
    """Wider than both allowances; without them; a dart that is closed at its point only."""
    assert slits(edges, own) == []


def test_one_wide_allowance_closes_it_too() -> None:
    """Nothing on one side, more than the slit is wide on the other."""
    (slit,) = slits(with_slit(4.0, 60.0), {"slit left": 0.0})
    assert sorted(slit.allowances) == [0.0, 10.0]


def test_a_dart_that_is_closed_up_to_its_mouth_is_found() -> None:
    """18 mm at its mouth, with 10 mm on each leg."""
    (slit,) = slits(with_dart(18.0))
    assert sorted(slit.edges) == ["leg 1", "leg 2"]
    assert slit.gap < 18.0
    assert slit.at[1] > 290.0


@pytest.mark.parametrize("gap", [0.0, 4.0])
def test_a_slit_on_the_fold_is_seen_whole(gap: float) -> None:
    """Its one side, and the other that is its mirror image, even where they lie on one line."""
    (slit,) = slits(half_with_slit(gap), fold="fold")
    assert slit.edges == ("slit", "slit")
    assert slit.gap == pytest.approx(gap, abs=1e-6)
    assert slit.at == pytest.approx((0.0, 299.0), abs=1.1)
    assert slits(half_with_slit(gap), {"slit": 0.0, "bottom": 0.0}, "fold") == []


def test_two_of_a_half_are_told_once_each() -> None:
    """A dart beside the fold has a mirror image, which nobody drew."""
    found = slits(with_dart(18.0), fold="other side")
    assert len(found) == 1
    assert found[0].at[0] > 0.0


def test_a_dent_is_no_slit() -> None:
    """4 mm wide, 8 mm deep: a wobble of the line."""
    dent = outline(
        ("a", (0.0, 0.0)), ("b", (300.0, 0.0)), ("c", (300.0, 300.0)), ("d", (152.0, 300.0)),
        ("e", (152.0, 292.0)), ("f", (148.0, 292.0)), ("g", (148.0, 300.0)), ("h", (0.0, 300.0)),
    )  # fmt: skip
    assert slits(dent) == []


def test_a_point_typed_far_off_is_looked_along_in_longer_steps() -> None:
    """51 km of line in steps of 2 mm took 18 GB of memory before it was stopped."""
    needle = outline(
        ("a", (0.0, 0.0)), ("b", (300.0, 0.0)), ("c", (25.4e6, 400.0)), ("d", (0.0, 400.0))
    )  # fmt: skip
    assert len(_pairs(_line(list(needle), dict.fromkeys("abcd", 10.0))).at) <= MOST_PLACES + 4
    assert slits(needle) == []
