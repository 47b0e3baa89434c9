"""What a person has chosen for all views: units and look, kept in cookies."""

from __future__ import annotations

from starlette.requests import Request

from pieces.lengths import System

UNITS, LOOK = "laywright-units", "laywright-look"

IMPERIAL_UNITS = ("in", "ft", "yd")
"""Units of a garment file whose figures suit a person who chose inches."""

USUAL_UNIT = {System.METRIC: "cm", System.IMPERIAL: "in"}
"""What a bare number is taken as where a view says so."""

LOOKS = ("auto", "light", "dark")
"""As the system has it, or always one."""


def units(request: Request) -> System:
    """Units that figures are shown in."""
    try:
        return System(request.cookies.get(UNITS, System.METRIC.value))
    except ValueError:
        return System.METRIC


def figures_in(unit: str | None, system: System) -> str:
    """Unit for figures of a garment: its own (cm where it has none) if that suits the system."""
    own = unit or "cm"
    if (own in IMPERIAL_UNITS) is (system is System.IMPERIAL):
        return own
    return "in" if system is System.IMPERIAL else "cm"


def look(request: Request) -> str:
    """Light, dark, or as the system has it."""
    chosen = request.cookies.get(LOOK, LOOKS[0])
    return chosen if chosen in LOOKS else LOOKS[0]
