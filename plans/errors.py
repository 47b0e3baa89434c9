"""Errors of planning, each with its own exit code on the command line."""

from __future__ import annotations

from pieces.portable import PortableError


class PlansError(PortableError):
    """Root of every error of this room: of what was asked for, and faults of ours."""


class PlanError(PlansError, ValueError):
    """What can go wrong between sound files and a plan."""


class ContradictionError(PlanError):
    """What was asked for contradicts itself: a role without cloth, a fold the cloth forbids."""


class NothingFitsError(PlanError):
    """Sound input for which no layout exists; the message says by how much it misses."""


class FaultError(PlansError, RuntimeError):
    """A fault of ours: a layout that the validator refused."""
