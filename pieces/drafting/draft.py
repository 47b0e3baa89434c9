"""A piece as it is drafted: named edges, allowances and labels, before it is made definite."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from pieces.drafting.allowance import cutting_line, this_side
from pieces.drafting.notches import Foot, add_notches, foot_of, outward_at
from pieces.geometry_types import Point, Ring
from pieces.outline import Edge, counter_clockwise, ring_of, signed_area
from pieces.piece import Change, Cut, EdgeAllowance, Joining, MatchPoint, Piece, Side, Turns


@dataclass(frozen=True)
class Notch:
    """A notch at a distance (mm) along an edge from its start; `name` may be empty."""

    edge: str
    along: float
    name: str = ""


@dataclass(frozen=True)
class MatchPlace:
    """A match point that is given by an edge and the distance (mm) along it, or by a notch.

    It moves with the edge; `point` carries all but the place.
    """

    point: MatchPoint
    edge: str
    along: float


@dataclass(frozen=True)
class Step:
    """One edit of a draft: what was done, and the outline before and after it."""

    change: Change
    before: tuple[Edge, ...]
    after: tuple[Edge, ...]


@dataclass(frozen=True)
class Draft:
    """A drafted piece; coordinates and lengths in mm.

    Attributes
    ----------
    name : str
    edges : tuple of Edge
        Closed; the stitching line if `net`, else the cutting line.
    grain : (Point, Point)
        Tail and head.
    net : bool
        Whether allowance is still to be added.
    allowance : float
        Of edges that `allowances` does not name.
    allowances : dict of str to float
    fold : str or None
        Name of the edge on the fold.
    turned_up : frozenset of str
        Hems whose allowance is mirrored about the hem line.
    notches : tuple of Notch
    match_places : tuple of MatchPlace
        Match points that lie on edges; those of `match_points` lie at points.
    like : str
        Name of the piece whose draft this was made from; empty if it was drawn by itself.
    steps : tuple of Step
        Edits in the order in which they were made.
    opened_out : bool
        Whether the whole is laid though a half is drawn (done by whoever makes it definite).
    owner : str
        Garment that it belongs to where several are cut together (as in `Piece`).
    """

    name: str
    edges: tuple[Edge, ...]
    grain: tuple[Point, Point]
    net: bool = False
    allowance: float = 0.0
    allowances: dict[str, float] = field(default_factory=dict)
    fold: str | None = None
    turned_up: frozenset[str] = frozenset()
    notches: tuple[Notch, ...] = ()
    cuts: tuple[Cut, ...] = ()
    turns: Turns = Turns.ALONG
    heading_free: bool = False
    drawn_hand: Side | None = None
    match_points: tuple[MatchPoint, ...] = ()
    match_places: tuple[MatchPlace, ...] = ()
    joining: Joining | None = None
    strip: tuple[float, float] | None = None
    notes: tuple[Change, ...] = ()
    like: str = ""
    steps: tuple[Step, ...] = ()
    opened_out: bool = False
    owner: str = ""

    def edge(self, name: str) -> Edge:
        """Return an edge by name.

        Raises
        ------
        KeyError
            If there is none.
        """
        return {edge.name: edge for edge in self.edges}[name]

    @property
    def edge_names(self) -> tuple[str, ...]:
        """Names of the edges in order."""
        return tuple(edge.name for edge in self.edges)


def make_piece(draft: Draft) -> Piece:
    """Make a draft definite: allowance added, notches cut, everything counter-clockwise.

    Raises
    ------
    OutlineError
        If the allowance does not suit the outline.
    """
    places = tuple(point_along(draft.edge(notch.edge), notch.along) for notch in draft.notches)
    edges = counter_clockwise(draft.edges)
    stitching = ring_of(edges) if draft.net else None
    added: tuple[EdgeAllowance, ...] = ()
    if draft.net:
        widths = widths_of(draft)
        outline = cutting_line(edges, widths, draft.turned_up, draft.fold)
        added = tuple(
            EdgeAllowance(name, widths[name], name in draft.turned_up)
            for name in draft.edge_names
            if name != draft.fold
        )
    else:
        outline = ring_of(edges)
    if places:
        outline = add_notches(outline, notch_feet(draft, outline))
        if draft.fold is not None:
            # Of a notch at the fold half is cut: opened out it is whole.
            on_fold = next(edge for edge in edges if edge.name == draft.fold)
            outline = tuple(this_side(list(outline), on_fold.points[0], on_fold.points[-1]))
    fold = None
    if draft.fold is not None:
        fold = _fold_on_cutting_line(draft.edge(draft.fold), outline)
    return Piece(
        name=draft.name,
        outline=outline,
        grain=draft.grain,
        cuts=draft.cuts,
        stitching=stitching,
        fold=fold,
        turns=draft.turns,
        heading_free=draft.heading_free,
        drawn_hand=draft.drawn_hand,
        notches=places,
        match_points=draft.match_points
        + tuple(
            replace(place.point, at=point_along(draft.edge(place.edge), place.along))
            for place in draft.match_places
        ),
        joining=draft.joining,
        strip=draft.strip,
        notes=draft.notes,
        net=draft.net,
        allowances=added,
    )


def notch_feet(draft: Draft, ring: Ring) -> tuple[Foot, ...]:
    """Where the notches of a draft stand on its cutting line (`ring`, without notches)."""
    is_ccw = signed_area(ring_of(draft.edges)) >= 0.0
    widths = widths_of(draft)
    feet = []
    for notch in draft.notches:
        edge = draft.edge(notch.edge)
        out = outward_at(edge, notch.along, is_ccw)
        feet.append(foot_of(ring, point_along(edge, notch.along), out, widths[notch.edge]))
    return tuple(feet)


def widths_of(draft: Draft) -> dict[str, float]:
    """Allowance that is added to each edge, mm."""
    if not draft.net:
        return dict.fromkeys(draft.edge_names, 0.0)
    widths = {name: draft.allowances.get(name, draft.allowance) for name in draft.edge_names}
    return widths if draft.fold is None else widths | {draft.fold: 0.0}


def point_along(edge: Edge, distance: float) -> Point:
    """Point at a distance (mm) along an edge from its start; clamped to its ends."""
    from shapely.geometry import LineString

    point = LineString(edge.points).interpolate(min(max(distance, 0.0), edge.length))
    return (float(point.x), float(point.y))


def _fold_on_cutting_line(edge: Edge, outline: tuple[Point, ...]) -> tuple[Point, Point]:
    """Ends of the fold edge on the cutting line: the outline's points on the fold's own line."""
    (x1, y1), (x2, y2) = edge.points[0], edge.points[-1]
    dx, dy = x2 - x1, y2 - y1
    length = (dx * dx + dy * dy) ** 0.5
    on_line = [
        ((x - x1) * dx + (y - y1) * dy, (x, y))
        for x, y in outline
        if abs((x - x1) * dy - (y - y1) * dx) / length < 1e-3
    ]
    if len(on_line) < 2:
        return edge.points[0], edge.points[-1]
    return min(on_line)[1], max(on_line)[1]
