"""Times as a person reads them."""

from __future__ import annotations

from datetime import datetime

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def moment_words(moment: datetime) -> str:
    """A moment in local time, to the minute: "26 November 2026, 09:51"."""
    local = moment.astimezone()
    return f"{local.day} {MONTHS[local.month - 1]} {local.year}, {local:%H:%M}"
