"""Phases of match groups that agree with each other, and the bar that is named for a group."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from fabrics.fabric import Fabric
from fabrics.folds.cloth import off_phase
from layout.layout import posed
from layout.problem import Pose
from pieces.lengths import System, format_length
from pieces.piece import MatchPoint
from plans.errors import ContradictionError
from plans.problem.demand import Demand

AGREE_MM = 0.25
"""Phases of a group that differ by less are one; well within what is validated."""


@dataclass(frozen=True)
class Phases:
    """Phase along by group, and across relative to the axis for a drawn copy, mm."""

    along: dict[str, float]
    across: dict[str, float]


def fold_height(demand: Demand) -> float | None:
    """Item-frame y (mm) of a half's fold edge that runs along the grain, or None."""
    if demand.fold_line is None:
        return None
    (_, y1), (_, y2) = demand.fold_line
    return y1 if abs(y1 - y2) < 1e-6 else None


def chosen_phases(
    fabric: Fabric, demands: tuple[Demand, ...], system: System = System.METRIC
) -> Phases:
    """Choose the phases of all groups.

    Along, the largest piece of a group lies at the cut end; across, a piece drawn as a half lies
    with its middle on the axis. Other groups of a piece follow from its shape.

    Raises
    ------
    ContradictionError
        If the points of a piece cannot all lie in phase.
    """
    matched = sorted((d for d in demands if d.match), key=lambda d: -d.area)
    return Phases(_along(fabric, matched, system), _across(fabric, matched, system))


def _along(fabric: Fabric, matched: list[Demand], system: System) -> dict[str, float]:
    pitch = 0.0 if fabric.repeat is None else fabric.repeat.along
    found: dict[str, float] = {}
    for demand in _linked(matched, found, lambda match: True):
        anchor = next((m for m in demand.match if m.group in found), demand.match[0])
        if anchor.group not in found:
            left = float(posed(demand.whole, Pose(0.0))[:, 0].min())
            found[anchor.group] = anchor.at[0] - left
        base = found[anchor.group] - anchor.at[0]
        for match in demand.match:
            _agree(found, match, base + match.at[0], pitch, demand, "along the grain", system)
    return found


def _across(fabric: Fabric, matched: list[Demand], system: System) -> dict[str, float]:
    repeat = fabric.repeat
    groups = [match.group for demand in matched for match in demand.match]
    if repeat is None or repeat.across <= 0.0 or repeat.axis is None:
        return dict.fromkeys(groups, 0.0)
    found = {
        match.group: float(match.bar)
        for demand in matched
        for match in demand.match
        if isinstance(match.bar, (int, float))
    }
    halves = [demand for demand in matched if fold_height(demand) is not None]
    rest = [demand for demand in matched if fold_height(demand) is None]
    for demand in halves:
        level = fold_height(demand) or 0.0
        for match in demand.match:
            if not match.along_only:
                _agree(
                    found,
                    match,
                    match.at[1] - level,
                    repeat.across,
                    demand,
                    "from its middle",
                    system,
                )
    for demand in _linked(rest, found, lambda match: not match.along_only):
        points = [match for match in demand.match if not match.along_only]
        if not points:
            continue
        anchor = next((match for match in points if match.group in found), points[0])
        base = found.setdefault(anchor.group, 0.0) - anchor.at[1]
        for match in points:
            _agree(
                found, match, base + match.at[1], repeat.across, demand, "across the grain", system
            )
    return {**dict.fromkeys(groups, 0.0), **found}


def _linked(
    demands: list[Demand], found: dict[str, float], counts: Callable[[MatchPoint], bool]
) -> Iterator[Demand]:
    """Yield demands, each as soon as a group of it has its phase, so that chains agree."""
    pending = list(demands)
    while pending:
        linked = (d for d in pending if any(counts(m) and m.group in found for m in d.match))
        demand = next(linked, pending[0])
        pending.remove(demand)
        yield demand


def _agree(
    found: dict[str, float],
    match: MatchPoint,
    phase: float,
    pitch: float,
    demand: Demand,
    where: str,
    system: System,
) -> None:
    """Give a group its phase, or refuse a point that cannot have it."""
    off = off_phase(found.setdefault(match.group, phase) - phase, pitch)
    if off <= AGREE_MM:
        return
    bar = f", or another bar than the one named for group '{match.group}'"
    bar = "" if match.bar is None else bar
    raise ContradictionError(
        f"piece '{demand.piece.name}', match: its points cannot all lie in phase; that of group "
        f"'{match.group}' would be {format_length(off, system)} out, measured {where}, on a "
        f"design that repeats every {format_length(pitch, system)}; move the point by so much, "
        f'give it a group of its own, match it along the cloth only (only = "along"){bar}'
    )


def settled(
    fabric: Fabric, demands: tuple[Demand, ...], system: System = System.METRIC
) -> tuple[Fabric, tuple[Demand, ...]]:
    """Put the bars that are named for match groups into figures, and the axis where they want it.

    A design that is symmetric in one axis is so half a repeat beside it, too. Where the bar named
    for a piece drawn as a half lies there, that becomes the axis that folds go by. On cloth without
    a design across no bar is meant.

    Raises
    ------
    ContradictionError
        If two bars are named for one group, the design has no axis, or points cannot lie in phase.
    """
    repeat = fabric.repeat
    if repeat is None or repeat.across <= 0.0:
        return fabric, tuple(_with_bars(demand, {}) for demand in demands)
    bars = _named_bars(repeat.across, demands)
    if bars and repeat.axis is None:
        raise ContradictionError(
            f"fabric '{fabric.name}': a bar is named for group '{next(iter(bars))}', but the "
            "design has no axis to count from; leave bar out, or say where an axis lies (repeat)"
        )
    shift = 0.0
    for demand in sorted(demands, key=lambda d: -d.area):
        level = fold_height(demand)
        barred = [m for m in demand.match if m.group in bars and not m.along_only]
        if level is not None and barred and repeat.axis is not None:
            beside = bars[barred[0].group] - (barred[0].at[1] - level) - repeat.across / 2.0
            shift = repeat.across / 2.0 if off_phase(beside, repeat.across) <= AGREE_MM else 0.0
            break
    if shift and repeat.axis is not None:
        fabric = replace(fabric, repeat=replace(repeat, axis=repeat.axis + shift))
    moved = {group: bar - shift for group, bar in bars.items()}
    demands = tuple(_with_bars(demand, moved) for demand in demands)
    chosen_phases(fabric, demands, system)
    return fabric, demands


def _named_bars(pitch: float, demands: tuple[Demand, ...]) -> dict[str, float]:
    words = {"axis": 0.0, "between": pitch / 2.0}
    found: dict[str, float] = {}
    for demand in demands:
        for match in demand.match:
            if match.bar is None:
                continue
            bar = words[match.bar] if isinstance(match.bar, str) else match.bar
            if off_phase(found.setdefault(match.group, bar) - bar, pitch) > AGREE_MM:
                raise ContradictionError(
                    f"piece '{demand.piece.name}', match: another piece names another bar for "
                    f"group '{match.group}'; one group lies on one bar"
                )
    return found


def _with_bars(demand: Demand, bars: dict[str, float]) -> Demand:
    if all(match.bar is None for match in demand.match):
        return demand
    return replace(
        demand,
        match=tuple(
            match if match.bar is None else replace(match, bar=bars.get(match.group))
            for match in demand.match
        ),
    )
