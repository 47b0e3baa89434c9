"""Small layout problems built by hand, one sentence on each."""

from __future__ import annotations

from collections.abc import Callable

from fabrics.spread import Faces, Fold, make_spread
from layout.problem import Grain, Item, Lattice, Pose, Section, Slot, Wanted
from layout.strip_problem import StripProblem
from pieces.geometry_types import Ring

ALONG = (Pose(0.0), Pose(180.0))
BOTH = (Pose(0.0), Pose(180.0), Pose(0.0, True), Pose(180.0, True))


def rect(length: float, width: float) -> Ring:
    """A rectangle, length along the grain, origin at its lower left corner."""
    return ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))


WEDGE: Ring = ((0.0, 0.0), (300.0, 0.0), (300.0, 100.0), (0.0, 200.0))
"""A panel whose two hands differ."""


def open_pair(gap: float = 3.0) -> StripProblem:
    """A pair of wedges in a single layer: one as drawn, one turned over."""
    spread = make_spread(Fold.OPEN, 1000.0, 10.0)
    drawn = Item("wedge", (WEDGE,), 1, (Slot(0, 0, (0,), 0, ALONG),))
    other = Item("wedge", (WEDGE,), 1, (Slot(0, 0, (0,), 0, (Pose(0.0, True), Pose(180.0, True))),))
    return StripProblem(
        (drawn, other),
        (Section("open", spread),),
        gap=gap,
        wanted={"wedge": Wanted(drawn=1, other=1)},
    )


def folded(
    fold: Fold = Fold.LENGTHWISE, faces: Faces = Faces.IN, one_way: bool = False
) -> StripProblem:
    """A half on a fold edge and a pair cut through two plies."""
    d1 = 300.0 if fold is Fold.PARTIAL else None
    spread = make_spread(fold, 1000.0, 10.0, d1, faces=faces)
    edge = spread.fold_edges[0]
    zone = next(
        k
        for k, z in enumerate(spread.zones)
        if len(z.plies) == 2 and (not edge.along or edge.at in (z.y_from, z.y_to))
    )
    half = rect(200.0, 120.0)
    line = ((0.0, 0.0), (200.0, 0.0)) if edge.along else ((0.0, 0.0), (0.0, 120.0))
    whole: Ring = (
        ((0.0, -120.0), (200.0, -120.0), (200.0, 120.0), (0.0, 120.0))
        if edge.along
        else ((-200.0, 0.0), (200.0, 0.0), (200.0, 120.0), (-200.0, 120.0))
    )
    flip = edge.along and edge.side < 0
    items = (
        Item(
            "front",
            (half,),
            1,
            (Slot(0, zone, spread.zones[zone].plies, 0, (Pose(0.0, flip),), 0),),
            (line,),
            (whole,),
        ),
        Item(
            "wedge",
            (WEDGE,),
            1,
            (Slot(0, zone, spread.zones[zone].plies, 0, (Pose(0.0),) if one_way else BOTH),),
        ),
    )
    return StripProblem(
        items,
        (Section(fold.value, spread),),
        one_way=one_way,
        wanted={"front": Wanted(either=1), "wedge": Wanted(drawn=1, other=1)},
        grain={"front": Grain(), "wedge": Grain()},
    )


def turned_pair() -> StripProblem:
    """Two pairs on a crosswise, cut and turned spread of one-way cloth."""
    spread = make_spread(Fold.TURNED, 1000.0, 10.0)
    item = Item("wedge", (WEDGE,), 2, (Slot(0, 0, (0, 1), 0, (Pose(0.0), Pose(0.0, True))),))
    return StripProblem(
        (item,),
        (Section("turned", spread),),
        one_way=True,
        wanted={"wedge": Wanted(drawn=2, other=2)},
    )


def sectioned() -> StripProblem:
    """A half on the fold, then odd rectangles in an open section."""
    first = make_spread(Fold.LENGTHWISE, 1000.0, 10.0)
    second = make_spread(Fold.OPEN, 1000.0, 10.0)
    half, wide = rect(200.0, 300.0), rect(150.0, 700.0)
    return StripProblem(
        (
            Item(
                "front",
                (half,),
                1,
                (Slot(0, 0, (0, 1), 0, (Pose(0.0),), 0),),
                (((0.0, 0.0), (200.0, 0.0)),),
                (((0.0, -300.0), (200.0, -300.0), (200.0, 300.0), (0.0, 300.0)),),
            ),
            Item("yoke", (wide,), 1, (Slot(1, 0, (0,), 0, ALONG),)),
        ),
        (Section("1 lengthwise", first), Section("2 open", second)),
        wanted={"front": Wanted(either=1), "yoke": Wanted(either=1)},
    )


def in_phase() -> StripProblem:
    """Two panels whose match points lie at whole repeats of 60 mm along."""
    spread = make_spread(Fold.OPEN, 1000.0, 10.0)
    lattice = Lattice((35.0, 20.0), pitch_x=60.0, phase_x=35.0)
    item = Item("panel", (rect(130.0, 700.0),), 2, (Slot(0, 0, (0,), 0, ALONG, lattice=lattice),))
    return StripProblem((item,), (Section("open", spread),), wanted={"panel": Wanted(either=2)})


def blocked() -> StripProblem:
    """An odd collar cut through the upper ply of a lengthwise fold, beside a pair."""
    spread = make_spread(Fold.LENGTHWISE, 1000.0, 10.0)
    return StripProblem(
        (
            Item("collar", (rect(200.0, 90.0),), 1, (Slot(0, 0, (1,), 0, ALONG),)),
            Item("cuff", (rect(200.0, 90.0),), 1, (Slot(0, 0, (0, 1), 0, ALONG),)),
        ),
        (Section("lengthwise", spread),),
        wanted={"collar": Wanted(either=1), "cuff": Wanted(either=2)},
    )


EXAMPLES: dict[str, Callable[[], StripProblem]] = {
    "open": open_pair,
    "lengthwise": folded,
    "lengthwise, faces out": lambda: folded(faces=Faces.OUT),
    "partial": lambda: folded(Fold.PARTIAL),
    "double": lambda: folded(Fold.DOUBLE),
    "double, faces out": lambda: folded(Fold.DOUBLE, Faces.OUT),
    "crosswise": lambda: folded(Fold.CROSSWISE),
    "lengthwise, one way": lambda: folded(one_way=True),
    "turned": turned_pair,
    "sectioned": sectioned,
    "in phase": in_phase,
    "blocked": blocked,
}
