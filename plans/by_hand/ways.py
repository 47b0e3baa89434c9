"""How each piece of a lay may lie: its poses, and the ranges of places that go with each."""

from __future__ import annotations

import math
from functools import cached_property

from layout.layout import Layout, Placement
from layout.problem import Pose
from layout.search.model import Choice, Model, strip_model
from layout.strip_problem import StripProblem

ANGLE_DEG = 0.05
"""Turns that differ by less are one; files round the grain arrow that they are read from."""


class Ways:
    """The ways in which the items of a problem may lie; worked out once for a lay.

    Parameters
    ----------
    problem : StripProblem
    layout : Layout
        Any layout of it: where cloth has flaws its sections lie as there.
    """

    def __init__(self, problem: StripProblem, layout: Layout) -> None:
        self._problem = problem
        self._spans = problem.spans(layout.extents)
        self._shapes: dict[tuple[int, int, Pose], int] = {}

    @cached_property
    def _models(self) -> tuple[Model, ...]:
        models = []
        for section, span in enumerate(self._spans):
            counts = {
                index: item.demand
                for index, item in enumerate(self._problem.items)
                if any(slot.section == section for slot in item.slots)
            }
            models.append(strip_model(self._problem, section, counts, span))
        return tuple(models)

    def model(self, section: int) -> Model:
        """Shapes of a section and what is fixed there, as a search has them."""
        return self._models[section]

    def of(self, item: int, section: int) -> tuple[Choice, ...]:
        """All ways in which an item may lie in a section."""
        model = self._models[section]
        return next(
            (choices for at, choices in zip(model.items, model.kinds, strict=True) if at == item),
            (),
        )

    def shape(self, placement: Placement, section: int) -> int:
        """The shape, of the section's model, of what lies in it."""
        key = (placement.item, placement.slot, placement.pose)
        if key not in self._shapes:
            self._shapes[key] = next(
                choice.shape
                for choice in self.of(placement.item, section)
                if (choice.slot, choice.pose) == (placement.slot, placement.pose)
            )
        return self._shapes[key]

    def like(self, placement: Placement) -> tuple[Choice, ...]:
        """The ways in which what lies may lie turned or turned over: in its section, of its shape.

        A half that lies on a fold stays on one.
        """
        slots = self._problem.items[placement.item].slots
        mine = slots[placement.slot]
        return tuple(
            choice
            for choice in self.of(placement.item, mine.section)
            if slots[choice.slot].shape == mine.shape
            and (slots[choice.slot].fold_edge is None) == (mine.fold_edge is None)
        )

    def poses(self, placement: Placement) -> tuple[Pose, ...]:
        """The poses that it may take where it lies, each once; by turn, printed side up first."""
        found = dict.fromkeys(choice.pose for choice in self.like(placement))
        return tuple(sorted(found, key=lambda pose: (pose.flip, pose.angle_deg % 360.0)))


def missed_by(choice: Choice, x: float, y: float) -> float:
    """How far (mm) a place is from where a way of lying permits it."""
    low_x = choice.x_from if choice.x_fixed is None else choice.x_fixed
    high_x = math.inf if choice.x_fixed is None else choice.x_fixed
    off_x = max(low_x - x, 0.0, x - high_x) + _off_lattice(x, choice.pitch_x, choice.phase_x)
    off_y = max(choice.y_from - y, 0.0, y - choice.y_to)
    return off_x + off_y + _off_lattice(y, choice.pitch_y, choice.phase_y)


def tied(choice: Choice, on_fold: bool, x: float, y: float) -> tuple[float, float]:
    """The nearest place to one asked for that keeps to the fold line and the design of the cloth.

    What is tied to nothing lies where it is put, be that beyond the cloth.
    """
    if choice.x_fixed is not None:
        return choice.x_fixed, _nearest(y, choice.pitch_y, choice.phase_y)
    x = _nearest(x, choice.pitch_x, choice.phase_x)
    return x, choice.y_from if on_fold else _nearest(y, choice.pitch_y, choice.phase_y)


def _nearest(value: float, pitch: float, phase: float) -> float:
    return value if pitch <= 0.0 else phase + round((value - phase) / pitch) * pitch


def _off_lattice(value: float, pitch: float, phase: float) -> float:
    return abs(value - _nearest(value, pitch, phase))


def same_turn(one: float, other: float) -> bool:
    """Whether two angles (degrees) are one turn."""
    return abs((one - other + 180.0) % 360.0 - 180.0) <= ANGLE_DEG
