"""The figures that stand at the head of a fabric's plan."""

from __future__ import annotations

from dataclasses import dataclass

from fabrics.fold_words import explained_name
from pieces.lengths import System, format_length
from plans.plan import FabricPlan
from plans.words.bound_words import BOUND_NAMES, proof_words
from plans.words.changed_words import changed_words
from plans.words.purchase_words import buy_words, purchase_text, up_to_tape

SEEN_MM = 0.5
"""A difference in length that a tape shows."""


@dataclass(frozen=True)
class KeyFigures:
    """The head of a fabric's plan, each figure written in the units asked for."""

    fabric: str
    roles: str
    fold: str
    doing: str
    """What is done with the purchase: "to buy" or "to take"."""
    purchase: str
    exact: str
    bound: str
    proof: str
    """Why no layout is shorter, or buys less; empty where that is not known."""
    rectangles: str
    """What rectangles would need; empty where they need no more, or mean nothing (a repeat)."""
    utilisation: str
    narrowest: str
    tracing: str
    """How many outlines are traced, and how long they are together."""
    changed: str = ""
    """What was changed after a search had found the lay, and what that comes to."""

    def rows(self) -> tuple[tuple[str, str], ...]:
        """Name every figure, in the order in which they are printed."""
        rows = (
            ("fabric", self.fabric),
            ("for", self.roles),
            ("fold", self.fold),
            (self.doing, self.purchase),
            ("exact length", self.exact),
            ("changed by hand", self.changed),
            ("no layout so spread is shorter than", self.bound),
            ("why no layout is shorter than that", self.proof),
            ("if each piece were a rectangle", self.rectangles),
            ("utilisation", self.utilisation),
            ("narrowest width for this layout", self.narrowest),
            ("to trace", self.tracing),
        )
        return tuple((name, figure) for name, figure in rows if figure)


def key_figures(entry: FabricPlan, system: System) -> KeyFigures:
    """Write the figures of a fabric."""
    above = 100.0 * (entry.length / entry.bound - 1.0) if entry.bound > 0.0 else 0.0
    more = entry.boxes > entry.length + SEEN_MM
    return KeyFigures(
        fabric=entry.fabric.title,
        roles=", ".join(entry.roles),
        fold=explained_name(entry.fold),
        doing=buy_words(entry),
        purchase=purchase_text(entry, entry.purchase.bought, system),
        exact=exact_words(entry, system),
        bound=(
            f"{format_length(entry.bound, system)} ({BOUND_NAMES[entry.bound_kind]}); this one is "
            f"{above:.1f} % above"
        ),
        proof=proof_words(entry, system),
        rectangles=f"{format_length(entry.boxes, system)} would be needed" if more else "",
        utilisation=f"{100.0 * entry.utilisation:.1f} % of exact length x full width",
        narrowest=up_to_tape(entry, system),
        tracing=tracing_words(entry, system),
        changed=changed_words(entry, system),
    )


def tracing_words(entry: FabricPlan, system: System) -> str:
    """Outlines to trace; opened-out halves among them are traced whole."""
    count = len(entry.placements)
    opened = sum(placed.opened for placed in entry.placements)
    halves = f", {opened} of them opened out from a half" if opened else ""
    outlines = "1 outline" if count == 1 else f"{count} outlines"
    return f"{outlines}{halves}, {format_length(entry.traced, system)} together"


def exact_words(entry: FabricPlan, system: System) -> str:
    """The shortest length found; if the lay is stretched within the purchase, that and why."""
    text = format_length(entry.length, system)
    if entry.laid <= entry.length + SEEN_MM:
        return text
    return (
        f"{text}, the shortest found; drawn over {format_length(entry.laid, system)}, which is "
        f"{'there' if entry.fabric.on_hand is not None else 'bought'} anyway, so that "
        f"{'less is traced' if entry.spared else 'more is left over in one piece'}"
    )
