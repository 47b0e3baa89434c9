"""The independent validator: every copy checked on the cloth.

It works from placements and spread alone, on true outlines, and shares no geometry with the
solver. A plan that leaves the program has passed it.
"""

from __future__ import annotations

from layout.errors import LayoutError
from layout.layout import Layout
from layout.problem import Problem
from layout.validation.copies import ClothCopy, cloth_copies
from layout.validation.counts import check_counts, check_kept, check_slots
from layout.validation.direction import check_direction
from layout.validation.place import check_place
from layout.validation.repeats import check_repeats
from layout.validation.separation import check_separation
from layout.validation.violation import Beside, Code, Violation

__all__ = ["Beside", "ClothCopy", "Code", "InvalidLayoutError", "Violation", "cloth_copies",
           "require_valid", "validate"]  # fmt: skip


class InvalidLayoutError(LayoutError, RuntimeError):
    """A layout that breaks a rule: a fault of the solver, never a warning."""

    def __init__(self, violations: list[Violation]) -> None:
        self.violations = tuple(violations)
        super().__init__("; ".join(violation.message for violation in violations[:5]))


def validate(problem: Problem, layout: Layout) -> list[Violation]:
    """List every rule that a layout breaks; empty if it is valid."""
    found = check_slots(problem, layout)
    if found:
        # Where a slot or a number is wrong nothing further can be worked out.
        return found
    copies = cloth_copies(problem, layout)
    return [
        *check_counts(problem, layout, copies),
        *check_kept(problem, layout),
        *check_place(problem, layout, copies),
        *check_separation(problem, layout, copies),
        *check_direction(problem, layout, copies),
        *check_repeats(problem, layout),
    ]


def require_valid(problem: Problem, layout: Layout) -> None:
    """Raise if a layout breaks any rule.

    Raises
    ------
    InvalidLayoutError
        With all violations.
    """
    violations = validate(problem, layout)
    if violations:
        raise InvalidLayoutError(violations)
