"""Which ideas are told, and in what order."""

from __future__ import annotations

from plans.rescue.changes.change import Intrusion
from plans.rescue.changes.ideas import Idea
from plans.rescue.changes.laying import SEARCHES
from plans.rescue.changes.recutting import InParts
from plans.rescue.trial import Trial

SAVES_MM = 0.5
"""A shorter layout counts as saving from here on: less cannot be measured on cloth."""


def ranked(trials: list[Trial], first: float, before: float) -> list[Trial]:
    """Order what helps: what fits first, the least intrusive first, then by cloth to spare.

    What neither fits nor saves anything of `before` (mm, what it takes unchanged, however that was
    searched for; `first` is what was found at first) is left out, and so are pairs that save no
    more than one change alone. Of several other arrangements only the best is kept. A change of
    shape is not told where it fits only because a strip is cut in parts, enough by itself.
    """
    enough = {
        change.key
        for trial in trials
        for change in trial.changes
        if trial.fits and len(trial.changes) == 1 and isinstance(change, InParts)
    }
    nearest = min((t.needed for t in trials if len(t.changes) == 1), default=before)
    kept: list[Trial] = []
    arranged = False
    for trial in sorted(trials, key=_rank):
        alone = len(trial.changes) == 1 and isinstance(trial.changes[0], SEARCHES)
        least = first if alone else before
        if not (trial.fits or least - trial.needed > SAVES_MM):
            continue
        if alone and arranged:
            continue
        if not trial.fits and len(trial.changes) > 1 and nearest - trial.needed <= SAVES_MM:
            continue
        shaped = trial.idea.intrusion >= Intrusion.CENTRE_SEAM
        if trial.fits and shaped and enough & {key for key, _ in trial.joined}:
            continue
        arranged = arranged or alone
        kept.append(trial)
    return kept


def _rank(trial: Trial) -> tuple[bool, int, int, float]:
    return (not trial.fits, trial.idea.intrusion, len(trial.changes), trial.needed)


def by_saving(trials: list[Trial]) -> list[Trial]:
    """Single trials, the greatest saving first, of equals the least intrusive."""
    return sorted(trials, key=lambda trial: (trial.needed, trial.idea.intrusion))


def worth_combining(trials: list[Trial], before: float, most: int) -> list[Idea]:
    """The single ideas that save most without being enough, the greatest saving first."""
    saving = [
        trial.idea
        for trial in by_saving(trials)
        if not trial.fits
        and before - trial.needed > SAVES_MM
        and not isinstance(trial.changes[0], SEARCHES)
    ]
    return saving[:most]
