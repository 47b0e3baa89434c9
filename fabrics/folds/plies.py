"""What a lay is made of: plies, usable zones and fold edges. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from fabrics.folds.errors import FabricError
from fabrics.folds.ply_name import PlyName
from pieces.geometry_types import FloatArray

EPS_MM = 1e-9
"""Widths below this are no width (mm)."""

MEET_MM = 1e-5
"""Two fold depths may exceed half the width by this much: selvages that meet, after rounding."""


class SpreadError(FabricError):
    """A spread that no cloth can be laid in; the message says why."""


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

    def turned_over(self, height: float) -> Ply:
        """The same ply in the lay mirrored by y -> height - y."""
        return Ply(
            self.name,
            self.sx,
            -self.sy,
            self.along,
            self.y0 + self.sy * height,
            height - self.y_to,
            height - self.y_from,
        )


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

    def turned_over(self, height: float) -> Zone:
        """The same zone in the lay mirrored by y -> height - y."""
        return Zone(height - self.y_to, height - self.y_from, self.plies)


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

    def turned_over(self, height: float) -> FoldEdge:
        """The same edge in the lay mirrored by y -> height - y."""
        if not self.along:
            return self
        return FoldEdge(True, height - self.at, -self.side, self.plies)
