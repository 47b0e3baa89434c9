"""Names one after another, as a sentence lists them."""

from __future__ import annotations

from collections.abc import Sequence


def listed(names: Sequence[str]) -> str:
    """Join names by commas and the last by "and"; there is at least one."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
