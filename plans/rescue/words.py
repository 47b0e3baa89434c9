"""What would rescue a garment, in plain words: one line for each idea, with its figure."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from fabrics.buying import CLOSE_MM
from fabrics.fold_words import taught_name
from pieces.lengths import System, format_length, shown_rest
from plans.answer.warnings import shrinkage_warning
from plans.rescue.changes.change import Change
from plans.rescue.changes.laying import SEARCHES, AsPictured, LongerSearch, OtherFold
from plans.rescue.rescue import Rescue
from plans.rescue.trial import Trial
from plans.rescue.what_fits import Lain

WIDE = 96
"""Longest line."""

MOST_OF_A_KIND = 4
"""Ideas of one kind that are enough: so many are told, those with most to spare."""

MOST_SINGLE, MOST_PAIRS = 6, 3
"""Ideas that save something without being enough: so many are told."""


def rescue_text(rescue: Rescue, picture: str = "", lead: str = "") -> str:
    """Say how much is missing, what would help and in what order, and what fits as it is.

    Parameters
    ----------
    rescue : Rescue
    picture : str, optional
        Where the picture of what fits is.
    lead : str, optional
        What the first line begins with.
    """
    lines = _wrapped(lead + rescue.shortage.headline(rescue.before), "")
    for warning in shrinkage_warning(rescue.shortage.job.fabric):
        lines += _wrapped(f"! {warning}", "  ", "    ")
    lines += _ideas(rescue)
    lines += _wrapped(_closing(rescue), "  ")
    if rescue.lain is not None:
        lines += _wrapped(lain_words(rescue.lain, rescue.shortage.job.system, picture), "  ")
    return "\n".join(lines)


@dataclass(frozen=True)
class Group:
    """Ideas of one kind, as many as are told, and how many more of it there are."""

    heading: str
    trials: tuple[Trial, ...]
    more: int = 0


def fitting_groups(rescue: Rescue) -> tuple[Group, ...]:
    """What makes it fit, the least change first."""
    groups = []
    for intrusion, group in groupby(rescue.fitting, key=lambda trial: trial.idea.intrusion):
        trials = tuple(group)
        more = max(0, len(trials) - MOST_OF_A_KIND)
        groups.append(Group(intrusion.heading, trials[:MOST_OF_A_KIND], more))
    return tuple(groups)


def partial_groups(rescue: Rescue) -> tuple[Group, ...]:
    """What saves something without being enough, the nearest first: what is left decides."""
    # What a longer search alone saves stands in the headline: all else is told beside it.
    saving = sorted(
        (trial for trial in rescue.trials if not trial.fits and not _only_searches(trial)),
        key=lambda trial: trial.needed,
    )
    single = [trial for trial in saving if len(trial.changes) == 1][:MOST_SINGLE]
    pairs = [trial for trial in saving if len(trial.changes) > 1][:MOST_PAIRS]
    if rescue.fitting:
        # Where what fits costs the garment something, a person may rather combine lesser changes.
        least = rescue.fitting[0].idea.intrusion
        single = [trial for trial in single if trial.idea.intrusion < least]
        groups = [Group("Not enough alone", tuple(single))]
    elif rescue.tried:
        groups = [Group("What saves most", tuple(single)), Group("Two together", tuple(pairs))]
    else:
        groups = []
    return tuple(group for group in groups if group.trials)


def verdict(rescue: Rescue) -> str:
    """Say whether anything was enough; empty where nothing was tried."""
    if rescue.fitting:
        return "What would make it fit, the least change first:"
    if not rescue.tried:
        return ""
    saves = any(not _only_searches(trial) for trial in rescue.trials)
    return "Nothing that was tried makes it fit" + ("." if saves else ", or saves anything.")


def _ideas(rescue: Rescue) -> list[str]:
    lines = [f"  {verdict(rescue)}"] if verdict(rescue) else []
    number = 1
    for group in (*fitting_groups(rescue), *partial_groups(rescue)):
        lines += _numbered(f"{group.heading}:", rescue, group.trials, number)
        number += len(group.trials)
        if group.more:
            lines.append(f"    and {group.more} more of this kind, with less to spare")
    return lines


def _only_searches(trial: Trial) -> bool:
    return len(trial.changes) == 1 and isinstance(trial.changes[0], SEARCHES)


def _numbered(heading: str, rescue: Rescue, trials: tuple[Trial, ...], first: int) -> list[str]:
    lines = [f"  {heading}"]
    for number, trial in enumerate(trials, start=first):
        lines += _wrapped(f"{number}. {idea_line(rescue, trial)}", "    ", "       ")
    return lines


def idea_line(rescue: Rescue, trial: Trial) -> str:
    """One idea with its figures and, where there is one, the option or line that asks for it."""
    how = _hows(rescue, to_ask_for(rescue, trial))
    return idea_words(rescue, trial) + (f" [{how}]" if how and trial.fits else "")


def to_ask_for(rescue: Rescue, trial: Trial) -> tuple[Change, ...]:
    """All that must be asked for so that a plan is like a trial."""
    if trial.longer and rescue.shortage.order.effort == "quick":
        return (*trial.changes, LongerSearch())
    return trial.changes


def options_of(rescue: Rescue, trial: Trial) -> dict[str, Any]:
    """Options that alone make it fit, as `Change.asks`; empty where they do not."""
    asked = [change.asks() for change in to_ask_for(rescue, trial)]
    if not trial.fits or not all(asked):
        return {}
    return {name: value for options in asked for name, value in options.items()}


def line_in_file(rescue: Rescue, trial: Trial) -> str:
    """What the garment file would say where no option asks for what makes it fit; may be empty."""
    changes = [change for change in to_ask_for(rescue, trial) if not change.asks()]
    return _hows(rescue, tuple(changes)) if trial.fits else ""


def _hows(rescue: Rescue, changes: tuple[Change, ...]) -> str:
    system = rescue.shortage.job.system
    return "; ".join(dict.fromkeys(how for change in changes if (how := change.how(system))))


def idea_words(rescue: Rescue, trial: Trial) -> str:
    """One idea with its figures."""
    shortage = rescue.shortage
    system = shortage.job.system

    def tape(length: float) -> str:
        return format_length(length, system)

    def rest(whole: float, part: float) -> float:
        return shown_rest(system, whole, part)

    words = ", together with ".join(change.words(system) for change in trial.changes)
    if trial.fits:
        spare = shortage.on_hand - trial.needed
        figure = (
            f"needs {tape(trial.needed)}, you have {tape(shortage.on_hand)}: fits with "
            f"{tape(max(0.0, rest(shortage.on_hand, trial.needed)))} to spare"
        )
        figure += " (tight: cut straight)" if spare < CLOSE_MM else ""
    else:
        saved, short = rest(rescue.before, trial.needed), rest(trial.needed, shortage.on_hand)
        figure = f"saves {tape(saved)}, still {tape(short)} short"
    if trial.fold is not None and not _names_its_fold(trial):
        figure += f" ({taught_name(trial.fold)})"
    figure += "".join(f"; '{key}' joined of {parts} parts" for key, parts in trial.joined)
    if trial.elsewhere > 0.0:
        figure += f"; there it takes {tape(trial.elsewhere)} of the same width"
    return f"{words}: {figure}"


def _names_its_fold(trial: Trial) -> bool:
    return any(isinstance(change, (OtherFold, AsPictured)) for change in trial.changes)


def _closing(rescue: Rescue) -> str:
    """What was tried, and what was not."""
    count = rescue.tried
    if not count:
        return f"None of {rescue.untried} ideas was tried: stopped by you."
    text = f"{count} {'idea was' if count == 1 else 'ideas were'} planned at quick effort"
    text += ", the nearest ones for longer," if rescue.longer else ""
    text += " and every layout was checked"
    if rescue.interrupted:
        text += f"; stopped by you, with {rescue.untried} left untried"
    elif rescue.untried:
        text += f"; {rescue.untried} more were left untried, to bound the work"
    order = rescue.shortage.order
    if order.fold == "auto" and not rescue.interrupted:
        text += "; every fold was tried before"
    text += "."
    if rescue.shortage.job.fabric.one_way and not order.nap_optional:
        text += " If its nap may be ignored, --nap-optional tries that too."
    return text


def lain_words(lain: Lain, system: System, picture: str = "") -> str:
    """What goes on the cloth as it is, and what does not."""
    shown = f" (see {picture})" if picture else ""
    if lain.entry is None:
        return "As it is, no piece at all fits on it."
    laid = sum(len(placed.copies) for placed in lain.entry.placements)
    if not lain.left_out:
        return f"In a single layer all {laid} copies fit{shown}."
    total = laid + sum(count for _, count in lain.left_out)
    return (
        f"As it is, {laid} of {total} copies fit in a single layer{shown}; left out: "
        f"{left_out_words(lain)}."
    )


def left_out_words(lain: Lain) -> str:
    """What is left out, with how many of how many."""
    return ", ".join(
        f"'{demand.key}'"
        + (f" ({count} of {demand.wanted.total})" if demand.wanted.total > 1 else "")
        for demand, count in lain.left_out
    )


def _wrapped(text: str, indent: str, later: str = "") -> list[str]:
    return textwrap.wrap(
        text,
        WIDE,
        initial_indent=indent,
        subsequent_indent=later or indent + "  ",
        break_long_words=False,
        break_on_hyphens=False,
    )
