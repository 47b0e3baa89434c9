"""The check before the first fold: whether the washed cloth is as wide as it was planned on."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.lengths import System, format_length, format_tape, format_width, parse_length
from plans.plan import FabricPlan
from plans.words.key_figures import SEEN_MM

WIDER_MM = 20.0
"""From here on a cloth is called wider than planned: a new plan may need less of it."""

FAR_WIDER = 1.3
"""A measured width so many times the planned one is rather a slip, or another unit."""


@dataclass(frozen=True)
class WidthCheck:
    """What to measure, what each outcome means, and where the outcomes part.

    The limits are widths of the washed cloth, selvages included, mm: below `narrowest` the pieces
    have no room as they lie, below `enough` their figures no longer hold, from `wider` on there is
    more than was planned on, from `far_wider` on a slip is likelier.
    """

    what: str
    if_narrower: str
    unit: str
    """Unit of a bare figure that is typed in."""
    narrowest: float
    enough: float
    wider: float
    far_wider: float
    answers: dict[str, str]
    """Words for each outcome, by its name."""


def width_check(entry: FabricPlan, system: System) -> WidthCheck:
    """Say what a fabric's width is held against before it is folded."""
    fabric = entry.fabric
    planned = fabric.width_cut
    narrowest = entry.min_width if fabric.washed else entry.min_width * (1.0 - fabric.shrink_across)
    unit = "in" if system is System.IMPERIAL else "cm"
    shown, least = format_width(planned, system), format_width(narrowest, system)
    # Whoever measures just what is printed here has enough: it may be rounded up.
    printed = parse_length(format_tape(planned, system), unit)
    enough = min(planned, printed) - SEEN_MM
    why = (
        f"places measured from the far edge no longer hold, and below {least} the pieces have no "
        "room as they lie here"
        if planned - narrowest > SEEN_MM
        else "the pieces have no room as they lie here"
    )
    stop = "Stop: do not fold or cut this cloth yet."
    return WidthCheck(
        what=(
            "Measure the washed cloth across, from edge to edge with the selvages, in three places "
            f"along it; the least counts. This plan is made for {shown}, and takes "
            f"{format_length(entry.laid, system)} of its length."
        ),
        if_narrower=(
            f"If it is narrower, stop before you fold: {why}. Plan again on the width that you "
            "measured."
        ),
        unit=unit,
        narrowest=min(narrowest - SEEN_MM, enough),
        enough=enough,
        wider=planned + WIDER_MM,
        far_wider=planned * FAR_WIDER,
        answers={
            "enough": "Wide enough. Go on.",
            "wider": (
                "Wider than planned. Every figure here still holds; a new plan on the width that "
                "you measured may need less cloth."
            ),
            "narrower": (
                f"{stop} It is narrower than the {shown} that this plan is made for, so that "
                "places measured from the far edge no longer hold. Plan again on the width that "
                "you measured."
            ),
            "too-narrow": (
                f"{stop} The pieces need at least {least} as they lie here. Plan again on the "
                "width that you measured; more length may be needed than you have."
            ),
            "far-wider": (
                f"That is far wider than the {shown} of this plan. Look at the figure again: a "
                f"number without a unit is taken for {'inches' if unit == 'in' else 'cm'}."
            ),
            "unread": (
                "That is no width. Type it as the tape shows it, such as "
                f"{'56 1/2' if unit == 'in' else '142.5'}."
            ),
        },
    )
