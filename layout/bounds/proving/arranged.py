"""Where each piece begins along the cloth: a search that proves what no order of pieces undercuts.

Pieces are bars on a grid (`layout.bounds.proving.bars`) that follow one another; the place across
is free, so that only their sum at each line must fit (contiguous bars: Cote, Dell'Amico, Iori, Op.
Res. 62(3), 2014; Akcay, Delorme, EJOR 323, 2025). Needs OR-tools, an optional extra.
"""

from __future__ import annotations

import math
import signal
import time
from collections.abc import Sequence
from typing import Any

from layout.bounds.proving.bars import Barred, barred
from layout.bounds.terms.bound import Bound, BoundKind, Share
from layout.bounds.terms.relaxation import Part, Relaxation, Way
from layout.errors import LayoutError

GRIDS_MM = (40.0, 20.0, 10.0, 5.0)
"""Grids, the coarse ones first: their proofs are quick, those of the fine ones sharp."""

WORKERS = 4
"""Threads of one search."""


class NoProverError(LayoutError):
    """OR-tools is not installed."""


def has_prover() -> bool:
    """Whether OR-tools is there."""
    from importlib.util import find_spec

    return find_spec("ortools") is not None


def arranged_bound(
    relaxation: Relaxation,
    known: float,
    found: float,
    seconds: float,
    grids: Sequence[float] = GRIDS_MM,
) -> Bound:
    """Prove as long a bound as the time permits, in a process of its own.

    OR-tools and highspy each bring a HiGHS of their own, and one process cannot load both.

    Parameters
    ----------
    relaxation : Relaxation
    known : float
        A bound that is known already, mm of cloth.
    found : float
        Length of a layout, mm of cloth: no more can be proved.
    seconds : float
        Time for it all.
    grids : sequence of float
        Grids to try one after another, mm.

    Raises
    ------
    NoProverError
        If OR-tools is not installed.
    """
    if not has_prover():
        raise NoProverError("OR-tools is not installed")
    from multiprocessing import get_context

    context = get_context("spawn")
    receiving, sending = context.Pipe(duplex=False)
    asked = (relaxation, known, found, seconds, tuple(grids))
    process = context.Process(target=_answer, args=(sending, *asked), daemon=True)
    process.start()
    sending.close()
    try:
        bound: Bound = receiving.recv()
    except EOFError:
        # The system ended it, for want of memory, say: what is known already holds.
        bound = Bound(BoundKind.ARRANGED, 0.0)
    finally:
        process.terminate()
        process.join()
    return bound


def _answer(sending: Any, *asked: Any) -> None:
    """Prove in a process of its own; who interrupts the whole run ends this one, too."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    sending.send(prove_here(*asked))


def prove_here(
    relaxation: Relaxation, known: float, found: float, seconds: float, grids: Sequence[float]
) -> Bound:
    """The same in this process, which must not have loaded highspy."""
    began = time.monotonic()
    best = known
    for grid in grids:
        left = seconds - (time.monotonic() - began)
        if left <= 0.0 or best >= found - 0.5:
            break
        # What a coarse grid cannot prove in half of the time, a finer one will not in less.
        share = left if grid == grids[-1] else left / 2.0
        best = max(best, _Model(relaxation, grid).prove(best, found, share))
    named = tuple(Share(part.key, part.copies, 0.0) for part in relaxation.parts)
    return Bound(BoundKind.ARRANGED, best, named)


class _Model:
    """Starts of all placements on one grid, as a model of CP-SAT."""

    def __init__(self, relaxation: Relaxation, grid: float) -> None:
        from ortools.sat.python import cp_model

        self.relaxation = relaxation
        self.grid = grid
        self.model: Any = cp_model.CpModel()
        self.solver: Any = cp_model.CpSolver()
        self.bars: dict[int, list[tuple[Any, int]]] = {}
        self.edges: dict[tuple[int, int], list[Any]] = {}
        self.lengths: dict[int, Any] = {}

    def prove(self, known: float, found: float, seconds: float) -> float:
        """Length of cloth (mm) that none undercuts."""
        rooms = self.relaxation.rooms
        radius = max(room.radius for room in rooms)
        most = math.floor((found + 2.0 * radius) / self.grid) + 1
        for section in sorted({room.section for room in rooms}):
            self.lengths[section] = self.model.new_int_var(0, most, f"length {section}")
        for part in self.relaxation.parts:
            if not part.divisible:
                self._add_part(part, most)
        for k, room in enumerate(rooms):
            bars = self.bars.get(k, [])
            if bars:
                capacity = math.ceil(room.capacity)
                self.model.add_cumulative(
                    [bar for bar, _ in bars], [width for _, width in bars], capacity
                )
        for intervals in self.edges.values():
            self.model.add_no_overlap(intervals)
        cost = {room.section: round(room.cost) for room in rooms}
        total = sum(cost[section] * length for section, length in self.lengths.items())
        self.model.minimize(total)
        self.solver.parameters.max_time_in_seconds = seconds
        self.solver.parameters.num_workers = WORKERS
        self.solver.parameters.random_seed = 1
        status = self.solver.solve(self.model)
        if self.solver.status_name(status) == "INFEASIBLE":
            # Nothing fits what is longer than a layout that was found: no such thing is proved.
            return known
        lines = max(0, math.ceil(self.solver.best_objective_bound - 1e-6))
        lent = 2.0 * radius * max(cost.values()) * len(self.lengths)
        return self.relaxation.cloth(lines * self.grid - lent)

    def _add_part(self, part: Part, most: int) -> None:
        """As many placements as its copies need: single ones, and pairs that may be."""
        rooms = self.relaxation.rooms
        single: list[tuple[Way, Barred]] = []
        double: list[tuple[Way, Barred]] = []
        for way in part.ways:
            shape = barred(way, rooms[way.room].radius, self.grid)
            if shape is None:
                return
            (single if way.gives == 1 else double).append((way, shape))
        pairs = min(part.pairs, part.copies // 2) if single else -(-part.copies // 2)
        there: list[tuple[Any, int]] = []
        for ways, count, gives in (
            (single, part.copies, 1),
            (double, pairs if double else 0, 2),
        ):
            former = None
            for _ in range(count if ways else 0):
                present = self._placement(ways, most)
                there.append((present, gives))
                if former is not None:
                    # They are all alike: the first of them are used.
                    self.model.add_implication(present, former)
                former = present
        self.model.add(sum(gives * present for present, gives in there) >= part.copies)

    def _placement(self, ways: list[tuple[Way, Barred]], most: int) -> Any:
        """One placement in any of its ways, either end first; returns whether it is there."""
        choices = []
        start = self.model.new_int_var(0, most, "")
        for way, shape in ways:
            section = self.relaxation.rooms[way.room].section
            for one in dict.fromkeys((shape, shape.turned())):
                chosen = self.model.new_bool_var("")
                choices.append(chosen)
                self.model.add(start + one.lines <= self.lengths[section]).only_enforce_if(chosen)
                for bar in one.bars:
                    interval = self.model.new_optional_fixed_size_interval_var(
                        start + bar.begin, bar.lines, chosen, ""
                    )
                    self.bars.setdefault(way.room, []).append((interval, bar.width))
                begin, end = one.on_edge
                if way.edge is not None and end > begin:
                    self.edges.setdefault(way.edge, []).append(
                        self.model.new_optional_fixed_size_interval_var(
                            start + begin, end - begin, chosen, ""
                        )
                    )
        present = self.model.new_bool_var("")
        self.model.add(sum(choices) == present)
        return present
