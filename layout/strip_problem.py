"""Laying pieces on a strip: cloth of given width and free length, spread in sections."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace

from fabrics.spread import FoldEdge, Ply, Spread
from layout.errors import ProblemError
from layout.problem import Flaw, Item, Placement, Problem, Section, Slot, Span
from layout.problem_checks import (
    numbered,
    require_index,
    require_kept,
    require_length,
    require_plies,
    require_ring,
    require_sound,
)

FOLD_MM = 1e-6
"""A lay that reaches beyond its fold's place by no more than this does not."""


@dataclass(frozen=True)
class StripProblem(Problem):
    """All items on the least length of cloth: one section after another.

    Attributes
    ----------
    sections : tuple of Section
        One or more.
    flaws : tuple of Flaw
        An item may lie on a crosswise or turned spread only if the fold of its section has a place
        (`Section.fold_at`): where flaws come to lie there is not known before.
    kept : tuple of Placement
        What stays where it is: a search lays the rest around it. Each is one of its item's demand.

    Raises
    ------
    ProblemError
        If an item has no shape or slot, or a slot names a section, zone, ply, shape or fold edge
        that is not there.
    """

    sections: tuple[Section, ...]
    flaws: tuple[Flaw, ...] = ()
    kept: tuple[Placement, ...] = ()

    def __post_init__(self) -> None:
        """Check it all once."""
        require_sound(self)
        if not self.sections:
            raise ProblemError("", "sections", "there is no section; one or more are needed")
        for number, section in enumerate(self.sections):
            for name in ("length_pitch", "start_pitch", "fold_at"):
                require_length("", f"sections[{number}].{name}", getattr(section, name))
            if section.fold_at > 0.0 and not section.spread.doubled:
                raise ProblemError(
                    "",
                    f"sections[{number}].fold_at",
                    f"a {section.spread.fold.value} spread is not folded across: 0 is right",
                )
        for number, flaw in enumerate(self.flaws):
            require_ring("", f"flaws[{number}]", flaw.outline)
        for item in self.items:
            for field, slot in numbered(item):
                self._require_place(item, field, slot)
        require_kept(self.items, self.kept)

    def _require_place(self, item: Item, field: str, slot: Slot) -> None:
        key = item.key
        require_index(key, f"{field}.section", slot.section, len(self.sections), "section")
        spread = self.spread(slot)
        require_index(key, f"{field}.zone", slot.zone, len(spread.zones), "zone")
        require_plies(key, field, slot.plies, self.zone_plies(slot))
        if self.flaws and spread.doubled and not self.sections[slot.section].fold_at:
            raise ProblemError(
                key,
                f"{field}.section",
                "on cloth with flaws the fold across needs a place (fold_at of its section)",
            )
        if slot.fold_edge is None:
            return
        edges = spread.fold_edges
        require_index(key, f"{field}.fold_edge", slot.fold_edge, len(edges), "fold edge")
        if set(edges[slot.fold_edge].plies) != set(slot.plies):
            raise ProblemError(
                key,
                f"{field}.plies",
                f"{slot.plies} are not the plies that meet at fold edge {slot.fold_edge}",
            )

    def movable(self, placements: tuple[Placement, ...]) -> tuple[Placement, ...]:
        """Of these placements those that need not stay where they are."""
        kept = Counter(self.kept)
        result = []
        for placement in placements:
            if kept[placement]:
                kept[placement] -= 1
            else:
                result.append(placement)
        return tuple(result)

    def free(self, item: int) -> int:
        """How many placements of an item a search has to lay: those that are not kept."""
        return self.items[item].demand - sum(kept.item == item for kept in self.kept)

    def kept_in(self, section: int) -> tuple[Placement, ...]:
        """What stays where it is in a section."""
        return tuple(p for p in self.kept if self.items[p.item].slots[p.slot].section == section)

    def spread(self, slot: Slot) -> Spread:
        """How the section of a slot is spread."""
        return self.sections[slot.section].spread

    @property
    def may_leave_out(self) -> bool:
        """A strip is as long as it must be."""
        return False

    def zone_plies(self, slot: Slot) -> tuple[int, ...]:
        """Plies of the slot's zone."""
        return self.spread(slot).zones[slot.zone].plies

    def ply(self, slot: Slot, ply: int) -> Ply:
        """A ply of the slot's spread."""
        return self.spread(slot).plies[ply]

    def fold_edge(self, slot: Slot) -> FoldEdge | None:
        """A fold edge of the slot's spread."""
        return None if slot.fold_edge is None else self.spread(slot).fold_edges[slot.fold_edge]

    def spans(self, extents: tuple[float, ...]) -> tuple[Span, ...]:
        """Lay the sections one after another on the cloth.

        An inner boundary (where the cloth is cut before the next section is spread) keeps the gap
        on each side; a raw end keeps none. A section that carries nothing takes no cloth.
        """
        result: list[Span] = []
        at = 0.0
        used = [k for k, extent in enumerate(extents) if extent > 0.0]
        for k, (section, extent) in enumerate(zip(self.sections, extents, strict=True)):
            if k not in used:
                result.append(Span(at, at, at, 0.0))
                continue
            lead = self.gap if used and k != used[0] else 0.0
            tail = self.gap if used and k != used[-1] else 0.0
            start = at + lead
            if section.start_pitch > 0.0:
                start = math.ceil(start / section.start_pitch - 1e-9) * section.start_pitch
            lay_length = max(self._least_lay(section, extent), section.fold_at)
            length = lay_length + extent if section.spread.doubled else extent
            end = start + length + tail
            result.append(Span(at, end, start, lay_length))
            at = end
        return tuple(result)

    def span_with_place(self, section: int, extents: tuple[float, ...]) -> Span:
        """Where a section lies; its fold where it has its place, even if pieces reach beyond it."""
        span = self.spans(extents)[section]
        place = self.sections[section].fold_at
        return replace(span, lay_length=place) if place else span

    def beyond_fold(self, extents: tuple[float, ...]) -> float:
        """How far (mm) lays reach beyond what their folds across leave them, all together.

        Such a layout needs its fold in another place, where flaws lie elsewhere on the lay.
        """
        return sum(
            max(0.0, self._least_lay(section, extent) - section.fold_at - FOLD_MM)
            for section, extent in zip(self.sections, extents, strict=True)
            if section.fold_at > 0.0 and extent > 0.0
        )

    def _least_lay(self, section: Section, extent: float) -> float:
        """Least lay length F (mm) of a section whose pieces reach to `extent`."""
        lay_length = section.spread.lay_length(extent, self.gap)
        if section.length_pitch > 0.0:
            steps = math.ceil((lay_length - section.length_phase) / section.length_pitch - 1e-9)
            lay_length = section.length_phase + steps * section.length_pitch
        return lay_length
