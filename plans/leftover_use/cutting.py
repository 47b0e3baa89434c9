"""From a plan that was cut to what the stash must record of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fabrics.fabric import Fabric
from fabrics.region import Region
from fabrics.stash.records import Bolt, NewLeftover
from plans.errors import ContradictionError
from plans.plan import FabricPlan, Plan

NARROWER_MM = 0.5
"""A bolt may be narrower than the plan's least width by what a tape does not show."""


@dataclass(frozen=True)
class Cutting:
    """What changes in the stash: lengths (mm, in the bolt's own state) by tag, and leftovers."""

    taken: tuple[tuple[str, float], ...]
    left: tuple[NewLeftover, ...]
    used: tuple[str, ...]


def cutting_of(plan: Plan, bolts: dict[str, Bolt], keep_leftovers: bool = True) -> Cutting:
    """Work out what cutting a plan takes and leaves.

    Parameters
    ----------
    plan : Plan
    bolts : dict of str to Bolt
        By role: what each fabric is cut from. Roles without one are cut from cloth that was bought
        for it and is not in the stash.
    keep_leftovers : bool

    Raises
    ------
    ContradictionError
        If a role is unknown, or a bolt is other cloth or too narrow.
    """
    roles = {role for entry in plan.fabrics for role in entry.roles}
    for role in bolts:
        if role not in roles:
            raise ContradictionError(
                f"role '{role}': the plan has no such role; it has {', '.join(sorted(roles))}"
            )
    taken: dict[str, float] = {}
    left: list[NewLeftover] = []
    for entry in plan.fabrics:
        named = {bolts[role].tag: bolts[role] for role in entry.roles if role in bolts}
        if len(named) > 1:
            raise ContradictionError(
                f"{', '.join(entry.roles)}: share one layout, so that they come off one bolt, "
                f"not {' and '.join(sorted(named))}"
            )
        for bolt in named.values():
            taken[bolt.tag] = taken.get(bolt.tag, 0.0) + _off(bolt, entry)
        if keep_leftovers:
            left += [_new(entry.fabric, leftover) for leftover in entry.leftovers]
    for cut in plan.on_leftovers:
        if keep_leftovers:
            left += [_new(cut.fabric, leftover) for leftover in cut.left]
    used = tuple(cut.tag for cut in plan.on_leftovers)
    return Cutting(tuple(taken.items()), tuple(left), used)


def _off(bolt: Bolt, entry: FabricPlan) -> float:
    """Length that comes off a bolt, in its own state."""
    if bolt.fabric.name != entry.fabric.name:
        raise ContradictionError(
            f"bolt {bolt.tag} is '{bolt.fabric.name}', and the plan is for '{entry.fabric.name}'"
        )
    as_cut, planned = bolt.as_fabric(), entry.fabric
    least = entry.min_width * (1.0 if planned.washed else 1.0 - planned.shrink_across)
    if as_cut.width_cut < least - NARROWER_MM:
        raise ContradictionError(
            f"bolt {bolt.tag} is {as_cut.width_cut / 10:.1f} cm wide when washed, and the plan "
            f"needs {least / 10:.1f} cm; plan again with --cloth {entry.roles[0]}=stash:{bolt.tag}"
        )
    if bolt.washed == planned.washed:
        return entry.purchase.bought
    if bolt.washed:
        return entry.purchase.bought_washed
    return entry.purchase.bought / (1.0 - bolt.fabric.shrink_along)


def _new(fabric: Fabric, region: Region) -> NewLeftover:
    """A leftover in a frame of its own, of cloth that is no longer on a bolt."""
    return NewLeftover(replace(fabric, on_hand=None, bolt=""), region.from_origin())
