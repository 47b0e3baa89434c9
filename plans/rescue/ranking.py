"""Which ideas are told, and in what order."""

from __future__ import annotations

from plans.rescue.ideas import Idea
from plans.rescue.laying import OtherArrangement
from plans.rescue.trial import Trial

SAVES_MM = 0.5
"""A shorter layout counts as saving from here on: less cannot be measured on cloth."""


def ranked(trials: list[Trial], before: float) -> list[Trial]:
    """Order what helps: what fits first, the least intrusive first, then by cloth to spare.

    What neither fits nor saves anything of `before` (mm, what it took unchanged) is left out; of
    several other arrangements only the best is kept.
    """
    kept: list[Trial] = []
    arranged = False
    for trial in sorted(trials, key=_rank):
        if not (trial.fits or before - trial.needed > SAVES_MM):
            continue
        alone = len(trial.changes) == 1 and isinstance(trial.changes[0], OtherArrangement)
        if alone and arranged:
            continue
        arranged = arranged or alone
        kept.append(trial)
    return kept


def _rank(trial: Trial) -> tuple[bool, int, int, float]:
    return (not trial.fits, trial.idea.intrusion, len(trial.changes), trial.needed)


def worth_combining(trials: list[Trial], before: float, most: int) -> list[Idea]:
    """The single ideas that save most without being enough, the greatest saving first."""
    saving = [t for t in trials if not t.fits and before - t.needed > SAVES_MM]
    saving.sort(key=lambda trial: (trial.needed, trial.idea.intrusion))
    return [trial.idea for trial in saving[:most]]
