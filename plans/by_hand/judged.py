"""What is wrong with a lay as it was put down by hand, in the words of who looks at it.

The judge is the validator, on the true outlines; here its verdicts get names, edges and figures.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fabrics.lay_edges import end_name, lay_edges
from layout.layout import posed
from layout.validator import Beside, Code, Violation, validate
from pieces.lengths import System, format_length, shown_rest
from plans.by_hand.errors import NotValidError
from plans.by_hand.reopened import OpenLay
from plans.folds.on_hand import fits, needed

SEEN_MM = 0.05
"""What reaches over an edge by less than this is said to do so by hardly anything."""

TOO_LONG = "on hand"
"""The rule that a lay must not take more cloth than there is."""

_WORSE = (Code.OVERLAP, Code.BLOCKED, Code.GAP)
"""Of these a pair of pieces breaks one at a time, the worst first."""


@dataclass(frozen=True)
class Wrong:
    """One rule that a lay breaks: which, the numbers of the pieces concerned, and in words."""

    rule: str
    numbers: tuple[int, ...]
    text: str


def judged(lay: OpenLay, system: System) -> tuple[Wrong, ...]:
    """List all that is wrong with a lay; empty if it may be cut so.

    Parameters
    ----------
    lay : OpenLay
    system : System
        Units of the figures.
    """
    found: dict[tuple[object, ...], Wrong] = {}
    for violation in _worst_of_pairs(validate(lay.built.problem, lay.layout)):
        for wrong in _told(lay, violation, system):
            found.setdefault((wrong.rule, wrong.numbers, wrong.text), wrong)
    if not fits(lay.job, lay.result):
        found[TOO_LONG,] = _too_long(lay, system)
    return tuple(found.values())


def require_sound(lay: OpenLay, system: System) -> None:
    """Refuse a lay that may not be cut as it lies.

    Raises
    ------
    NotValidError
        With everything that is wrong.
    """
    wrong = judged(lay, system)
    if wrong:
        listed = "\n".join(f"  {one.text}" for one in wrong)
        raise NotValidError(f"{lay.entry.fabric.title} cannot be cut as it lies:\n{listed}")


def _worst_of_pairs(violations: list[Violation]) -> list[Violation]:
    """Leave out what a worse verdict on the same pieces says already."""
    worst: dict[tuple[int, ...], int] = {}
    for one in violations:
        if one.code in _WORSE and len(one.placements) == 2:
            pair = tuple(sorted(one.placements))
            worst[pair] = min(worst.get(pair, len(_WORSE)), _WORSE.index(one.code))
    return [
        one
        for one in violations
        if one.code not in _WORSE
        or len(one.placements) != 2
        or _WORSE.index(one.code) == worst[tuple(sorted(one.placements))]
    ]


def _told(lay: OpenLay, violation: Violation, system: System) -> Iterator[Wrong]:
    code, at = violation.code, tuple(sorted(violation.placements))
    numbers = tuple(lay.entry.placements[index].number for index in at)
    names = " and ".join(lay.name(index) for index in at)
    by = format_length(violation.by, system)
    if code is Code.OUTSIDE:
        texts = _outside(lay, at[0], system)
    elif code in (Code.OVERLAP, Code.BLOCKED):
        # Two copies of one piece meet where it lies across the fold.
        texts = [f"{names} overlap." if len(at) == 2 and at[0] != at[1] else
                 f"The two copies of {lay.name(at[0])} overlap across the fold."]  # fmt: skip
    elif code is Code.GAP and len(at) == 2:
        gap = format_length(lay.job.gap, system)
        apart = format_length(max(0.0, lay.job.gap - violation.by), system)
        near = "hardly less than the gap" if apart == gap else f"{apart} apart; the gap is {gap}"
        texts = [f"{names} lie {near}."]
    elif code is Code.GAP:
        what = "flaw" if violation.beside is Beside.FLAW else "cut between two sections"
        texts = [f"{names} is too near a {what}: keep {format_length(lay.job.gap, system)} clear."]
    elif code is Code.FOLD:
        texts = [f"{names} must lie with its fold edge exactly on the fold."]
    elif code is Code.GRAIN:
        texts = [f"{names} lies off its grain."]
    elif code is Code.HEADS:
        texts = [f"{names} head different ways; this cloth is one way, and all heads point alike."]
    elif code is Code.PHASE:
        texts = [f"{names}: the design does not match by {by}."]
    else:
        texts = [f"{violation.message}."]
    return (Wrong(code.value, numbers, text) for text in texts)


def _outside(lay: OpenLay, index: int, system: System) -> list[str]:
    """Over which edges a piece reaches, and by how much."""
    placement = lay.layout.placements[index]
    item = lay.built.problem.items[placement.item]
    slot = item.slots[placement.slot]
    spread = lay.built.problem.spread(slot)
    zone = spread.zones[slot.zone]
    points = posed(item.shapes[slot.shape], placement.pose, placement.x, placement.y)
    (low_x, low_y), (_, high_y) = points.min(axis=0), points.max(axis=0)
    first, last = lay_edges(spread)
    texts = []
    if low_x < -SEEN_MM:
        # Before the first piece lies what is squared off, which is cloth, but not for pieces.
        what = "beyond the" if spread.doubled else "beyond the usable cloth at the"
        figure = format_length(-float(low_x), system)
        texts.append(f"reaches {figure} {what} {end_name(spread)}")
    for over, zone_at, edge in (
        (zone.y_from - float(low_y), zone is spread.zones[0], first),
        (float(high_y) - zone.y_to, zone is spread.zones[-1], last),
    ):
        if over <= SEEN_MM:
            continue
        figure = format_length(over, system)
        if zone_at:
            what = "over the" if edge.fold else "beyond the usable cloth at the"
            texts.append(f"reaches {figure} {what} {edge.name.value}")
        else:
            plies = "double" if len(zone.plies) == 2 else "single"
            texts.append(f"reaches {figure} out of the part that lies {plies}")
    name = lay.name(index)
    return [f"{name} {text}." for text in texts] or [f"{name} lies off the usable cloth."]


def _too_long(lay: OpenLay, system: System) -> Wrong:
    takes, there = needed(lay.job, lay.result), lay.job.fabric.on_hand or 0.0
    over = format_length(max(0.0, shown_rest(system, takes, there)), system)
    return Wrong(
        TOO_LONG, (),
        f"The lay takes {format_length(takes, system)}, {over} more than there is on hand "
        f"({format_length(there, system)}).",
    )  # fmt: skip
