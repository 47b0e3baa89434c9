"""Answers of the door itself, before anything is known of who asks: plain text."""

from __future__ import annotations

from starlette.responses import PlainTextResponse


def refusal(status: int, text: str) -> PlainTextResponse:
    """Say why a request goes no further."""
    return PlainTextResponse(f"Laywright: {text}.\n", status_code=status)
