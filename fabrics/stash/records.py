"""What the stash keeps, as plain frozen values. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fabrics.fabric import Fabric
from fabrics.region import Region

TAPE_STEP_MM = 10.0
"""Lengths off cloth on hand are rounded up to this: no shop's step applies."""


@dataclass(frozen=True)
class Bolt:
    """A length of cloth on hand: `length` is in its own state, washed or not.

    `ident` tells this bolt from all others, in whichever stash and under whichever tag it is.
    """

    tag: str
    fabric: Fabric
    length: float
    washed: bool
    note: str
    added: str
    ident: str = ""

    def as_fabric(self) -> Fabric:
        """The fabric as this bolt has it."""
        fabric = self.fabric.as_washed() if self.washed else replace(self.fabric, washed=False)
        return replace(fabric, on_hand=self.length, bolt=self.tag, step=TAPE_STEP_MM, minimum=0.0)

    @property
    def width(self) -> float:
        """Full width in the state that it is in."""
        return self.as_fabric().width


@dataclass(frozen=True)
class LeftoverRecord:
    """A piece of washed cloth.

    `made_by` is the number of the cut that left it, if any; `ident` tells it from all others, as
    that of a bolt does.
    """

    tag: str
    fabric: Fabric
    region: Region
    note: str
    added: str
    made_by: int | None = None
    ident: str = ""


@dataclass(frozen=True)
class NewLeftover:
    """A leftover that is to be put in; the stash gives it a tag."""

    fabric: Fabric
    region: Region
    note: str = ""


@dataclass(frozen=True)
class NewCut:
    """A cut that is to be recorded.

    Attributes
    ----------
    garment, plan : str
        Its name, and the plan as JSON.
    taken : tuple of (str, float)
        Length (mm, in the bolt's own state) off each bolt, by tag.
    left : tuple of NewLeftover
    used : tuple of str
        Tags of leftovers that were cut up.
    again : bool
        Whether the same plan may have been recorded before.
    """

    garment: str
    plan: str
    taken: tuple[tuple[str, float], ...] = ()
    left: tuple[NewLeftover, ...] = ()
    used: tuple[str, ...] = ()
    again: bool = False


@dataclass(frozen=True)
class CutRecord:
    """A plan that was cut: what came off which bolt, what was left, and whether it was undone."""

    number: int
    garment: str
    made: str
    undone: str | None
    taken: tuple[tuple[str, float], ...]
    left: tuple[str, ...]
    used: tuple[str, ...]
    plan: str
    """The plan as JSON."""


@dataclass(frozen=True)
class CutLook:
    """What a cut would change: the record of it, the bolts and the new leftovers after it."""

    record: CutRecord
    bolts: list[Bolt]
    left: list[LeftoverRecord]


@dataclass(frozen=True)
class Damaged:
    """A row that cannot be used: what is wrong with it, in as many lines as there are faults."""

    tag: str
    faults: tuple[str, ...]


@dataclass(frozen=True)
class Change:
    """Something taken out or corrected: its number, the tags, and whether it was undone."""

    number: int
    kind: str
    """"out" or "correct"."""
    made: str
    undone: str | None
    tags: tuple[str, ...]


@dataclass(frozen=True)
class TakenIn:
    """What an import did: pairs of the tag in the file and the tag here.

    `came` was put in, `there` was known already and is the same, `differs` was known already and
    is no longer the same, with words that say what.
    """

    came: tuple[tuple[str, str], ...]
    there: tuple[tuple[str, str], ...]
    differs: tuple[tuple[str, str, str], ...]
