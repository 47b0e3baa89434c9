"""Which bolts of the stash may stand in for cloth that would be bought."""

from __future__ import annotations

from fabrics.fabric import Fabric
from fabrics.stash.records import Bolt
from pieces.lengths import System, format_length, shown_rest
from plans.folds.job import FabricJob
from plans.listed import listed
from plans.plan import FabricPlan

LIKE_MM = 0.5
"""Widths that differ by less are one width: a tape does not show it."""


def bolts_for(job: FabricJob, bolts: list[Bolt], spare: float = 0.0) -> list[Bolt]:
    """Bolts that a job may be cut from, the shortest first, so that long ones stay whole.

    Parameters
    ----------
    job : FabricJob
        None, if its cloth is on hand already.
    bolts : list of Bolt
    spare : float
        Area (mm2) of leftovers that may help out: what is too small even then is left out.
    """
    if job.fabric.on_hand is not None:
        return []
    wanted = sum(demand.area * demand.wanted.total for demand in job.demands) - spare
    like = bolts_like(job, bolts)
    enough = [bolt for bolt in like if _usable_area(bolt) >= wanted]
    return sorted(enough, key=lambda bolt: (_washed_length(bolt), int(bolt.tag[1:])))


def bolts_like(job: FabricJob, bolts: list[Bolt]) -> list[Bolt]:
    """Bolts of the cloth of a job, however much is on them."""
    return [bolt for bolt in bolts if _is_like(bolt, job.fabric)]


def bolt_note(fabric: Fabric, taken: float, system: System) -> str:
    """Say that cloth on hand is enough, and how much of it remains (mm, in its own state)."""
    state = "washed" if fabric.washed else "unwashed"
    length = fabric.on_hand or 0.0
    rest = format_length(shown_rest(system, length, taken), system)
    remains = "nothing remains" if length - taken < LIKE_MM else f"{rest} remain"
    return (
        f"{_enough(fabric)}{format_length(taken, system)} of its {format_length(length, system)} "
        f"({state}) are taken, {remains} on it."
    )


def unused_note(leftovers: list[str], short: list[str], named: list[str]) -> str:
    """Say what of the stash is the same cloth and yet of no use; empty if there is nothing.

    Parameters
    ----------
    leftovers : list of str
        Tags of leftovers that were tried and save nothing.
    short : list of str
        Of bolts that do not hold enough.
    named : list of str
        Of bolts that another role is cut from, so that they are for nothing else.
    """
    told = []
    if leftovers:
        told.append(f"with {_tagged('leftover', leftovers)} of your stash no less would be needed")
    if short:
        holds = "holds" if len(short) == 1 else "each hold"
        told.append(f"{_tagged('bolt', short)} of your stash {holds} too little for this")
    if named:
        cloth = "is the same cloth, but another role names it"
        if len(named) > 1:
            cloth = "are the same cloth, but other roles name them"
        told.append(
            f"{_tagged('bolt', named)} of your stash {cloth}; name a bolt for both roles to lay "
            "them on it together"
        )
    text = "; ".join(told)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def _tagged(what: str, tags: list[str]) -> str:
    """Tags in words: bolt B1; leftovers L1, L2 and L4."""
    return f"{what if len(tags) == 1 else f'{what}s'} {listed(tags)}"


def stands_in(entry: FabricPlan) -> bool:
    """Whether a bolt was taken in place of cloth to buy: nobody named it, and its note says so."""
    return any(note.startswith(_enough(entry.fabric)) for note in entry.notes)


def _enough(fabric: Fabric) -> str:
    return f"Bolt {fabric.bolt} of your stash holds enough, so that none of this is bought: "


def _is_like(bolt: Bolt, fabric: Fabric) -> bool:
    """Whether a bolt is the same cloth: by name, and by all that decides how it may be laid."""
    mine = bolt.as_fabric()
    same = (
        mine.name == fabric.name
        and mine.one_way == fabric.one_way
        and mine.faces_alike == fabric.faces_alike
        and mine.grainless == fabric.grainless
        and mine.faces is fabric.faces
        and mine.repeat == fabric.repeat
    )
    return same and abs(mine.width_cut - fabric.width_cut) <= LIKE_MM


def _washed_length(bolt: Bolt) -> float:
    return bolt.length * bolt.as_fabric().kept_along


def _usable_area(bolt: Bolt) -> float:
    fabric = bolt.as_fabric()
    return _washed_length(bolt) * (fabric.width_cut - 2.0 * fabric.selvage_cut)
