"""Whether a draft is one whole after an edit: edges that meet, names of their own, its fold."""

from __future__ import annotations

import math
from dataclasses import replace

from pieces.drafting.draft import Draft
from pieces.edits.cutting import LENGTH, NEAR_MM, EditError
from pieces.outline import Edge

SNAP_MM = 1.0
"""Ends of edges that are apart by no more than this are brought together."""


def whole(before: Draft, after: Draft) -> Draft:
    """Return the draft without edges that shrank to a point, its ends brought together.

    Raises
    ------
    EditError
        If two edges bear one name, the fold is gone, or the outline comes apart.
    """
    edges = [edge for edge in after.edges if edge.length > NEAR_MM]
    names = [edge.name for edge in edges]
    for name in names:
        if names.count(name) > 1:
            raise EditError(
                f"it leaves two edges named '{name}'; part them under other names first"
            )
    if before.fold is not None and after.fold is not None and after.fold not in names:
        raise EditError(f"'{after.fold}' lies on the fold, and would be gone")
    for k, edge in enumerate(edges):
        last = edges[k - 1]
        gap = math.dist(last.points[-1], edge.points[0])
        if gap > SNAP_MM:
            raise EditError(
                f"'{last.name}' and '{edge.name}' come apart by {LENGTH}; change it by less",
                gap,
            )
        if gap > 0.0:
            edges[k] = Edge(edge.name, (last.points[-1], *edge.points[1:]))
    kept = set(names)
    return replace(
        after,
        edges=tuple(edges),
        turned_up=after.turned_up & kept,
        allowances={n: w for n, w in after.allowances.items() if n in kept},
        notches=tuple(notch for notch in after.notches if notch.edge in kept),
        match_places=tuple(place for place in after.match_places if place.edge in kept),
    )


def not_the_fold(draft: Draft, *names: str) -> None:
    """Refuse to change an edge that lies on the fold.

    Raises
    ------
    EditError
        If one of the edges is the fold.
    """
    if draft.fold in names:
        raise EditError(f"'{draft.fold}' lies on the fold and stays as it is")
