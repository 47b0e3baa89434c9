"""A kind of fold, with everything that the program knows about it; and a spread, one made definite.

To add a kind: write a class with its geometry, its depths and its words, and make it known with
:meth:`Fold.add`. Nothing else in the program lists the kinds. All lengths in mm, of washed cloth.
"""

from __future__ import annotations

from abc import ABCMeta, abstractmethod
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar

from fabrics.folds.cloth import ClothToFold, ToBeFolded
from fabrics.folds.plies import Faces, FoldEdge, Ply, Zone
from pieces.lengths import System

Depths = tuple[float, float]
"""Fold depths near cloth y = 0 and near y = width, mm."""

GivenDepths = tuple[float | None, float | None]
"""The same, None where the fold fixes its own."""

KNOWN: dict[str, Fold] = {}
"""Every kind by its machine name, in the order in which they are taught."""


class _Kinds(ABCMeta):
    """Lets `for fold in Fold` run over the kinds as they are taught."""

    def __iter__(cls) -> Iterator[Fold]:
        return iter(tuple(KNOWN.values()))


class Fold(metaclass=_Kinds):
    """One kind of fold; of each there is one object: `Fold.OPEN`, or `Fold.named("open")`.

    Attributes
    ----------
    value : str
        The machine name, which stands in files.
    taught : str
        The name under which it is taught.
    rank : int
        How simple it is to cut from, 0 the simplest.
    strips : int
        How many strips of its widest doubled zone go into the width.
    doubled : bool
        Whether the cloth is folded across, twice as long as the lay.
    cut_apart : bool
        Whether it is cut along the fold, so that the ends of two plies meet on the cloth.
    keeps_heads : bool
        Whether all plies run the same way.
    in_half : bool
        Whether it is folded in the middle of the width, so that both selvages lie at one edge.
    sectioned : bool
        Whether it is a sequence of spreads rather than one.
    leads : int or None
        Place among the folds that are tried before an open section; None if it is not.
    begins_at : str or None
        What lies at the end where lay x begins, if it is not a cut end.
    note : str
        What a plan in this fold owes its user, if anything.
    remark : str
        What is said beside it in a list of folds.
    """

    __slots__ = ()

    OPEN: ClassVar[Fold]
    LENGTHWISE: ClassVar[Fold]
    PARTIAL: ClassVar[Fold]
    DOUBLE: ClassVar[Fold]
    CROSSWISE: ClassVar[Fold]
    TURNED: ClassVar[Fold]
    SECTIONED: ClassVar[Fold]

    value: ClassVar[str]
    taught: ClassVar[str]
    rank: ClassVar[int]
    strips: ClassVar[int] = 1
    doubled: ClassVar[bool] = False
    cut_apart: ClassVar[bool] = False
    keeps_heads: ClassVar[bool] = True
    in_half: ClassVar[bool] = False
    sectioned: ClassVar[bool] = False
    leads: ClassVar[int | None] = None
    begins_at: ClassVar[str | None] = None
    note: ClassVar[str] = ""
    remark: ClassVar[str] = ""

    @staticmethod
    def named(value: str) -> Fold:
        """The kind of this machine name.

        Raises
        ------
        ValueError
            If no kind has this name.
        """
        known = KNOWN.get(value)
        if known is None:
            raise ValueError(f"'{value}' is no fold; one of {', '.join(KNOWN)}")
        return known

    def __reduce__(self) -> tuple[Callable[[type[Fold]], Fold], tuple[type[Fold]]]:
        # Whoever reads it, a worker say, gets its own one object of this kind.
        return _only_one, (type(self),)

    def __repr__(self) -> str:
        return f"Fold.named({self.value!r})"

    @staticmethod
    def add(kind: type[Fold]) -> Fold:
        """Make a kind known; return its one object."""
        if kind.value not in KNOWN:
            KNOWN[kind.value] = kind()
        return KNOWN[kind.value]

    @property
    def explained(self) -> str:
        """The taught name, explained where it does not say how the cloth lies."""
        return self.taught

    @abstractmethod
    def depths(self, width: float, d1: float | None, d2: float | None) -> Depths:
        """Fold depths on cloth of a width, those given checked, the others filled in.

        Raises
        ------
        SpreadError
            If the depths given do not suit this fold.
        """

    @abstractmethod
    def plies(self, width: float, depths: Depths) -> tuple[Ply, ...]:
        """Plies of the lay with the right sides together, the lower first."""

    @abstractmethod
    def zones(self, width: float, selvage: float, depths: Depths) -> tuple[Zone, ...]:
        """Usable zones across the lay, by lay y."""

    @abstractmethod
    def edges(self, width: float, depths: Depths) -> tuple[FoldEdge, ...]:
        """Where two plies meet."""

    def worth_trying(self, cloth: ClothToFold, wanted: ToBeFolded) -> list[GivenDepths]:
        """Depths worth trying for what wants to lie double; empty if none would do."""
        return [(None, None)]

    def also_worth_trying(self, cloth: ClothToFold, wanted: ToBeFolded) -> list[GivenDepths]:
        """Further depths, worth a glance each; those of `worth_trying` may be among them."""
        return []

    def beside(self, cloth: ClothToFold, depths: Depths, by: float) -> list[GivenDepths]:
        """Depths that differ from others by so much (mm); none where a fold fixes its own."""
        return []

    def refusal(self, cloth: ClothToFold) -> str | None:
        """Why cloth may not be folded so, in a sentence; None if it may."""
        if cloth.design is not None and cloth.design.uneven:
            return (
                f"fold {self.value}: the repeat of '{cloth.name}' is uneven, so that folded plies "
                "cannot match; uneven designs are cut open, in a single layer"
            )
        return None

    @abstractmethod
    def how(self, spread: Spread, system: System) -> str:
        """Say in a sentence or two how to lay the cloth."""

    def how_at(self, spread: Spread, place: float, system: System) -> str:
        """The same where the fold across has a place, so far (mm) from the cut end."""
        return self.how(spread, system)

    def room_across(self, width: float, selvage: float) -> float:
        """Widest usable strip of lay that this fold can give on cloth of a width."""
        if self.strips == 1:
            return width - 2.0 * selvage
        return width / self.strips - selvage

    def width_for(self, room: float, selvage: float) -> float:
        """Width of cloth on which this fold gives a usable strip of lay so wide."""
        return self.strips * (room + selvage) + (selvage if self.strips == 1 else 0.0)

    def least_width(self, spread: Spread, used: Mapping[int, tuple[float, float]]) -> float:
        """Narrowest cloth that carries what takes these ranges of lay y, by zone.

        Pieces keep their places against the fold edges, and folds their depths, except that a fold
        in half stays in the middle and selvages that meet go on meeting.
        """
        spares = [spread.slack(k, used.get(k)) for k in range(len(spread.zones))]
        singles = [
            spare for spare, zone in zip(spares, spread.zones, strict=True) if len(zone.plies) == 1
        ]
        if self.in_half or not singles:
            # Only doubled cloth: what is given up beside the pieces is given up on both plies.
            return spread.width - 2.0 * sum(spares)
        return spread.width - sum(singles)


def _only_one(kind: type[Fold]) -> Fold:
    return Fold.add(kind)


@dataclass(frozen=True)
class Spread:
    """One way of laying one stretch of cloth: plies, usable zones and fold edges.

    Made by :func:`fabrics.spread.make_spread`. All lengths in mm, of washed cloth.
    """

    fold: Fold
    width: float
    selvage: float
    d1: float
    d2: float
    faces: Faces
    plies: tuple[Ply, ...]
    zones: tuple[Zone, ...]
    fold_edges: tuple[FoldEdge, ...]

    @property
    def lay_height(self) -> float:
        """Extent of the lay across, selvages included, mm."""
        return self.width - self.d1 - self.d2

    @property
    def doubled(self) -> bool:
        """Whether the cloth is twice as long as the lay."""
        return self.fold.doubled

    @property
    def folded_across(self) -> bool:
        """Whether a fold runs across the grain, so that plies mirror each other lengthwise."""
        return any(not edge.along for edge in self.fold_edges)

    @property
    def heads_alike(self) -> bool:
        """Whether one direction on the lay is one direction on the cloth on every ply."""
        return len({ply.sx for ply in self.plies}) == 1

    def lay_length(self, extent: float, gap: float) -> float:
        """Lay length F for pieces that reach from lay x = 0 to `extent` (mm).

        Where the ends of two plies meet on the cloth, the lay is a gap longer than what lies on it.
        """
        return extent + gap if self.fold.cut_apart else extent

    def cloth_length(self, extent: float, gap: float) -> float:
        """Length of cloth (mm) that carries pieces from lay x = 0 to `extent`."""
        if not self.doubled or extent <= 0.0:
            return extent
        return self.lay_length(extent, gap) + extent

    def slack(self, zone_index: int, used: tuple[float, float] | None) -> float:
        """Width of a zone (mm) that can be given up without moving a piece off its fold edge."""
        zone = self.zones[zone_index]
        if used is None:
            return zone.height if len(zone.plies) == 1 else max(0.0, zone.height - 1.0)
        low, high = used
        if len(zone.plies) == 1:
            return max(0.0, zone.height - (high - low))
        at_low = any(e.along and abs(e.at - zone.y_from) < 1e-6 for e in self.fold_edges)
        return max(0.0, zone.y_to - high if at_low else low - zone.y_from)
