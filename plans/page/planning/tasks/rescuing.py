"""Too little cloth: what would rescue it, worked out by the same task, as ideas with a picture."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pieces.lengths import System
from plans.answer.warnings import shrinkage_warning
from plans.drawing.lay_picture import section_picture
from plans.folds.on_hand import Shortage, ShortageError
from plans.page.work.process import Tell
from plans.rescue.rescue import Rescue, rescue
from plans.rescue.words import (
    Group,
    fitting_groups,
    idea_words,
    lain_words,
    line_in_file,
    options_of,
    partial_groups,
    verdict,
)

STOPPED = "stopped before anything was tried"


def rescued(tell: Tell, error: ShortageError, system: System) -> dict[str, Any]:
    """What would help, for each cloth of which there is too little."""
    heads = [shortage.headline() for shortage in error.shortages]
    tell({"kind": "short", "lines": heads})
    told: list[dict[str, Any]] = []
    stopped = False
    for number, shortage in enumerate(error.shortages):
        if stopped:
            told.append({"head": shortage.headline(), "closing": STOPPED, "groups": []})
            continue
        found = _found(tell, shortage, f"{shortage.job.fabric.name}: ")
        stopped = found.interrupted
        told.append(_told(found, f"short{number}", system))
    return {"short": told}


def _found(tell: Tell, shortage: Shortage, of: str) -> Rescue:
    def step(done: int, total: int) -> None:
        tell({"kind": "stage", "words": f"{of}trying what would help, {done} of {total}"})

    tell({"kind": "stage", "words": f"{of}looking for what would help"})
    on_step: Callable[[int, int], None] = step
    return rescue(shortage, on_step)


def _told(found: Rescue, key: str, system: System) -> dict[str, Any]:
    lain, picture = found.lain, None
    if lain is not None and lain.entry is not None:
        words = lain_words(lain, system)
        drawn = section_picture(lain.entry, 0, key)
        picture = {"words": words, "svg": drawn.whole(words)}
    groups, number = [], 1
    for group in (*fitting_groups(found), *partial_groups(found)):
        groups.append(_group(found, group, number))
        number += len(group.trials)
    return {
        "head": found.shortage.headline(found.before),
        "warnings": list(shrinkage_warning(found.shortage.job.fabric)),
        "verdict": verdict(found),
        "groups": groups,
        "closing": _closing(found),
        "picture": picture,
    }


def _group(found: Rescue, group: Group, first: int) -> dict[str, Any]:
    """Ideas of one kind, numbered from `first` on, each with the options that ask for it."""
    more = f"and {group.more} more of this kind, with less to spare" if group.more else ""
    return {
        "heading": group.heading,
        "ideas": [
            {
                "number": number,
                "words": idea_words(found, trial),
                "asks": options_of(found, trial),
                "in_file": line_in_file(found, trial),
            }
            for number, trial in enumerate(group.trials, start=first)
        ],
        "more": more,
    }


def _closing(found: Rescue) -> str:
    if found.interrupted:
        return f"Ended by you: {found.tried} ideas were tried, {found.untried} were not."
    text = f"{found.tried} ideas were planned, and every layout was checked."
    if found.untried:
        text += f" {found.untried} more were left untried, to bound the work."
    return text
