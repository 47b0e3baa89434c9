"""Ruling out all layouts of some units that are shorter than a limit, as far as work permits."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from enum import Enum

import numpy as np
from shapely.geometry.base import BaseGeometry

from layout.bounds.terms.relaxation import SLACK_MM
from layout.kernels.branches import arrays, branching
from layout.kernels.branches.outside import MOST_SIDES
from layout.proofs.places import Case, Kind
from layout.proofs.regions import NoGo
from layout.proofs.twins import mirrored

ACCEPTED_MM = 0.25
"""Overlap that counts as none: to rule it out takes long, and proves hardly more."""

SORTED = 1e-7
"""Cost of a mm of any place beside that of the length: no two corners are as good."""

STEPS = 2000
"""Branches looked at before it is asked again whether to go on."""

FIRST_BRANCHES = 1 << 12
"""Room for branches to begin with."""

MOST_DEEP = 400
"""Branches one below another at most."""

MOST_JUDGED = 3
"""Pairs that overlap most, of which that is branched over that tells most."""


class Ended(Enum):
    """How a search for a proof ended."""

    RULED_OUT = "nothing shorter than the limit is possible"
    FITS = "these pieces alone may lie so short"
    STOPPED = "there was no more time, or no more room"


class Ruling:
    """A search through all layouts of the units of some cases.

    Parameters
    ----------
    cases : sequence of Case
        Any of them may be what is laid.
    gap : float
        Gap between pieces, mm.
    limit : float
        Extent (mm) beyond which nothing is of interest.
    kept : dict
        No-fit polygons that are worked out already; written to.
    """

    def __init__(
        self, cases: Sequence[Case], gap: float, limit: float, kept: dict[object, BaseGeometry]
    ) -> None:
        self.limit = limit
        self.kinds: list[Kind] = []
        number: dict[int, int] = {}
        for kind in itertools.chain.from_iterable(cases):
            if id(kind) not in number:
                number[id(kind)] = len(self.kinds)
                self.kinds.append(kind)
        self.units = max(len(case) for case in cases)
        self.n = 2 * self.units + 1
        table = np.full((len(cases), self.units), -1, dtype=np.int64)
        for row, case in zip(table, cases, strict=True):
            row[: len(case)] = sorted(number[id(kind)] for kind in case)
        self.regions = NoGo(self.kinds, gap, kept)
        self.cost = np.full(self.n, SORTED) * (1.0 + np.arange(self.n) / self.n)
        self.cost[-1] = 1.0
        kinds = self._kinds()
        highest = np.where(np.isfinite(kinds.range[:, :, 1]), kinds.range[:, :, 1], limit)
        most = max(float(highest.max()), float(kinds.range[:, :, 3].max()), limit)
        self.lent = 2.0 * SORTED * self.n * most
        self.asked = arrays.Asked(
            self.cost, _with_orders(table, self.kinds), kinds, self.regions.arrays()
        )  # fmt: skip
        self.tree = _tree(FIRST_BRANCHES, self.units)
        self.room = _room(self.units, 0)
        self._sets = [range(kind.slots) for kind in self.kinds]
        self._plant(table)

    @property
    def least(self) -> float:
        """No layout has a smaller extent (mm), nor one beyond the limit."""
        if not self.tree.size[1]:
            return self.limit
        return max(0.0, min(self.limit, float(self.tree.value[self.tree.heap[0]]) - self.lent))

    @property
    def branches(self) -> int:
        """Branches so far."""
        return int(self.tree.size[0])

    def run(self, stop: Callable[[], bool], most: int) -> Ended:
        """Go on until the limit is proved, something fits, or it is to stop.

        `most` branches are made, or few more.
        """
        while not stop() and self.branches < most:
            ended = branching.branch(
                STEPS, self.limit + self.lent, ACCEPTED_MM, self.asked, self.tree, self.room
            )
            if ended == branching.RULED_OUT:
                return Ended.RULED_OUT
            if ended == branching.FITS:
                return Ended.FITS
            if ended == branching.FULL:
                try:
                    self.tree = _grown(self.tree)
                except MemoryError:
                    # What is proved holds.
                    return Ended.STOPPED
            elif ended == branching.REGION_WANTED:
                self.regions.work_out(*(int(k) for k in self.room.asked))
                self._renew_regions()
        return Ended.STOPPED

    def _renew_regions(self) -> None:
        self.asked = self.asked._replace(regions=self.regions.arrays())
        edges = len(self.asked.regions.edges)
        if edges > len(self.room.left):
            self.room = self.room._replace(left=np.zeros((2 * edges, 4)))

    def _kinds(self) -> arrays.Kinds:
        most = max(len(kind.sets) for kind in self.kinds)
        ranges = np.zeros((len(self.kinds), most, 5))
        begin = np.zeros((len(self.kinds), most), dtype=np.int64)
        count = np.zeros_like(begin)
        for k, kind in enumerate(self.kinds):
            for s, chosen in enumerate(kind.sets):
                places = [kind.places[index] for index in chosen]
                ranges[k, s] = (
                    min(p.x_from if p.x_fixed is None else p.x_fixed - SLACK_MM for p in places),
                    max(np.inf if p.x_fixed is None else p.x_fixed + SLACK_MM for p in places),
                    min(p.y_from for p in places),
                    max(p.y_to for p in places),
                    min(p.x_reach for p in places),
                )
                begin[k, s], count[k, s] = kind.parts(s)
        return arrays.Kinds(ranges, begin, count)

    def _plant(self, table: np.ndarray) -> None:
        """The first branch of each case and choice of slots."""
        for case, row in enumerate(table):
            choices = [self._sets[k] if k >= 0 else range(1) for k in row.tolist()]
            for chosen in itertools.product(*choices):
                if self.tree.size[0] + 1 >= len(self.tree.value):
                    self.tree = _grown(self.tree)
                node = self.tree.size[0]
                self.tree.parent[node] = self.tree.side[node] = -1
                self.tree.case[node], self.tree.sets[node] = case, chosen
                self.tree.active[node] = _first_corner(self.n)
                self.tree.heap[self.tree.size[1]] = node
                self.tree.size[:2] += 1


def _with_orders(table: np.ndarray, kinds: Sequence[Kind]) -> arrays.Cases:
    """Units that are alike may follow one another along the lay; so may two in a lay turned about.

    Where each layout has a twin (`mirrored`), only that is looked at in which the first of two
    certain units does not lie behind the second, or not above it.
    """
    rows: list[tuple[int, int, int]] = []
    begin = [0]
    for row in table.tolist():
        rows += [(i, i + 1, 0) for i in range(len(row) - 1) if row[i] >= 0 and row[i] == row[i + 1]]
        single = [i for i, kind in enumerate(row) if kind >= 0 and row.count(kind) == 1]
        if len(single) > 1:
            used = [kinds[k] for k in sorted(set(row)) if k >= 0]
            rows += [(single[0], single[1], axis) for axis in mirrored(used)]
        begin.append(len(rows))
    lines = _lines(len(rows))
    for k, (first, second, axis) in enumerate(rows):
        lines.first[k], lines.second[k] = first, second
        lines.normal[k, axis] = 1.0
    return arrays.Cases(table, np.array(begin, dtype=np.int64), lines)


def _first_corner(n: int) -> list[int]:
    """Constraints of a corner to begin at: least places, and the first unit's reach the length."""
    return [*range(n - 1), 2 * n]


def _lines(count: int) -> arrays.Lines:
    return arrays.Lines(
        np.zeros(count, dtype=np.int64), np.zeros(count, dtype=np.int64), np.zeros((count, 2)),
        np.zeros(count),
    )  # fmt: skip


def _tree(branches: int, units: int) -> arrays.Tree:
    sides = 2 * branches
    return arrays.Tree(
        value=np.zeros(branches),
        parent=np.zeros(branches, dtype=np.int32),
        case=np.zeros(branches, dtype=np.int32),
        sets=np.zeros((branches, units), dtype=np.int16),
        active=np.zeros((branches, 2 * units + 1), dtype=np.int16),
        side=np.zeros(branches, dtype=np.int32),
        behind=np.zeros(branches, dtype=np.int16),
        normal=np.zeros((sides, 2)),
        least=np.zeros(sides),
        pair=np.zeros((sides, 2), dtype=np.int16),
        heap=np.zeros(branches, dtype=np.int32),
        size=np.zeros(4, dtype=np.int64),
    )


def _grown(tree: arrays.Tree) -> arrays.Tree:
    """The same with twice the room."""
    larger = {
        name: np.concatenate([array, np.zeros_like(array)])
        for name, array in tree._asdict().items()
        if name != "size"
    }
    return tree._replace(**larger)


def _room(units: int, edges: int) -> arrays.Room:
    n = 2 * units + 1
    corners = [
        arrays.Corner(
            np.zeros(n, dtype=np.int64), np.zeros((n, n)), np.zeros(n), np.zeros(n)
        )
        for _ in range(2)
    ]  # fmt: skip
    return arrays.Room(
        box=arrays.Box(np.zeros(n), np.zeros(n), np.zeros(units)),
        lines=_lines(branching.MOST_LINES),
        corner=corners[0],
        child=corners[1],
        square=np.zeros((n, n)),
        alpha=np.zeros(n),
        path=np.zeros(MOST_DEEP, dtype=np.int64),
        left=np.zeros((edges, 4)),
        reach=np.zeros(4),
        normal=np.zeros((MOST_SIDES, 2)),
        least=np.zeros(MOST_SIDES),
        worst=np.zeros((MOST_JUDGED, 3), dtype=np.int64),
        depth=np.zeros(MOST_JUDGED),
        step=np.zeros(4, dtype=np.int64),
        asked=np.zeros(4, dtype=np.int64),
    )
