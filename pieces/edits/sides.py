"""Sides trued after a piece was made longer or shorter at a line across it."""

from __future__ import annotations

import math
from dataclasses import replace

from pieces.drafting.draft import Draft
from pieces.edits.lines import true_edge
from pieces.outline import Edge, is_straight


def true_sides(before: Draft, after: Draft) -> Draft:
    """Redraw every edge that the line crossed: straight ones straight, others smooth.

    Edges along the grain that only grew or shrank are straight still, and stay.
    """
    edges = list(after.edges)
    for index, (old, new) in enumerate(zip(before.edges, after.edges, strict=True)):
        if old.name == before.fold or abs(old.length - new.length) < 1e-6:
            continue
        if is_straight(old.points):
            edges[index] = Edge(new.name, (new.points[0], new.points[-1]))
        elif _was_crossed(old, new):
            edges[index] = true_edge(after, new.name).edges[index]
    return replace(after, edges=tuple(edges))


def _was_crossed(old: Edge, new: Edge) -> bool:
    """Whether one end moved and the other did not."""
    ends = [math.dist(old.points[k], new.points[k]) > 1e-6 for k in (0, -1)]
    return ends[0] != ends[1]
