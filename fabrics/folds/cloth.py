"""What a kind of fold must know of the cloth and of what lies on it. Lengths in mm, washed."""

from __future__ import annotations

from dataclasses import dataclass

from fabrics.folds.tape import foldable_depth

PHASE_MM = 0.5
"""How far a design may be out of phase (design tolerance)."""


def off_phase(difference: float, pitch: float) -> float:
    """How far (mm) a difference is from a whole multiple of a pitch; 0 where there is none."""
    if pitch <= 0.0:
        return 0.0
    rest = difference % pitch
    return min(rest, pitch - rest)


@dataclass(frozen=True)
class DesignAcross:
    """A design that must match: its repeat across and an axis of symmetry (cloth y), mm.

    `pitch` is 0 where nothing repeats across; `axis` None where the design is uneven.
    """

    pitch: float
    axis: float | None

    @property
    def uneven(self) -> bool:
        """Whether it repeats across without being its own mirror image anywhere."""
        return self.axis is None and self.pitch > 0.0

    def on_axis(self, y: float, declared: bool = False) -> bool:
        """Whether a fold at this cloth y (mm) lies on an axis of the design across.

        Axes repeat with half the repeat; with `declared`, only those in phase with the declared
        one.
        """
        if self.pitch <= 0.0 or self.axis is None:
            return True
        return off_phase(y - self.axis, self.pitch if declared else self.pitch / 2.0) <= PHASE_MM

    def next_axis(self, depth: float) -> float:
        """Least depth (mm) not below the one given on an axis in phase with the declared one."""
        if self.pitch <= 0.0 or self.axis is None:
            return depth
        return depth + (self.axis - depth) % self.pitch


@dataclass(frozen=True)
class ClothToFold:
    """Cloth as whoever folds it sees it.

    `design` is None where nothing must match.
    """

    name: str
    width: float
    selvage: float
    one_way: bool = False
    design: DesignAcross | None = None

    def foldable(self, depth: float) -> float:
        """Round a depth (mm) up to what a tape shows, or to where the design is symmetric."""
        return foldable_depth(depth) if self.design is None else self.design.next_axis(depth)

    def foldable_from_far(self, depth: float) -> float:
        """Round a depth measured from the far selvage: its fold lies on an axis, too."""
        if self.design is None or self.design.pitch <= 0.0:
            return foldable_depth(depth)
        line = self.width - depth
        return depth + (line - (self.design.axis or 0.0)) % self.design.pitch

    def axes_suit(self, first: float, second: float) -> bool:
        """Whether folds of these depths (mm) lie on declared axes, one from either selvage."""
        if self.design is None:
            return True
        near, far = first, self.width - second
        return self.design.on_axis(near, declared=True) and self.design.on_axis(far, declared=True)


@dataclass(frozen=True)
class ToBeFolded:
    """What wants to lie double: extents across (mm), the greatest first, and the gap between.

    `halves` are laid against a fold, `pairs` are whole pieces of which two plies give two,
    `singles` whole pieces that may lie on single cloth beside.
    """

    halves: tuple[float, ...]
    pairs: tuple[float, ...]
    gap: float
    singles: tuple[float, ...] = ()

    @property
    def side_by_side(self) -> tuple[float, ...]:
        """Extents across of one or two halves or pairs beside a fold, the least first (mm)."""
        # Two copies that meet across a fold keep the gap, half of it on either side.
        ones = sorted({*self.halves, *(pair + self.gap / 2.0 for pair in self.pairs)})
        twos = {a + self.gap + b for k, a in enumerate(ones) for b in ones[k:]}
        return (*ones, *sorted(twos - set(ones)))
