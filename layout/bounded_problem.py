"""Laying pieces on a bounded piece of cloth, such as a leftover."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fabrics.folds.ply_name import PlyName
from fabrics.spread import FoldEdge, Ply
from layout.errors import ProblemError
from layout.problem import Problem, Slot, Span
from layout.problem_checks import numbered, require_plies, require_ring, require_sound
from pieces.geometry_types import Ring

_FLAT = Ply(PlyName.CLOTH, 1, 1, 0, 0.0, -math.inf, math.inf)
"""A single layer right side up: lay and cloth coordinates are the same."""


@dataclass(frozen=True)
class BoundedProblem(Problem):
    """As many items as fit, by priority or area, on one piece of cloth in a single layer.

    Slots name section 0, zone 0, ply 0 and no fold edge.

    Attributes
    ----------
    outline : Ring
        Cloth coordinates, mm.
    holes : tuple of Ring
        May reach over the edge: a torn corner, a flaw at the border.

    Raises
    ------
    ProblemError
        If an item has no shape or slot, a slot names a place that is not there, or the outline
        crosses itself.
    """

    outline: Ring
    holes: tuple[Ring, ...] = ()

    def __post_init__(self) -> None:
        """Check it all once."""
        require_sound(self)
        self._require_outline()
        for item in self.items:
            for field, slot in numbered(item):
                for name in ("section", "zone"):
                    if getattr(slot, name) != 0:
                        raise ProblemError(
                            item.key,
                            f"{field}.{name}",
                            f"a bounded piece of cloth has {name} 0 only",
                        )
                require_plies(item.key, field, slot.plies, self.zone_plies(slot))
                if slot.fold_edge is not None:
                    raise ProblemError(
                        item.key,
                        f"{field}.fold_edge",
                        "a bounded piece of cloth lies in a single layer, without folds",
                    )

    def _require_outline(self) -> None:
        from shapely.geometry import Polygon

        require_ring("", "outline", self.outline)
        for number, hole in enumerate(self.holes):
            require_ring("", f"holes[{number}]", hole)
        if not Polygon(self.outline).is_valid:
            raise ProblemError("", "outline", "the outline crosses itself")

    @property
    def may_leave_out(self) -> bool:
        """What does not fit is left out."""
        return True

    def zone_plies(self, slot: Slot) -> tuple[int, ...]:
        """The only ply."""
        return (0,)

    def ply(self, slot: Slot, ply: int) -> Ply:
        """The cloth itself."""
        return _FLAT

    def fold_edge(self, slot: Slot) -> FoldEdge | None:
        """None: it lies flat."""
        return None

    def spans(self, extents: tuple[float, ...]) -> tuple[Span, ...]:
        """One section, where the cloth is."""
        return (Span(0.0, 0.0, 0.0, 0.0),)
