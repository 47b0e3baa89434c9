"""From an order to the jobs of its fabrics."""

from __future__ import annotations

from fabrics.fabric import Fabric
from plans.errors import ContradictionError
from plans.folds.job import FabricJob
from plans.order import Order
from plans.problem.demand import demands_for
from plans.problem.phases import settled


def job_for(order: Order, roles: tuple[str, ...], fabric: Fabric) -> FabricJob:
    """Make the job of cutting some roles of an order from one fabric.

    Raises
    ------
    ContradictionError
        If match points of a piece cannot all lie in phase on this fabric.
    """
    wanted = demands_for(order.garment.pieces, roles, fabric, order.makes)
    fabric, demands = settled(fabric, wanted, order.system)
    return FabricJob(
        roles=roles,
        fabric=fabric,
        demands=demands,
        makes=order.makes,
        gap=order.gap,
        ends=order.ends,
        margin=order.margin,
        seed=order.seed,
        system=order.system,
        leftover_size=order.leftover_size,
        leftover_neck=order.leftover_neck,
    )


def jobs_for(order: Order) -> list[FabricJob]:
    """Make one job for each fabric; roles with equal cloth share one.

    Raises
    ------
    ContradictionError
        If a role has no cloth, cloth has no role, or nothing is to be made.
    """
    require_cloth(order)
    roles = order.garment.roles
    groups: dict[Fabric, list[str]] = {}
    for role in roles:
        groups.setdefault(order.cloth[role], []).append(role)
    return [job_for(order, tuple(names), fabric) for fabric, names in groups.items()]


def require_cloth(order: Order, how: str = "add --cloth {role}=FABRIC") -> None:
    """Refuse an order of which a role has no cloth, or cloth no role, or that makes nothing.

    `how` says to whoever asked how cloth is given to a `{role}`.

    Raises
    ------
    ContradictionError
    """
    # A role that is misspelt is also one without cloth: say what was typed first.
    require_roles(order, list(order.cloth))
    without = [role for role in order.garment.roles if role not in order.cloth]
    if without:
        raise ContradictionError(
            f"{_whose(order, without[0])}: no cloth for role {role_names(without)}; "
            f"{how.format(role=without[0])}"
        )
    if order.makes < 1:
        raise ContradictionError(f"makes: {order.makes} is not a number of garments; at least 1")


def _whose(order: Order, role: str) -> str:
    """Garments that a role is cut for."""
    pieces = order.garment.pieces
    owners = dict.fromkeys(p.owner for p in pieces if p.owner and p.cut_for(role) is not None)
    if not owners:
        return f"garment '{order.garment.name}'"
    return f"garment{'s' if len(owners) > 1 else ''} {role_names(list(owners))}"


def require_roles(order: Order, named: list[str]) -> None:
    """Refuse roles that the garment does not have.

    Raises
    ------
    ContradictionError
    """
    roles = order.garment.roles
    unknown = [role for role in named if role not in roles]
    if unknown:
        what = "order" if _is_outfit(order) else "garment"
        raise ContradictionError(
            f"{what} '{order.garment.name}': cloth for role {role_names(unknown)}, which no piece "
            f"is cut in; its roles are {role_names(list(roles))}"
        )


def _is_outfit(order: Order) -> bool:
    return any(piece.owner for piece in order.garment.pieces)


def role_names(roles: list[str]) -> str:
    """Roles for a message."""
    return ", ".join(f"'{role}'" for role in roles)
