"""What can lie nowhere else needs its length of a fold edge."""

from __future__ import annotations

import math

from layout.bounds.terms.bound import Bound, BoundKind, Share
from layout.problem import Section, Slot
from layout.strip_problem import StripProblem


def fold_edge_bound(problem: StripProblem) -> Bound:
    """Lengths of the fold edges of pieces that can lie nowhere else, over the fold edges there are.

    Along one fold line the edges of n pieces and the n - 1 gaps between them take their sum.
    """
    sections = problem.sections
    shares: list[Share] = []
    for item in problem.items:
        if not all(_along_fold(slot, sections) for slot in item.slots):
            continue
        lengths = [
            math.dist(*line)
            for slot in item.slots
            if (line := item.fold_lines[slot.shape]) is not None
        ]
        shares.append(Share(item.key, item.demand, item.demand * min(lengths)))
    edges = [sum(1 for edge in section.spread.fold_edges if edge.along) for section in sections]
    if not shares or not max(edges):
        return Bound(BoundKind.FOLD_EDGES, 0.0)
    gaps = max(0, sum(share.copies for share in shares) - sum(edges)) * problem.gap
    total = sum(share.length for share in shares) + gaps
    return Bound(BoundKind.FOLD_EDGES, total / max(edges), tuple(shares))


def _along_fold(slot: Slot, sections: tuple[Section, ...]) -> bool:
    if slot.fold_edge is None:
        return False
    return sections[slot.section].spread.fold_edges[slot.fold_edge].along
