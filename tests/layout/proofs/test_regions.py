"""What two pieces forbid each other, where they hold each other so that hardly a place is left."""

from __future__ import annotations

from fabrics.spread import Fold, make_spread
from layout.problem import Item, Pose, Section, Slot
from layout.proofs.placed import placed_bound
from layout.strip_problem import StripProblem
from pieces.geometry_types import Ring

EYE: Ring = (
    (-197.9861479235591, 106.2920060742803), (-107.82207726794957, -188.2264448157198),
    (197.21119877961382, -188.2264448157198), (197.21119877961382, 106.2920060742803),
    (-59.776485070604906, 106.2920060742803), (-9.650831981158888, 238.47826444360157),
    (-210.15344433894296, 238.47826444360157), (-160.02779124949694, 106.2920060742803),
)  # fmt: skip
"""Half of a piece, its fold edge below."""

HOOK: Ring = (
    (-154.362759474493, -279.96108681123894), (27.35497445742127, -98.24335287932465),
    (-101.55901442615452, -40.21774241765226), (40.21774241765224, 101.55901442615453),
    (98.24335287932466, -27.354974457421257), (279.96108681123894, 154.36275947449303),
    (158.4577713237452, 275.8660749619868), (-275.8660749619867, -158.45777132374522),
)  # fmt: skip
"""What that holds, cut on the bias."""


def test_what_several_no_fit_polygons_have_in_common_keeps_its_holes() -> None:
    """A hook in its eye, on 614.2 mm: a ring that almost touches itself lost that place."""
    spread = make_spread(Fold.LENGTHWISE, 932.7001750514213)
    on_fold = Slot(0, 0, (0, 1), 0, (Pose(0.0, True), Pose(180.0)), 0)
    pair = Slot(0, 0, (0, 1), 0, (Pose(135.0), Pose(315.0)))
    items = (
        Item("eye", (EYE,), 1, (on_fold,), ((EYE[1], EYE[2]),)),
        Item("hook", (HOOK,), 2, (pair,)),
    )
    bound = placed_bound(StripProblem(items, (Section("one", spread),), gap=0.0), 1500.0, 20_000)
    assert 614.0 < bound.length <= 614.23
