"""Shortening a lay: cut it shorter, separate what overlaps, and go on from what fits.

Exploration takes steps that adapt to success, and when it is stuck separates with patience from
perturbed layouts; compression then takes small steps on the best (Elkeran, EJOR 231, 2013; Gardeyn
et al. 2025 for the two phases). Everything is counted in evaluated positions, so that the same seed
gives the same layout.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

import numpy as np

from layout.kernels.arrays import WITHOUT_RELIEFS, Least, Tunables, Work
from layout.kernels.ranges import position_range
from layout.kernels.rounds import GOING, SOLVED, SPENT, separate
from layout.search.pack import Packed, units_of
from layout.search.state import State
from pieces.geometry_types import FloatArray, IntArray

LOWEST = 6
"""Places of a relief that are judged exactly, for each way of lying."""

MOST_PLACES = 2**15
"""Places that are surveyed at once; so few that they stay in the cache."""

CHECKS = (20, 60, 180)
"""Rounds after which tries on one length are held beside each other."""

FEWEST_SEEN = 3
"""Tries that are seen through without asking, for there must be some to be held beside."""

ALIKE = 0.3
"""How unlike the units are that change places: the scale of a half-normal rank, as a share."""

Snapshot = tuple[IntArray, FloatArray, FloatArray]


class Phase(Enum):
    """What a member spends its work on."""

    EXPLORE = "explore"
    COMPRESS = "compress"


@dataclass(frozen=True)
class Settings:
    """Numbers that steer the search; measured on instances of our own (`tests.bench`).

    Attributes
    ----------
    first_step, least_step : float
        Greatest and least share by which a lay is shortened at a try.
    hasty, patient : int
        Rounds without progress that a hasty and a patient separation endure.
    cuts : int
        Places where a lay is cut shorter before it counts as stuck.
    stuck_step : float
        Share by which a stuck lay is shortened for the patient separation.
    strikes : int
        Times that a patient separation starts again from its least overlap.
    """

    first_step: float = 0.02
    least_step: float = 0.001
    hasty: int = 12
    patient: int = 200
    cuts: int = 3
    stuck_step: float = 0.003
    strikes: int = 1
    squeeze_step: float = 0.0005


OnExtent = Callable[[State, float], bool]


class Race:
    """Tries on one length, of which only those that are not behind at a check go on.

    Most tries end far from fitting and show it early: to see all of them through takes a third
    longer until one fits (measured with one check).
    """

    def __init__(self) -> None:
        self._seen: dict[int, list[float]] = {rounds: [] for rounds in CHECKS}

    def behind(self, rounds: int, overlap: float) -> bool:
        """Whether a try has more overlap left (mm) after so many rounds than half of the others."""
        seen = self._seen.get(rounds)
        if seen is None:
            return False
        seen.append(overlap)
        return len(seen) > FEWEST_SEEN and overlap > float(np.median(seen))


class Explorer:
    """One member of the portfolio: a seeded search on one model."""

    def __init__(
        self,
        packed: Packed,
        state: State,
        evaluations: int,
        seed: int,
        stop: Callable[[], bool],
        on_better: OnExtent,
        settings: Settings | None = None,
    ) -> None:
        self.packed = packed
        self.model = packed.model
        self.settings = settings or Settings()
        self.units = units_of(packed, state)
        self.movable = len(self.model.units)
        self.count = len(self.units.x)
        self.limit = evaluations
        self.stop = stop
        self.on_better = on_better
        self.rng = np.random.default_rng(seed)
        self.done = np.zeros(1, dtype=np.int64)
        self.memory = np.zeros(2)
        surveyed = len(packed.nofits.reliefs.begin) > 0
        self.tunables = Tunables() if surveyed else WITHOUT_RELIEFS
        self.work = Work(
            np.array([int(self.rng.integers(1, 2**63 - 1))], dtype=np.uint64), self.done,
            self.memory, np.zeros((self.count, self.count)),
            np.zeros(self.movable, dtype=np.int32), np.zeros((8, 16)),
            np.zeros(self.count, dtype=np.int32), np.zeros(MOST_PLACES, dtype=np.float32),
            np.zeros((LOWEST if surveyed else 0, 3)),
        )  # fmt: skip
        self.least = Least(
            np.zeros(self.movable, dtype=np.int32),
            np.zeros(self.movable),
            np.zeros(self.movable),
        )
        self.best: Snapshot = self._snapshot()
        self.length = self._extent()
        self.enough = False

    def run(self, phase: Phase) -> State:
        """Spend the work in one phase; return the best state."""
        if phase is Phase.EXPLORE:
            self._explore(self.limit)
        else:
            self._compress(self.limit)
        return self._state(self.best)

    def fit(self, length: float, tries: int) -> State | None:
        """Separate what overlaps within a length (mm); None if it goes on overlapping.

        After each try but the last two large units change places.
        """
        if not self._clamp(length):
            return None
        s = self.settings
        for number in range(tries):
            if number:
                self._exchange(length)
            if self._separate(length, s.patient, s.strikes, self.limit, 5):
                return self._state(self._snapshot())
            if self._over(self.limit):
                return None
        return None

    def _over(self, limit: int) -> bool:
        if self.length <= self.model.least:
            # What is kept where it is takes as much.
            return True
        return self.enough or int(self.done[0]) >= limit or self.stop()

    def _explore(self, limit: int) -> None:
        s = self.settings
        step = s.first_step
        failed = 0
        while not self._over(limit):
            length = self.length * (1.0 - step)
            self._restore(self.best)
            if not self._shorten(length):
                step, failed = step * 0.5, failed + 1
                if step < s.least_step * 0.1:
                    return
                continue
            if self._separate(length, s.hasty, 1, limit, 1):
                self._keep()
                step, failed = min(s.first_step, step * 1.5), 0
                continue
            if step > s.least_step:
                step = max(step * 0.5, s.least_step * 0.5)
                continue
            failed += 1
            if failed >= s.cuts:
                self._break_out(limit)
                step, failed = 0.004, 0

    def _break_out(self, limit: int) -> None:
        """Separate with patience from perturbed layouts until one fits a shorter lay."""
        s = self.settings
        length = self.length * (1.0 - s.stuck_step)
        self._restore(self.best)
        self._forget()
        if not self._shorten(length):
            self.done[0] += 1000
            return
        pool: list[tuple[float, Snapshot]] = []
        race = Race()
        while not self._over(limit):
            if self._separate(length, s.patient, s.strikes, limit, 5, race):
                self._keep()
                return
            pool.append((float(self.memory[0]), self._snapshot()))
            pool.sort(key=lambda entry: entry[0])
            del pool[20:]
            # Mostly the least overlap so far, now and then another (half-normal rank).
            rank = min(abs(float(self.rng.normal(0.0, 0.25))), 0.999)
            self._restore(pool[int(rank * len(pool))][1])
            self._exchange(length)

    def _compress(self, limit: int) -> None:
        s = self.settings
        begin = int(self.done[0])
        while not self._over(limit):
            progress = (int(self.done[0]) - begin) / max(1, limit - begin)
            step = s.squeeze_step * (1.0 - progress) + 1e-5 * progress
            length = self.length * (1.0 - step)
            self._restore(self.best)
            if not self._shorten(length):
                self.done[0] += 1000
                continue
            if self._separate(length, s.patient, s.strikes, limit, 5):
                self._keep()

    def _shorten(self, length: float) -> bool:
        """Cut the lay at a random place and slide what lies right of it to the left."""
        middle = 0.5 * (self.units.box[0, : self.movable] + self.units.box[1, : self.movable])
        cut = self.rng.uniform(0.0, self.length)
        self.units.x[: self.movable][middle > cut] -= self.length - length
        return self._clamp(length)

    def _clamp(self, length: float) -> bool:
        """Bring every unit into its range; False if one has none in its way or any other."""
        for i in range(self.movable):
            way = int(self.units.way[i])
            low_x, high_x, low_y, high_y = position_range(way, length, self.packed.ways)
            if high_x < low_x - 1e-7:
                way = self._other_way(i, length)
                if way < 0:
                    return False
                low_x, high_x, low_y, high_y = position_range(way, length, self.packed.ways)
                self.units.way[i] = way
                self.units.shape[i] = self.packed.ways.shape[way]
            pitch = self.packed.ways.pitch[way]
            x = min(max(float(self.units.x[i]), low_x), max(low_x, high_x))
            y = min(max(float(self.units.y[i]), low_y), max(low_y, high_y))
            if pitch[0] > 0.0:
                x = pitch[1] + round((x - pitch[1]) / pitch[0]) * pitch[0]
            if pitch[2] > 0.0:
                y = pitch[3] + round((y - pitch[3]) / pitch[2]) * pitch[2]
            self.units.x[i], self.units.y[i] = x, y
            extent = self.packed.ways.extent[way]
            self.units.box[:, i] = [x + extent[0], x + extent[2], y + extent[1], y + extent[3]]
        return True

    def _other_way(self, i: int, length: float) -> int:
        kind = int(self.units.kind[i])
        ways = self.packed.ways
        for way in range(int(ways.first[kind]), int(ways.first[kind + 1])):
            low_x, high_x, _, _ = position_range(way, length, ways)
            if high_x >= low_x - 1e-7:
                return way
        return -1

    def _forget(self) -> None:
        """Weigh all pairs as in the beginning.

        What was hard goes on being hard in a lay that is a little shorter, so that weights are kept
        from one separation to the next; but not where units have changed places.
        """
        self.units.weight[:] = self.units.base

    def _separate(
        self, length: float, patience: int, strikes: int, limit: int, rounds: int,
        race: Race | None = None,
    ) -> bool:  # fmt: skip
        self.memory[:] = (1e300, 0.0)
        ran = 0
        struck = 0
        reached: float | None = None
        while True:
            ended = separate(
                rounds, patience, length, limit, self.tunables, self.work, self.least, self.count,
                self.movable, self.units, self.packed.ways, self.packed.nofits,
            )  # fmt: skip
            if ended == SOLVED:
                return True
            if ended == SPENT or (ended == GOING and self.stop()):
                self._restore(self.least)
                return False
            if ended == GOING:
                ran += rounds
                if race is not None and race.behind(ran, float(self.memory[0])):
                    self._restore(self.least)
                    return False
                continue
            struck = struck + 1 if reached is None or self.memory[0] > 0.98 * reached else 0
            reached = float(self.memory[0])
            self._restore(self.least)
            self.memory[1] = 0.0
            if struck >= strikes:
                return False

    def _exchange(self, length: float) -> None:
        """Let a large unit and one of another kind, mostly much like it, change places."""
        self._forget()
        kinds = self.units.kind[: self.movable]
        worth = self.model.areas * self.units.reach[: self.movable]
        order = np.argsort(-worth, kind="stable")
        share = np.cumsum(worth[order]) / worth.sum()
        large = order[: max(2, int(np.searchsorted(share, 0.75)) + 1)]
        i = int(self.rng.choice(large))
        others = np.flatnonzero(kinds != kinds[i])
        if len(others) == 0:
            return
        extent = self.packed.ways.extent[self.units.way[: self.movable]]
        size = extent[:, 2:] - extent[:, :2]
        unlike = np.abs(size[others] - size[i]).sum(axis=1)
        # Those that are alike in the same measure, such as copies, come in any order.
        ranked = others[np.lexsort((self.rng.random(len(others)), unlike))]
        rank = min(abs(float(self.rng.normal(0.0, ALIKE))), 0.999)
        j = int(ranked[int(rank * len(ranked))])
        box = self.units.box
        centre_i = (0.5 * (box[0, i] + box[1, i]), 0.5 * (box[2, i] + box[3, i]))
        centre_j = (0.5 * (box[0, j] + box[1, j]), 0.5 * (box[2, j] + box[3, j]))
        self.units.x[i] += centre_j[0] - centre_i[0]
        self.units.y[i] += centre_j[1] - centre_i[1]
        self.units.x[j] += centre_i[0] - centre_j[0]
        self.units.y[j] += centre_i[1] - centre_j[1]
        self._clamp(length)

    def _keep(self) -> None:
        """Take the present, separated state as the best."""
        # Nothing need begin at the left end: move all there unless something is tied to a place.
        free = not self.model.obstacles and not np.isfinite(self.packed.ways.box[:, 4]).any()
        if free and not self.packed.ways.pitch[:, 0].any():
            ways = self.packed.ways
            way = self.units.way[: self.movable]
            spare = float((self.units.x[: self.movable] - ways.box[way, 0]).min())
            self.units.x[: self.movable] -= spare
        extent = self._extent()
        if extent < self.length:
            self.best, self.length = self._snapshot(), extent
            self.enough = self.on_better(self._state(self.best), extent)

    def _extent(self) -> float:
        way = self.units.way[: self.movable]
        return float((self.units.x[: self.movable] + self.packed.ways.box[way, 1]).max())

    def _snapshot(self) -> Snapshot:
        m = self.movable
        return self.units.way[:m].copy(), self.units.x[:m].copy(), self.units.y[:m].copy()

    def _restore(self, snapshot: Snapshot) -> None:
        m = self.movable
        self.units.way[:m], self.units.x[:m], self.units.y[:m] = snapshot
        ways = self.packed.ways
        self.units.shape[:m] = ways.shape[self.units.way[:m]]
        extent = ways.extent[self.units.way[:m]]
        self.units.box[0, :m] = self.units.x[:m] + extent[:, 0]
        self.units.box[1, :m] = self.units.x[:m] + extent[:, 2]
        self.units.box[2, :m] = self.units.y[:m] + extent[:, 1]
        self.units.box[3, :m] = self.units.y[:m] + extent[:, 3]

    def _state(self, snapshot: Snapshot) -> State:
        way, x, y = snapshot
        kinds = self.units.kind[: self.movable]
        return State((way - self.packed.begins[kinds]).astype(np.int32), x.copy(), y.copy())
