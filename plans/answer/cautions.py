"""The usual cautions, in a line each; local rules and qualified practice come first."""

from __future__ import annotations

from pieces.drafting.garment import Garment

BLADES = (
    "Blades: close a rotary cutter's guard after every cut, cut away from the body, pass shears "
    "handles first, and keep both away from children."
)
"""Craft teachers' usual advice on rotary cutters; shears: common practice, no source."""

MEASURE = (
    "Before you cut: measure the washed cloth's real width; if it is narrower, plan again on the "
    "width that you measured."
)


def cautions_for(garment: Garment) -> tuple[str, ...]:
    """List what every plan of a garment says."""
    own = (garment.caution,) if garment.caution else ()
    return (MEASURE, BLADES, *own)
