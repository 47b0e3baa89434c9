"""How a repeating design ties match points to places on the lay.

Pieces of a match group keep their match points at one phase of the repeat. Lengthwise the phase
is free (the cloth may be cut anywhere in the repeat), so it is chosen to suit the largest piece.
Across, the design is fixed to the selvages: copies of one hand share a phase and mirrored copies
have it reflected in an axis of the design; a fold lies on an axis. A piece with points of several
groups ties their phases to each other.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from fabrics.fabric import Fabric, Repeat
from fabrics.folds.cloth import DesignAcross, off_phase
from fabrics.spread import FoldEdge, Spread
from layout.layout import posed
from layout.problem import Lattice, Mark, Pose
from plans.problem.demand import Demand
from plans.problem.phases import chosen_phases, fold_height

CLEARLY_MM = 0.25
"""Points that miss their phase by less than this lie in it; well within what is validated."""


@dataclass(frozen=True)
class RepeatRule:
    """The lattices of one fabric's match groups.

    `along` is the lengthwise phase by group, `across` the phase of a drawn copy relative to the
    axis by group (cloth coordinates), both mm; empty where nothing must match. `barred` are the
    groups for which a bar is named, so that the declared axis counts and no other.
    """

    repeat: Repeat | None = None
    along: dict[str, float] = field(default_factory=dict)
    across: dict[str, float] = field(default_factory=dict)
    barred: frozenset[str] = frozenset()

    @property
    def active(self) -> bool:
        """Whether any piece must match."""
        return self.repeat is not None and bool(self.along)

    @property
    def design(self) -> DesignAcross | None:
        """What a fold must heed of the design; None where nothing must match."""
        if not self.active or self.repeat is None:
            return None
        return DesignAcross(self.repeat.across, self.repeat.axis)

    def lattice_on_fold(self, demand: Demand, spread: Spread, edge: FoldEdge) -> Lattice | None:
        """In-phase positions of a half on a fold edge: only the way along the fold is left."""
        if not self.active or not demand.match or self.repeat is None:
            return None
        marks = self._marks(demand)
        first = _leader(marks)
        repeats = (self.repeat.along, self.repeat.across)
        axis = self._axis(spread)
        if edge.along:
            return Lattice(
                first.point,
                self.repeat.along,
                self._phase_x(spread, first.group),
                group=first.group,
                axis=axis,
                marks=marks,
                repeats=repeats,
            )
        # On a crosswise fold the half slides across the cloth.
        free = Lattice(first.point, group=first.group, axis=axis, marks=marks, repeats=repeats)
        return self._across(first, spread, 0, free, flipped=False)

    def lattice(
        self, demand: Demand, spread: Spread, plies: tuple[int, ...], pose: Pose
    ) -> Lattice | None:
        """In-phase positions of a piece away from the folds."""
        if not self.active or not demand.match or self.repeat is None:
            return None
        marks = self._marks(demand)
        first = _leader(marks)
        along = Lattice(
            first.point,
            self.repeat.along,
            self._phase_x(spread, first.group),
            group=first.group,
            axis=self._axis(spread),
            marks=marks,
            repeats=(self.repeat.along, self.repeat.across),
        )
        return self._across(first, spread, plies[0], along, flipped=pose.flip)

    def suits(self, demand: Demand, spread: Spread, plies: tuple[int, ...], pose: Pose) -> bool:
        """Whether all match points of a piece can lie in phase at once in a pose, on all plies."""
        if not self.active or self.repeat is None or not demand.match:
            return True
        marks = self._marks(demand)
        first = _leader(marks)
        lead = self._lay_y(first, spread, plies[0], pose.flip)
        at = posed(tuple(mark.point for mark in (first, *marks)), pose)
        for mark, point in zip(marks, at[1:], strict=True):
            along = float(point[0] - at[0][0])
            wanted = self._phase_x(spread, mark.group) - self._phase_x(spread, first.group)
            if off_phase(along - wanted, self.repeat.along) > CLEARLY_MM:
                return False
            if not (mark.across and first.across) or lead is None:
                continue
            across = lead + float(point[1] - at[0][1])
            for ply in plies:
                lay = self._lay_y(mark, spread, ply, pose.flip)
                if lay is not None and off_phase(across - lay, self.repeat.across) > CLEARLY_MM:
                    return False
        return True

    def suits_fold(
        self, demand: Demand, spread: Spread, ply: int, edge: FoldEdge, pose: Pose
    ) -> bool:
        """Whether the match points of a half can lie in phase with its fold edge on a fold."""
        if not self.active or self.repeat is None or demand.fold_line is None or not demand.match:
            return True
        marks = [mark for mark in self._marks(demand) if not mark.mirrored]
        first = _leader(tuple(marks))
        at = posed(tuple(mark.point for mark in (first, *marks)), pose)
        fold = posed(demand.fold_line, pose)[0]
        axis = self._axis(spread)
        for mark, point in zip(marks, at[1:], strict=True):
            if edge.along:
                along = float(point[0] - at[0][0])
                wanted = self._phase_x(spread, mark.group) - self._phase_x(spread, first.group)
            else:
                along, wanted = float(point[0] - fold[0]), self._phase_x(spread, mark.group)
            if off_phase(along - wanted, self.repeat.along) > CLEARLY_MM:
                return False
            if not (edge.along and mark.across) or axis is None:
                continue
            line = spread.plies[ply].y0 + spread.plies[ply].sy * edge.at
            away = float(point[1] - fold[1])
            wanted = axis + self.across[mark.group]
            # The whole carries the point on both sides of its fold; either may be the one meant.
            if min(off_phase(line + k * away - wanted, self.repeat.across) for k in (1, -1)) > (
                CLEARLY_MM
            ):
                return False
        return True

    def _marks(self, demand: Demand) -> tuple[Mark, ...]:
        """All points of a piece that must match; those of a half on both of its sides."""
        marks = []
        level = fold_height(demand)
        for match in demand.match:
            bar = match.bar if isinstance(match.bar, float) else None
            across = not match.along_only
            marks.append(Mark(match.group, match.at, False, bar, across))
            if across and level is not None and abs(match.at[1] - level) > 1e-6:
                far = (match.at[0], 2.0 * level - match.at[1])
                marks.append(Mark(match.group, far, True, bar, across))
        return tuple(marks)

    def _phase_x(self, spread: Spread, group: str) -> float:
        # Against a crosswise fold both plies are in phase only at whole repeats from the fold.
        return 0.0 if spread.folded_across else self.along[group]

    def _axis(self, spread: Spread) -> float | None:
        """Cloth y in which mirrored copies on this spread are reflected.

        A lengthwise fold may lie half a repeat off the declared axis: the design is its own mirror
        image there too, and pieces on the fold bind the others to it, unless a bar is named.
        """
        if self.repeat is None or self.repeat.across <= 0.0 or self.repeat.axis is None:
            return None
        if self.barred:
            return self.repeat.axis
        return spread.d1 if spread.fold.in_half else self.repeat.axis

    def _lay_y(self, mark: Mark, spread: Spread, ply_index: int, flipped: bool) -> float | None:
        """Lay y (mm, modulo the repeat) at which a mark is in phase across; None if it is free."""
        axis = self._axis(spread)
        if axis is None:
            return None
        ply = spread.plies[ply_index]
        drawn = (ply.face_up != flipped) != mark.mirrored
        offset = self.across[mark.group]
        return ((axis + offset if drawn else axis - offset) - ply.y0) * ply.sy

    def _across(
        self, first: Mark, spread: Spread, ply_index: int, along: Lattice, flipped: bool
    ) -> Lattice:
        lay = self._lay_y(first, spread, ply_index, flipped) if first.across else None
        if self.repeat is None or lay is None:
            return along
        return Lattice(
            first.point,
            along.pitch_x,
            along.phase_x,
            self.repeat.across,
            lay,
            group=first.group,
            axis=along.axis,
            marks=along.marks,
            repeats=along.repeats,
        )


def _leader(marks: tuple[Mark, ...]) -> Mark:
    """The mark whose places make the lattice; the others follow."""
    return next((mark for mark in marks if mark.across), marks[0])


def repeat_rule(fabric: Fabric, demands: tuple[Demand, ...]) -> RepeatRule:
    """Choose the phases of the match groups: the largest piece of each lies at the cut end."""
    if fabric.repeat is None:
        return RepeatRule()
    phases = chosen_phases(fabric, demands)
    barred = frozenset(
        match.group for demand in demands for match in demand.match if match.bar is not None
    )
    return RepeatRule(fabric.repeat, phases.along, phases.across, barred)
