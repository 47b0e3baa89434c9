"""Changes that leave the garment as it is: fold, arrangement, gap, ends, margin; and nap."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from fabrics.fold_words import taught_name
from fabrics.spread import Fold
from pieces.lengths import System, format_length
from plans.rescue.changes.change import Attempt, Change, Intrusion


class _LaidOtherwise(Change):
    @property
    def intrusion(self) -> Intrusion:
        return Intrusion.NOTHING


@dataclass(frozen=True)
class OtherFold(_LaidOtherwise):
    """A fold that was not asked for."""

    fold: Fold
    asked: Fold

    def applied(self, attempt: Attempt) -> Attempt:
        """Try this fold only."""
        return replace(attempt, known=None, folds=(self.fold,))

    def words(self, system: System) -> str:
        """Name both folds."""
        return f"{taught_name(self.fold)} instead of {taught_name(self.asked)}"

    def how(self, system: System) -> str:
        """The option."""
        return f"--fold {self.fold.value}"

    def asks(self) -> dict[str, Any]:
        """The option."""
        return {"fold": self.fold.value}


@dataclass(frozen=True)
class AsPictured(_LaidOtherwise):
    """The single layer in which filling the cloth on hand found room for everything."""

    def applied(self, attempt: Attempt) -> Attempt:
        """Lay in a single layer."""
        return replace(attempt, folds=(Fold.OPEN,))

    def words(self, system: System) -> str:
        """It is what the picture shows."""
        return "a single layer, laid as the picture shows"


@dataclass(frozen=True)
class LongerSearch(_LaidOtherwise):
    """The same, searched for longer than quick effort does."""

    def applied(self, attempt: Attempt) -> Attempt:
        """Search on from the best."""
        return replace(attempt, longer=True)

    def words(self, system: System) -> str:
        """Nothing else changes."""
        return "the same pieces, searched for longer"

    def how(self, system: System) -> str:
        """The option."""
        return "--effort normal"

    def asks(self) -> dict[str, Any]:
        """The option."""
        return {"effort": "normal"}


@dataclass(frozen=True)
class OtherArrangement(_LaidOtherwise):
    """The same search begun at another place."""

    seed: int

    def applied(self, attempt: Attempt) -> Attempt:
        """Search with another seed."""
        return replace(attempt, job=replace(attempt.job, seed=self.seed))

    def words(self, system: System) -> str:
        """Nothing else changes."""
        return "another arrangement of the same pieces"

    def how(self, system: System) -> str:
        """The option."""
        return f"--seed {self.seed}"

    def asks(self) -> dict[str, Any]:
        """The option."""
        return {"seed": self.seed}


@dataclass(frozen=True)
class SmallerGap(_LaidOtherwise):
    """Pieces nearer to each other (mm)."""

    gap: float
    before: float

    def applied(self, attempt: Attempt) -> Attempt:
        """Lay with the smaller gap."""
        return replace(attempt, job=replace(attempt.job, gap=self.gap))

    def words(self, system: System) -> str:
        """Both gaps."""
        if self.gap == 0.0:
            return (
                "pieces edge to edge, on one cutting line, instead of "
                f"{_small(self.before, system)} apart"
            )
        return f"pieces {_small(self.gap, system)} apart instead of {_small(self.before, system)}"

    def how(self, system: System) -> str:
        """The option."""
        return f"--gap {_small(self.gap, system).replace(' ', '')}"

    def asks(self) -> dict[str, Any]:
        """The option."""
        return {"gap": self.gap}


@dataclass(frozen=True)
class SmallerEnds(_LaidOtherwise):
    """Less cloth for squaring off the two cut ends (mm, together)."""

    ends: float
    before: float

    def applied(self, attempt: Attempt) -> Attempt:
        """Lose less at the ends."""
        return replace(attempt, job=replace(attempt.job, ends=self.ends))

    def words(self, system: System) -> str:
        """Both losses."""
        return (
            f"squaring off with {_small(self.ends, system)} at both ends together instead of "
            f"{_small(self.before, system)} (straighten them along a thread)"
        )

    def how(self, system: System) -> str:
        """The option."""
        return f"--ends {_small(self.ends, system).replace(' ', '')}"

    def asks(self) -> dict[str, Any]:
        """The option."""
        return {"ends": self.ends}


@dataclass(frozen=True)
class NoMargin(_LaidOtherwise):
    """No safety margin."""

    before: float

    def applied(self, attempt: Attempt) -> Attempt:
        """Keep no margin."""
        return replace(attempt, job=replace(attempt.job, margin=0.0))

    def words(self, system: System) -> str:
        """What is given up."""
        return f"without the safety margin of {format_length(self.before, system)}"

    def how(self, system: System) -> str:
        """The option."""
        return "--margin 0cm"

    def asks(self) -> dict[str, Any]:
        """The option."""
        return {"margin": 0.0}


@dataclass(frozen=True)
class AgainstNap(Change):
    """Pieces head both ways on one-way cloth."""

    folds: tuple[Fold, ...]
    """Folds that this makes possible besides."""

    @property
    def intrusion(self) -> Intrusion:
        """Panels may shade differently."""
        return Intrusion.NAP

    def applied(self, attempt: Attempt) -> Attempt:
        """Forget the nap."""
        free = replace(attempt.job.fabric, one_way=False)
        folds = tuple(dict.fromkeys((*attempt.folds, *self.folds)))
        return replace(attempt, job=replace(attempt.job, fabric=free), folds=folds)

    def words(self, system: System) -> str:
        """What it means for the cloth."""
        return "laid both ways, against the nap"


def _small(length: float, system: System) -> str:
    """A small length: mm, or a fraction of an inch."""
    if system is System.IMPERIAL:
        return format_length(length, system)
    return f"{length:g} mm" if length < 10.0 else format_length(length, system)


SEARCHES = (LongerSearch, OtherArrangement)
"""What changes nothing but the search."""
