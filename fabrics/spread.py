"""Spreads: how cloth is folded before cutting, as isometries from the lay to the cloth.

Terms
-----
cloth
    The washed cloth open on the table, right side up. x runs along the length (warp) from the
    raw cut end, y across from one selvage (0) to the other (width).
lay
    What lies on the table and what pieces are put on, seen from above: x along the cloth, y
    from the first fold.
ply
    One thickness of cloth in the lay: an isometry from lay to cloth over a range of lay y.
zone
    A range of lay y in which every point has the same usable plies.
fold edge
    Where two plies meet. A piece drawn as a half may be laid against it.
selvage
    The woven edge; a strip of this width at each side is unusable.

One formula serves all spreads. With fold depths d1 and d2 the lower ply is cloth y = d1 + y, a
first flap is cloth y = d1 - y, a second flap cloth y = W - d2 + (H - y), H = W - d1 - d2; the
crosswise kinds fold along the length instead. Laying the cloth right sides out mirrors the lay
(y becomes H - y), which turns every ply over.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from fabrics.errors import FabricError
from fabrics.ply_name import PlyName
from pieces.geometry_types import FloatArray

EPS_MM = 1e-9
"""Widths below this are no width (mm)."""

MEET_MM = 1e-5
"""Two fold depths may exceed half the width by this much: selvages that meet, after rounding."""


class SpreadError(FabricError):
    """A spread that no cloth can be laid in; the message says why."""


class Fold(Enum):
    """The spreads as they are taught; the value is the machine name."""

    OPEN = "open"
    LENGTHWISE = "lengthwise"
    PARTIAL = "partial"
    DOUBLE = "double"
    CROSSWISE = "crosswise"
    TURNED = "turned"
    SECTIONED = "sectioned"


class Faces(Enum):
    """Which faces of the cloth lie together when it is folded."""

    IN = "in"
    """Right sides together; a single ply lies right side up."""
    OUT = "out"
    """Right sides outward, so that a design can be seen; lower ply right side down."""


@dataclass(frozen=True)
class Ply:
    """One thickness of cloth: cloth x = start + along * F + sx * x, cloth y = y0 + sy * y.

    F is the lay length of the spread (mm), start the cloth x at which its section begins (mm).

    Attributes
    ----------
    name : PlyName
    sx, sy : int
        +1 or -1: direction of cloth x and y against lay x and y.
    along : int
        How many lay lengths are added to cloth x (0 or 1).
    y0 : float
        Cloth y at lay y = 0, mm.
    y_from, y_to : float
        Range of lay y that this ply covers, mm (selvages included).
    """

    name: PlyName
    sx: int
    sy: int
    along: int
    y0: float
    y_from: float
    y_to: float

    @property
    def face_up(self) -> bool:
        """Whether the right side of this ply looks up (determinant +1)."""
        return self.sx * self.sy > 0

    def to_cloth(self, points: FloatArray, lay_length: float, start: float = 0.0) -> FloatArray:
        """Map lay points, shape (N, 2) in mm, to the cloth."""
        offset = np.array([start + self.along * lay_length, self.y0])
        return np.asarray(offset + points * np.array([self.sx, self.sy], dtype=float))

    def from_cloth(self, points: FloatArray, lay_length: float, start: float = 0.0) -> FloatArray:
        """Map cloth points, shape (N, 2) in mm, to the lay."""
        offset = np.array([start + self.along * lay_length, self.y0])
        return np.asarray((points - offset) * np.array([self.sx, self.sy], dtype=float))

    def heading_on_cloth(self, heading_deg: float) -> float:
        """Heading on the cloth, degrees in [0, 360), of a direction given on the lay."""
        angle = heading_deg if self.sy > 0 else -heading_deg
        if self.sx < 0:
            angle = (180.0 - heading_deg) if self.sy > 0 else (180.0 + heading_deg)
        return angle % 360.0


@dataclass(frozen=True)
class Zone:
    """A usable range of lay y (mm) and the indices of its plies, in the order of the spread."""

    y_from: float
    y_to: float
    plies: tuple[int, ...]

    @property
    def height(self) -> float:
        """Extent across the lay, mm."""
        return self.y_to - self.y_from


@dataclass(frozen=True)
class FoldEdge:
    """A fold line in the lay: y = `at` where it runs along the cloth, x = `at` where across.

    `side` is +1 if the cloth lies at greater coordinates than the line, else -1; `plies` are the
    two that meet there, the lower first.
    """

    along: bool
    at: float
    side: int
    plies: tuple[int, int]


@dataclass(frozen=True)
class Spread:
    """One way of laying one stretch of cloth: plies, usable zones and fold edges.

    Made by :func:`make_spread`. All lengths in mm, of washed cloth.
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
        return self.fold in (Fold.CROSSWISE, Fold.TURNED)

    @property
    def heads_alike(self) -> bool:
        """Whether one direction on the lay is one direction on the cloth on every ply."""
        return len({ply.sx for ply in self.plies}) == 1

    def lay_length(self, extent: float, gap: float) -> float:
        """Lay length F for pieces that reach from lay x = 0 to `extent` (mm).

        On a turned spread the ends of two plies meet on the cloth where it was cut, so the lay is
        a gap longer than what lies on it.
        """
        return extent + gap if self.fold is Fold.TURNED else extent

    def cloth_length(self, extent: float, gap: float) -> float:
        """Length of cloth (mm) that carries pieces from lay x = 0 to `extent`."""
        if not self.doubled or extent <= 0.0:
            return extent
        return self.lay_length(extent, gap) + extent


def make_spread(
    fold: Fold,
    width: float,
    selvage: float = 0.0,
    d1: float | None = None,
    d2: float | None = None,
    faces: Faces = Faces.IN,
) -> Spread:
    """Lay cloth of a width (mm, selvages included) in a fold.

    Parameters
    ----------
    fold : Fold
        Any but `SECTIONED`, which is a sequence of spreads.
    width, selvage : float
        Washed width and the unusable strip at each side, mm.
    d1, d2 : float, optional
        Fold depths near cloth y = 0 and near y = width, mm. `PARTIAL` needs `d1`; `DOUBLE` takes
        a quarter of the width each unless given; the other folds fix their own.
    faces : Faces
        Which faces lie together.

    Raises
    ------
    SpreadError
        If the depths do not suit the fold, a fold is no deeper than the selvage, or the selvages
        leave nothing.
    """
    if width - 2 * selvage <= EPS_MM or selvage < 0:
        raise SpreadError(f"two selvages of {selvage:g} mm leave nothing of {width:g} mm cloth")
    depth1, depth2 = _depths(fold, width, d1, d2)
    for depth in (depth1, depth2):
        if 0.0 < depth <= selvage:
            raise SpreadError(
                f"a fold {depth:g} mm deep is no deeper than the selvage of {selvage:g} mm: "
                "nothing would lie double"
            )
    height = width - depth1 - depth2
    if fold in (Fold.CROSSWISE, Fold.TURNED):
        plies = _crosswise_plies(fold, width)
    else:
        plies = _lengthwise_plies(width, depth1, depth2)
    zones = _zones(fold, width, selvage, depth1, depth2)
    edges = _fold_edges(fold, height, depth1, depth2)
    if faces is Faces.OUT:
        plies = tuple(_turn_ply_over(ply, height) for ply in plies)
        zones = tuple(
            Zone(height - zone.y_to, height - zone.y_from, zone.plies) for zone in reversed(zones)
        )
        edges = tuple(
            FoldEdge(True, height - edge.at, -edge.side, edge.plies) if edge.along else edge
            for edge in edges
        )
    return Spread(fold, width, selvage, depth1, depth2, faces, plies, zones, edges)


def _depths(fold: Fold, width: float, d1: float | None, d2: float | None) -> tuple[float, float]:
    if fold is Fold.SECTIONED:
        raise SpreadError("a sectioned spread is a sequence of spreads, one for each section")
    if fold is Fold.LENGTHWISE:
        return width / 2, 0.0
    if fold is Fold.PARTIAL:
        if d1 is None or not 0.0 < d1 < width / 2:
            raise SpreadError(
                f"a partial fold needs a depth between 0 and {width / 2:g} mm, got {d1}"
            )
        return d1, 0.0
    if fold is Fold.DOUBLE:
        first = width / 4 if d1 is None else d1
        second = width / 4 if d2 is None else d2
        if first <= 0 or second <= 0 or first + second > width / 2 + MEET_MM:
            raise SpreadError(
                f"the two depths of a double fold are positive and together at most "
                f"{width / 2:g} mm, got {first:g} and {second:g}"
            )
        return first, second
    return 0.0, 0.0


def _lengthwise_plies(width: float, d1: float, d2: float) -> tuple[Ply, ...]:
    height = width - d1 - d2
    plies = [Ply(PlyName.LOWER, 1, 1, 0, d1, 0.0, height)]
    if d1 > 0:
        plies.append(Ply(PlyName.FLAP1, 1, -1, 0, d1, 0.0, d1))
    if d2 > 0:
        plies.append(Ply(PlyName.FLAP2, 1, -1, 0, width - d2 + height, height - d2, height))
    return tuple(plies)


def _crosswise_plies(fold: Fold, width: float) -> tuple[Ply, ...]:
    lower = Ply(PlyName.LOWER, 1, 1, 1, 0.0, 0.0, width)
    if fold is Fold.CROSSWISE:
        return (lower, Ply(PlyName.UPPER, -1, 1, 1, 0.0, 0.0, width))
    return (lower, Ply(PlyName.UPPER, 1, -1, 0, width, 0.0, width))


def _zones(fold: Fold, width: float, selvage: float, d1: float, d2: float) -> tuple[Zone, ...]:
    if fold in (Fold.CROSSWISE, Fold.TURNED):
        return (Zone(selvage, width - selvage, (0, 1)),)
    height = width - d1 - d2
    candidates = []
    if d1 > 0:
        candidates.append(Zone(0.0, d1 - selvage, (0, 1)))
    # Where a flap ends, its selvage strip covers the lower ply: usable neither way. An unfolded
    # side loses its own selvage; either way the single ply begins and ends where it is clear.
    single_from = d1 if d1 > 0 else selvage
    single_to = height - d2 if d2 > 0 else height - selvage
    candidates.append(Zone(single_from, single_to, (0,)))
    if d2 > 0:
        candidates.append(Zone(height - d2 + selvage, height, (0, 2 if d1 > 0 else 1)))
    return tuple(zone for zone in candidates if zone.height > EPS_MM)


def _fold_edges(fold: Fold, height: float, d1: float, d2: float) -> tuple[FoldEdge, ...]:
    if fold is Fold.CROSSWISE:
        return (FoldEdge(False, 0.0, 1, (0, 1)),)
    edges = []
    if d1 > 0:
        edges.append(FoldEdge(True, 0.0, 1, (0, 1)))
    if d2 > 0:
        edges.append(FoldEdge(True, height, -1, (0, 2 if d1 > 0 else 1)))
    return tuple(edges)


def _turn_ply_over(ply: Ply, height: float) -> Ply:
    """The same ply in the lay mirrored by y -> height - y."""
    return Ply(
        ply.name,
        ply.sx,
        -ply.sy,
        ply.along,
        ply.y0 + ply.sy * height,
        height - ply.y_to,
        height - ply.y_from,
    )
