"""From what is to be compared to the cells of a comparison."""

from __future__ import annotations

from collections.abc import Iterable

from fabrics.fabric import Fabric
from fabrics.spread import Fold
from plans.compare.cells import FOLDS, Question
from plans.folds.jobs import job_for, require_roles
from plans.order import Order

Named = tuple[str | None, Fabric]
"""A fabric, and the role that it is compared for; None for every role."""


def questions_for(
    order: Order,
    groups: Iterable[tuple[str, ...]],
    plain: list[Fabric],
    named: list[Named] | None = None,
    folds: Iterable[Fold] = (),
) -> list[Question]:
    """Ask for each group of roles what each cloth needs in each fold.

    Parameters
    ----------
    order : Order
        Its cloth does not count.
    groups : iterable of tuple of str
        Roles that are cut from one cloth; each role by itself if there is none.
    plain : list of Fabric
        Compared for every group.
    named : list of Named, optional
    folds : iterable of Fold
        All if there is none.

    Raises
    ------
    ContradictionError
        If the garment has no such role.
    """
    wanted = list(dict.fromkeys(groups)) or [(role,) for role in order.garment.roles]
    others = named or []
    require_roles(order, [role for group in wanted for role in group])
    require_roles(order, [role for role, _ in others if role is not None])
    kinds = tuple(dict.fromkeys(folds)) or FOLDS
    questions = []
    for group in wanted:
        cloths = plain + [fabric for role, fabric in others if role is None or role in group]
        for fabric in dict.fromkeys(cloths):
            job = job_for(order, group, fabric)
            questions += [Question(job, fold) for fold in kinds]
    return questions
