"""The plain arrays of a search through branches, bundled so that calls stay readable."""

from __future__ import annotations

from typing import Any, NamedTuple


class Box(NamedTuple):
    """Ranges of all unknowns, and how far each unit reaches beyond its place (mm)."""

    low: Any
    high: Any
    reach: Any


class Lines(NamedTuple):
    """normal . (place of second - place of first) >= least, one row each."""

    first: Any
    second: Any
    normal: Any
    least: Any


class Corner(NamedTuple):
    """A corner of a programme: active constraints, the inverse of their rows, duals, the point."""

    active: Any
    inverse: Any
    dual: Any
    at: Any


class Kinds(NamedTuple):
    """What a unit of each kind may choose from: sets of poses, from all of a slot to single ones.

    Attributes
    ----------
    range : (K, S, 5) array
        Of each set: least x, greatest x (inf if free), least y, greatest y, reach in x (mm).
    begin, count : (K, S) arrays
        The sets that a set is told apart into; none if it is a single pose.
    """

    range: Any
    begin: Any
    count: Any


class Regions(NamedTuple):
    """No-go regions by kind and set of the first and the second unit.

    `index` is (K, S, K, S): -1 where it is not worked out yet. `bounds` is (R, 4): least and
    greatest x, least and greatest y; `first` (R + 1,) says where each one's `edges` begin.
    """

    index: Any
    bounds: Any
    first: Any
    edges: Any


class Cases(NamedTuple):
    """Which units there are: `kind` is (C, units), and lines that hold anyway: `begin` (C + 1,)."""

    kind: Any
    begin: Any
    lines: Any


class Asked(NamedTuple):
    """What is asked: which units, how they may lie, and the cost of each unknown."""

    cost: Any
    cases: Cases
    kinds: Kinds
    regions: Regions


class Tree(NamedTuple):
    """All branches so far; those still open are a heap by their bounds.

    `size` is (4,): branches, open ones, sides; and the branch that fits, or what region is wanted.
    """

    value: Any
    parent: Any
    case: Any
    sets: Any
    active: Any
    side: Any
    """Where its parent's sides begin, -1 if it comes of no sides."""
    behind: Any
    """Which of them it is behind."""
    normal: Any
    least: Any
    pair: Any
    """(sides, 2): first and second unit."""
    heap: Any
    size: Any


class Room(NamedTuple):
    """Room to work in; all of it is written to."""

    box: Box
    lines: Lines
    corner: Corner
    child: Corner
    square: Any
    alpha: Any
    path: Any
    left: Any
    reach: Any
    normal: Any
    least: Any
    worst: Any
    """(W, 3): pairs that overlap most, and their regions."""
    depth: Any
    """(W,): how deep (mm)."""
    step: Any
    """(4,): how a child differs from its parent (`added`)."""
    asked: Any
    """(4,): kinds and sets of the region that is wanted."""
