"""What was done to a lay after a search had found it, and what that comes to."""

from __future__ import annotations

from pieces.lengths import System, format_length, shown_rest
from plans.plan import FabricPlan
from plans.words.purchase_words import sold_text

SEEN_MM = 0.5
"""A difference in length that a tape shows."""

MOST_NAMED = 6
"""More pieces than these are counted, not named."""


def changed_title(entry: FabricPlan) -> str:
    """A few words that mark a lay as changed; empty for one that a search found."""
    if entry.changed is None:
        return ""
    if any(placed.by_hand for placed in entry.placements):
        return "changed by hand"
    return "laid again around what was kept" if entry.changed.kept else "changed by hand"


def changed_words(entry: FabricPlan, system: System) -> str:
    """Say what was changed, and how long it is against the lay that was found; empty for none."""
    changed = entry.changed
    if changed is None:
        return ""
    moved = [placed.number for placed in entry.placements if placed.by_hand]
    done = []
    if moved:
        done.append(f"{_named(entry, moved)} {'lies' if len(moved) == 1 else 'lie'} as put by hand")
    if changed.kept:
        kept = list(changed.kept)
        done.append(f"the rest was laid again around {_named(entry, kept)}")
    if not done:
        done.append("put down by hand")
    return f"{', and '.join(done)}: {_against(entry, system)}"


def _named(entry: FabricPlan, numbers: list[int]) -> str:
    if len(numbers) > MOST_NAMED:
        return f"{len(numbers)} pieces"
    names = [
        f"{placed.number} {placed.piece}" for placed in entry.placements if placed.number in numbers
    ]
    return ", ".join(names)


def _against(entry: FabricPlan, system: System) -> str:
    """Its length, and what is bought, against what had been found."""
    changed = entry.changed
    if changed is None:
        return ""
    more = entry.length - changed.length
    found = f"the lay that was found ({format_length(changed.length, system)})"
    length = format_length(entry.length, system)
    if abs(more) <= SEEN_MM:
        text = f"{length}, as long as {found}"
    else:
        what = "longer" if more > 0.0 else "shorter"
        by = abs(shown_rest(system, entry.length, changed.length))
        text = f"{length}, {format_length(by, system)} {what} than {found}"
    bought = entry.purchase.bought - changed.bought
    if abs(bought) <= SEEN_MM:
        return f"{text}; as much is {_taken(entry)}"
    how = "more" if bought > 0.0 else "less"
    return f"{text}; {sold_text(entry, abs(bought), system)} {how} is {_taken(entry)}"


def _taken(entry: FabricPlan) -> str:
    return "bought" if entry.fabric.on_hand is None else "taken"
