"""Shortening at a hem: which pieces go together, and what they are then."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from pieces.drafting.alter import move_edge, open_out
from pieces.drafting.draft import Draft, make_piece
from pieces.drafting.soundness import faults
from pieces.lengths import INCH_MM, System, format_length
from pieces.outline import OutlineError, ring_of
from pieces.piece import Piece
from plans.folds.job import FabricJob
from plans.listed import listed
from plans.rescue.changes.change import Attempt, Change, Intrusion, with_pieces

MOST_SHARE = 0.1
"""A piece loses at most this share of its length (common practice, no source)."""

STEPS_MM = {System.METRIC: 5.0, System.IMPERIAL: INCH_MM / 4.0}
"""Steps in which a person shortens: 5 mm or 1/4 in."""


@dataclass(frozen=True)
class Shortened(Change):
    """Drafts that lose `by` (mm) at an edge, all of them the same."""

    drafts: tuple[Draft, ...]
    edge: str
    by: float
    keys: frozenset[str]

    @property
    def intrusion(self) -> Intrusion:
        """The garment is shorter."""
        return Intrusion.SHORTER

    @property
    def touches(self) -> frozenset[str]:
        """All that get shorter here."""
        return self.keys

    def applied(self, attempt: Attempt) -> Attempt | None:
        """Move the edges; None where an outline cannot be so short."""
        job = attempt.job
        for draft in self.drafts:
            wanted = [d.key for d in job.demands if d.piece.name == draft.name]
            if not wanted:
                continue
            piece = shortened_piece(draft, self.edge, self.by)
            if piece is None:
                return None
            for key in wanted:
                job = with_pieces(job, key, (piece,))
        return replace(attempt, known=None, job=job)

    def words(self, system: System) -> str:
        """Which pieces, by how much, and where."""
        names = listed([f"'{draft.name}'" for draft in self.drafts])
        edge = self.edge if "hem" in self.edge else f"edge '{self.edge}'"
        return f"{names} {format_length(self.by, system)} shorter at the {edge}"

    def how(self, system: System) -> str:
        """What the garment file would say."""
        by = format_length(self.by, system)
        return f'shorten = {{ edge = "{self.edge}", by = "{by}" }} in the garment file'


def shortened_piece(draft: Draft, edge: str, by: float) -> Piece | None:
    """Make a draft definite that is shorter by `by` (mm) at an edge; None if it cannot be."""
    try:
        moved = move_edge(draft, edge, -by)
        if faults(moved.edges):
            return None
        piece = make_piece(moved)
        return open_out(piece) if draft.opened_out else piece
    except OutlineError:
        return None


def shortenings(
    job: FabricJob, drafts: tuple[Draft, ...], system: System
) -> list[tuple[Shortened, ...]]:
    """For each set of pieces with one hem, its shortenings from the least to the greatest.

    Pieces that are `like` each other, or that are joined beside the hem (the edge next to it has
    the same name), lose the same. Only sets of which something is cut from this fabric count.
    """
    result = []
    step = STEPS_MM[system]
    for edge, family in _families(drafts):
        names = {draft.name for draft in family}
        keys = frozenset(d.key for d in job.demands if d.piece.name in names)
        if not keys:
            continue
        most = MOST_SHARE * min(_length(draft) for draft in family)
        steps = [k * step for k in range(1, math.floor(most / step + 1e-9) + 1)]
        while steps and any(shortened_piece(d, edge, steps[-1]) is None for d in family):
            steps.pop()
        if steps:
            result.append(tuple(Shortened(family, edge, by, keys) for by in steps))
    return result


def _families(drafts: tuple[Draft, ...]) -> list[tuple[str, tuple[Draft, ...]]]:
    """Edges that are hems, each with the drafts that lose the same there, in file order."""
    hems = {draft.name: hem for draft in drafts if (hem := _hem(draft)) is not None}
    result: list[tuple[str, tuple[Draft, ...]]] = []
    rest = [draft for draft in drafts if draft.name in hems]
    while rest:
        family = [rest.pop(0)]
        for one in family:
            joined = [other for other in rest if _goes_with(one, other, hems)]
            family += joined
            rest = [other for other in rest if other not in joined]
        order = sorted(family, key=drafts.index)
        result.append((hems[order[0].name], tuple(order)))
    return result


def _hem(draft: Draft) -> str | None:
    """The edge at which a piece may be shortened: what is turned up, or called a hem."""
    names = [n for n in draft.edge_names if n in draft.turned_up or "hem" in n.lower().split()]
    return names[0] if names else None


def _goes_with(one: Draft, other: Draft, hems: dict[str, str]) -> bool:
    if hems[one.name] != hems[other.name] or one.owner != other.owner:
        return False
    if one.name == other.like or other.name == one.like or (one.like and one.like == other.like):
        return True
    return bool(_beside(one, hems[one.name]) & _beside(other, hems[other.name]))


def _beside(draft: Draft, edge: str) -> set[str]:
    """Names of the edges next to an edge, but for a fold."""
    names = draft.edge_names
    at = names.index(edge)
    return {names[at - 1], names[(at + 1) % len(names)]} - {draft.fold}


def _length(draft: Draft) -> float:
    """Length of a draft along its grain, mm."""
    arrow = np.asarray(draft.grain[1]) - np.asarray(draft.grain[0])
    along = np.asarray(ring_of(draft.edges)) @ (arrow / np.hypot(*arrow))
    return float(np.ptp(along))
