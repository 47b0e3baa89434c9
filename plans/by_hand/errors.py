"""What keeps a plan from being changed by hand."""

from __future__ import annotations

from plans.errors import ContradictionError, PlanError


class ByHandError(PlanError):
    """A plan that cannot be changed by hand, or a change that it does not permit."""


class ChangedGarmentError(ByHandError):
    """The garment is no longer what the plan was made of."""


class NotPermittedError(ByHandError):
    """A piece may not be turned, or turned over, as somebody wants it."""


class NotValidError(ByHandError):
    """A lay as it was put down breaks rules; the message names them all."""


class NoSuchPieceError(ContradictionError):
    """A piece is named that a plan does not hold."""
