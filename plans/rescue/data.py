"""What would rescue a garment as plain data, for JSON. Lengths in mm."""

from __future__ import annotations

from typing import Any

from pieces.files.kinds import WORKED_OUT
from plans.answer.warnings import shrinkage_warning
from plans.folds.on_hand import needed
from plans.rescue.rescue import Rescue
from plans.rescue.trial import Trial
from plans.rescue.words import idea_line

FORMAT = "laywright-shortage"
VERSION = 1

_mm = WORKED_OUT.known


def rescues_to_data(garment: str, rescues: list[Rescue], pictures: list[str]) -> dict[str, Any]:
    """Everything that was found for the fabrics of which there is too little.

    `pictures` are the names of the picture files, empty where there is none.
    """
    return {
        "format": FORMAT,
        "version": VERSION,
        "garment": garment,
        "fabrics": [_fabric(one, name) for one, name in zip(rescues, pictures, strict=True)],
    }


def _fabric(rescue: Rescue, picture: str) -> dict[str, Any]:
    shortage = rescue.shortage
    job, lain = shortage.job, rescue.lain
    laid: dict[str, int] = {}
    for placed in lain.entry.placements if lain is not None and lain.entry is not None else ():
        laid[placed.piece] = laid.get(placed.piece, 0) + len(placed.copies)
    return {
        "fabric": job.fabric.name,
        "roles": list(job.roles),
        "on_hand_mm": _mm(shortage.on_hand),
        "washed": job.fabric.washed,
        "needed_mm": _mm(needed(job, shortage.best)),
        "missing_mm": _mm(shortage.missing),
        "fold": shortage.best.fold.value,
        "needed_after_longer_search_mm": _mm(rescue.before),
        "warnings": list(shrinkage_warning(job.fabric)),
        "ideas": [_idea(rescue, trial) for trial in rescue.trials],
        "tried": rescue.tried,
        "untried": rescue.untried,
        "interrupted": rescue.interrupted,
        "searched_on": rescue.longer,
        "fits": None
        if lain is None
        else {
            "laid": laid,
            "left_out": {demand.key: count for demand, count in lain.left_out},
            "picture": picture or None,
        },
    }


def _idea(rescue: Rescue, trial: Trial) -> dict[str, Any]:
    shortage = rescue.shortage
    system = shortage.job.system
    return {
        "changes": [change.words(system) for change in trial.changes],
        "options": [how for change in trial.changes if (how := change.how(system))],
        "intrusion": trial.idea.intrusion.name.lower(),
        "fold": None if trial.fold is None else trial.fold.value,
        "needed_mm": _mm(trial.needed),
        "fits": trial.fits,
        "spare_mm": _mm(shortage.on_hand - trial.needed),
        "saves_mm": _mm(rescue.before - trial.needed),
        "elsewhere_mm": _mm(trial.elsewhere),
        "text": idea_line(rescue, trial),
    }
