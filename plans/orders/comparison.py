"""From what is asked for to the cells of a comparison: garments, roles, cloth and folds by name."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from fabrics.fabric import Fabric
from fabrics.spread import Fold
from plans.compare.cells import Question
from plans.compare.questions import Named, questions_for
from plans.order import Order
from plans.orders.cloth import find_cloth
from plans.orders.making import Load, load_by_name, order_to_compare
from plans.orders.request import Request


def comparison_asked(
    request: Request,
    roles: Iterable[str],
    plain: list[Fabric],
    named: list[Named],
    folds: Iterable[str],
    load: Load = load_by_name,
) -> tuple[Order, list[Question]]:
    """Make the order and the cells of a comparison.

    Parameters
    ----------
    request : Request
        Its cloth does not count.
    roles : iterable of str
        As they are typed: ROLE, ROLE+ROLE on one cloth, ROLE@GARMENT; each role if there is none.
    plain : list of Fabric
        Compared for every role.
    named : list of Named
    folds : iterable of str
        Machine names; every fold if there is none, and no order file says one.
    load : callable, optional

    Raises
    ------
    InputError, OutfitError, ContradictionError
    """
    wanted = list(roles)
    typed = [*wanted, *(role for role, _ in named if role is not None)]
    order, called = order_to_compare(request, typed, load)
    groups = [tuple(called(role).split("+")) for role in wanted]
    others = [(role if role is None else called(role), fabric) for role, fabric in named]
    return order, questions_for(order, groups, plain, others, folds_asked(folds, order))


def folds_asked(typed: Iterable[str], order: Order) -> tuple[Fold, ...]:
    """Folds to look at: those that were typed, else the one of an order file; none for any."""
    said = () if order.fold == "auto" else (order.fold,)
    return tuple(Fold.named(name) for name in tuple(typed) or said)


def named_cloth(text: str, stash: Path | None) -> Named:
    """Read [ROLE=]FABRIC, whose fabric is as `find_cloth` reads it; raises as that does."""
    role, sign, name = text.rpartition("=")
    return (role.strip() if sign else None, find_cloth(name.strip(), stash))
