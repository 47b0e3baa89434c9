"""How a repeating design ties match points to places on the lay.

Pieces of a match group keep their match points at one phase of the repeat. Lengthwise the phase
is free (the cloth may be cut anywhere in the repeat), so it is chosen to suit the largest piece.
Across, the design is fixed to the selvages: copies of one hand share a phase and mirrored copies
have it reflected in an axis of the design; a fold lies on an axis.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from fabrics.fabric import Fabric, Repeat
from fabrics.spread import Fold, FoldEdge, Spread
from layout.layout import posed
from layout.problem import Lattice, Pose
from pieces.geometry_types import Point
from plans.demand import Demand

PHASE_MM = 0.5
"""How far a design may be out of phase (design tolerance)."""


@dataclass(frozen=True)
class RepeatRule:
    """The lattices of one fabric's match groups.

    `along` is the lengthwise phase by group, `across` the phase of a drawn copy relative to the
    axis by group (cloth coordinates), both mm; empty where nothing must match.
    """

    repeat: Repeat | None = None
    along: dict[str, float] = field(default_factory=dict)
    across: dict[str, float] = field(default_factory=dict)

    @property
    def active(self) -> bool:
        """Whether any piece must match."""
        return self.repeat is not None and bool(self.along)

    def lattice_on_fold(self, demand: Demand, spread: Spread, edge: FoldEdge) -> Lattice | None:
        """In-phase positions of a half on a fold edge: only the way along the fold is left."""
        point = self._point(demand)
        if point is None or self.repeat is None:
            return None
        group, at = point
        if edge.along:
            return Lattice(
                at,
                self.repeat.along,
                self._phase_x(spread, group),
                group=group,
                axis=self._axis(spread),
            )
        # On a crosswise fold the half slides across the cloth.
        return self._across(at, spread, 0, group, Lattice(at, group=group))

    def lattice(
        self, demand: Demand, spread: Spread, plies: tuple[int, ...], pose: Pose
    ) -> Lattice | None:
        """In-phase positions of a piece away from the folds."""
        point = self._point(demand)
        if point is None or self.repeat is None:
            return None
        group, at = point
        along = Lattice(at, self.repeat.along, self._phase_x(spread, group), group=group)
        return self._across(at, spread, plies[0], group, along, flipped=pose.flip)

    def _point(self, demand: Demand) -> tuple[str, Point] | None:
        if not self.active or not demand.match:
            return None
        match = demand.match[0]
        return match.group, match.at

    def _phase_x(self, spread: Spread, group: str) -> float:
        # Against a crosswise fold both plies are in phase only at whole repeats from the fold.
        return 0.0 if spread.fold is Fold.CROSSWISE else self.along[group]

    def _axis(self, spread: Spread) -> float | None:
        """Cloth y in which mirrored copies on this spread are reflected.

        A lengthwise fold may lie half a repeat off the declared axis: the design is its own mirror
        image there too, and pieces on the fold bind the others to it.
        """
        if self.repeat is None or self.repeat.across <= 0.0 or self.repeat.axis is None:
            return None
        return spread.d1 if spread.fold is Fold.LENGTHWISE else self.repeat.axis

    def _across(
        self,
        at: Point,
        spread: Spread,
        ply_index: int,
        group: str,
        along: Lattice,
        flipped: bool = False,
    ) -> Lattice:
        axis = self._axis(spread)
        if self.repeat is None or axis is None:
            return along
        ply = spread.plies[ply_index]
        drawn = ply.face_up != flipped
        offset = self.across[group]
        phase = axis + (offset if drawn else -offset)
        lay = (phase - ply.y0) * ply.sy
        return Lattice(
            at, along.pitch_x, along.phase_x, self.repeat.across, lay, group=group, axis=axis
        )


def repeat_rule(fabric: Fabric, demands: tuple[Demand, ...]) -> RepeatRule:
    """Choose the phases of the match groups: the largest piece of each lies at the cut end."""
    if fabric.repeat is None:
        return RepeatRule()
    along: dict[str, float] = {}
    across: dict[str, float] = {}
    for demand in sorted(demands, key=lambda d: -d.area):
        for match in demand.match[:1]:
            centred = _offset_from_centre(demand, match.at)
            if match.group not in along:
                left = float(posed(demand.whole, Pose(0.0))[:, 0].min())
                along[match.group] = match.at[0] - left
                across[match.group] = centred or 0.0
            elif centred is not None and across[match.group] == 0.0:
                across[match.group] = centred
    return RepeatRule(fabric.repeat, along, across)


def _offset_from_centre(demand: Demand, at: Point) -> float | None:
    """Distance across from a fold edge along the grain to a match point, or None."""
    if demand.fold_line is None:
        return None
    (_, y1), (_, y2) = demand.fold_line
    return at[1] - y1 if abs(y1 - y2) < 1e-6 else None


def on_axis(fabric: Fabric, depth: float, declared: bool = False) -> bool:
    """Whether a fold at this cloth y (mm) lies on an axis of the design across.

    Axes repeat with half the repeat; with `declared`, only those in phase with the declared one.
    """
    repeat = fabric.repeat
    if repeat is None or repeat.across <= 0.0 or repeat.axis is None:
        return True
    pitch = repeat.across if declared else repeat.across / 2.0
    off = (depth - repeat.axis) % pitch
    return min(off, pitch - off) <= PHASE_MM


def next_axis(fabric: Fabric, depth: float) -> float:
    """Least depth (mm) not below the one given on an axis in phase with the declared one."""
    repeat = fabric.repeat
    if repeat is None or repeat.across <= 0.0 or repeat.axis is None:
        return depth
    return depth + (repeat.axis - depth) % repeat.across
