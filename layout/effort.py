"""How much work a search spends: counts, not seconds, so that a result can be repeated."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from layout.cores import cores

LEAST_MEMBERS = 2
"""Members that search together however few cores there are: it evens out luck."""

CROWD = 25
"""Units from which on each takes longer to place: what lies already is in its way."""

MOST_MEMBERS = 100
"""As many as have a seed of their own."""


def members_here() -> int:
    """As many members as there are cores, so that the work of all takes the time of one."""
    return min(MOST_MEMBERS, max(LEAST_MEMBERS, cores()))


def work_of(units: int) -> float:
    """What it takes to place so many units in one lay, counted in units of a lay that has few."""
    return units * max(1.0, units / CROWD)


@dataclass(frozen=True)
class Effort:
    """Effort of one `solve`.

    The named ones are attributes of the class; whoever needs another makes it, for example with
    `replace(Effort.NORMAL, evaluations=100_000)`. The three that a user names take about 1, 10 and
    120 s, measured on the machine of the table in the contributors' guide; others differ.

    Attributes
    ----------
    name : str
        What it is called where a person reads of it.
    placements : int
        Units placed by the constructive search, over all its orders; where nothing is evaluated,
        many in one lay count for more (`work_of`), but every order worth trying first is decoded.
    evaluations : int
        Positions evaluated by each member of the separation search; 0: none.
    least_orders : int
        Orders decoded however many units there are.
    shared_out : int
        Units placed while items are tried in other sections, many counting for more (`work_of`);
        0: as many as that takes. A layout for which that came to an end early says so
        (`Layout.curtailed`).
    rough : bool
        Whether layouts are only compared with each other: no bound is worked out to end at, and
        pieces are not moved together.
    members : int
        Independent searches of each round of the separation, every one with all of its work; of
        what they find the best counts. The result depends on their number, never on how many
        cores run them.

    Raises
    ------
    ValueError
        If a count is less than nothing, no order would be decoded, or there are no or too many
        members.
    """

    name: str
    placements: int
    evaluations: int = 0
    least_orders: int = 4
    shared_out: int = 0
    rough: bool = False
    members: int = LEAST_MEMBERS

    GLANCE: ClassVar[Effort]
    """A few orders decoded: enough to compare variants of a spread."""
    QUICK: ClassVar[Effort]
    BRISK: ClassVar[Effort]
    """A short separation: enough to choose between two variants that are worth more."""
    NORMAL: ClassVar[Effort]
    THOROUGH: ClassVar[Effort]
    ENDLESS: ClassVar[Effort]
    """Until a time limit or an interrupt; for benchmarks."""

    def __post_init__(self) -> None:
        counts = (self.placements, self.evaluations, self.shared_out)
        if min(counts) < 0 or self.least_orders < 1:
            raise ValueError(f"effort '{self.name}': counts of work cannot be less than nothing")
        if not 1 <= self.members <= MOST_MEMBERS:
            raise ValueError(f"effort '{self.name}': from 1 to {MOST_MEMBERS} members search")


Effort.GLANCE = Effort("glance", 60, least_orders=2, shared_out=250)
Effort.QUICK = Effort("quick", 800, shared_out=800)
Effort.BRISK = Effort("brisk", 800, 4_000_000)
Effort.NORMAL = Effort("normal", 800, 16_000_000)
Effort.THOROUGH = Effort("thorough", 1200, 300_000_000)
Effort.ENDLESS = Effort("endless", 60, 10**15, least_orders=1)
