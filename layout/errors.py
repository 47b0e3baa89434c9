"""What can be wrong with a layout, or with what one is asked of."""

from __future__ import annotations

from pieces.portable import PortableError


class LayoutError(PortableError):
    """Whatever this folder refuses; what a caller catches who wants all of it."""


class ProblemError(LayoutError, ValueError):
    """A layout problem that contradicts itself.

    Attributes
    ----------
    item : str
        Key of the item at fault; empty where it is the cloth or the problem as a whole.
    field : str
        Its field, slots by number: "slots[2].zone".
    """

    def __init__(self, item: str, field: str, message: str) -> None:
        self.item = item
        self.field = field
        super().__init__(f"item '{item}', {field}: {message}" if item else f"{field}: {message}")
