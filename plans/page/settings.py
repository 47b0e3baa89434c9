"""What a person has chosen for all views: units and look, kept in cookies."""

from __future__ import annotations

from starlette.requests import Request

from pieces.lengths import System

UNITS, LOOK = "laywright-units", "laywright-look"

LOOKS = ("auto", "light", "dark")
"""As the system has it, or always one."""


def units(request: Request) -> System:
    """Units that figures are shown in."""
    try:
        return System(request.cookies.get(UNITS, System.METRIC.value))
    except ValueError:
        return System.METRIC


def look(request: Request) -> str:
    """Light, dark, or as the system has it."""
    chosen = request.cookies.get(LOOK, LOOKS[0])
    return chosen if chosen in LOOKS else LOOKS[0]
