"""Darts: moved to another edge, or closed so that the fullness opens there."""

from __future__ import annotations

import math
from dataclasses import replace

from pieces.drafting.draft import Draft
from pieces.edits.carrying import Parting, carried
from pieces.edits.cutting import (
    LENGTH,
    EditError,
    Place,
    cut_apart,
    edge_index,
    first_stays,
    moved,
    one_edge,
    turn_about,
)
from pieces.edits.whole import not_the_fold
from pieces.outline import Edge

LEGS_MM = 1.0
"""The legs of a dart differ by no more than this: they are sewn together."""


def move_dart(draft: Draft, legs: tuple[str, str], to: Place, *, closed: bool = False) -> Draft:
    """Close a dart about its point and open it at a place on another edge.

    Parameters
    ----------
    legs : (str, str)
        The edges of the dart, one after the other; they meet at its point.
    to : Place
        Where it opens. The new legs bear the old names.
    closed : bool
        Leave no dart: the fullness stays in the edge (a flare, gathers), bridged straight.

    Raises
    ------
    EditError
        If the edges are no dart, the place lies on a leg, or the cut leaves the piece.
    """
    edges = draft.edges
    one, two = (edge_index(edges, name) for name in legs)
    if two != (one + 1) % len(edges):
        raise EditError(f"'{legs[1]}' does not follow '{legs[0]}': they are no dart")
    first_leg, second_leg = edges[one], edges[two]
    if abs(first_leg.length - second_leg.length) > LEGS_MM:
        raise EditError(
            f"the legs '{legs[0]}' and '{legs[1]}' are {LENGTH} and {LENGTH} long; they are "
            "sewn together",
            first_leg.length,
            second_leg.length,
        )
    not_the_fold(draft, to.edge)
    if to.edge in legs:
        raise EditError(f"'{to.edge}' is a leg of the dart; choose another edge")
    apex = first_leg.points[-1]
    before, after = cut_apart(edges, to, Place(legs[0], first_leg.length))
    # `before` runs from the new place to the point of the dart, `after` from there back.
    a, b = first_leg.points[0], second_leg.points[-1]
    angle = math.atan2(b[1] - apex[1], b[0] - apex[0]) - math.atan2(a[1] - apex[1], a[0] - apex[0])
    if first_stays(draft, before, after):
        parting = Parting(
            edges, to, Place(legs[0], first_leg.length), second=turn_about(apex, -angle)
        )
    else:
        parting = Parting(
            edges, to, Place(legs[0], first_leg.length), first=turn_about(apex, angle)
        )
    before, after = moved(before, parting.first), moved(after, parting.second)
    head = [edge for edge in before if len(edge.points) > 1 and edge.name != legs[0]]
    tail = [edge for edge in after if len(edge.points) > 1 and edge.name not in legs]
    if not head or not tail:
        raise EditError("the dart takes up all of the edge; choose another place")
    start, end = tail[-1], head[0]
    if closed:
        joined = [one_edge(to.edge, start.points, end.points)]
    else:
        names = _halves(to.edge, draft)
        joined = [
            Edge(names[0], start.points),
            Edge(legs[0], (start.points[-1], apex)),
            Edge(legs[1], (apex, end.points[0])),
            Edge(names[1], end.points),
        ]
    whole = (*joined, *head[1:], *tail[:-1])
    made = _with_halves(draft, replace(draft, edges=tuple(whole)), to.edge)
    return carried(draft, made, parting.at, parting.motion)


def _halves(name: str, draft: Draft) -> tuple[str, str]:
    """Names of the two parts of an edge that a dart parts."""
    other = f"{name} beyond"
    taken = set(draft.edge_names)
    while other in taken:
        other += " again"
    return name, other


def _with_halves(before: Draft, after: Draft, name: str) -> Draft:
    """Give the new part of an edge the allowance, and the hem, of the edge that it was part of."""
    allowances, turned_up = dict(after.allowances), after.turned_up
    for edge in after.edge_names:
        if edge not in before.edge_names and name in allowances:
            allowances[edge] = allowances[name]
        if edge not in before.edge_names and name in turned_up:
            turned_up |= {edge}
    return replace(after, allowances=allowances, turned_up=turned_up)
