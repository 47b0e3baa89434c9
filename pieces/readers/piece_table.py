"""One `[[piece]]` table of a garment file as a draft."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from pieces.drafting.alter import mirror_draft, move_edge, move_line
from pieces.drafting.draft import Draft
from pieces.drafting.soundness import faults
from pieces.drafting.strips import strip_draft
from pieces.edits.sides import true_sides
from pieces.edits.whole import whole
from pieces.files.toml_file import Table, as_typed, nearest
from pieces.geometry_types import Point
from pieces.outline import Edge, OutlineError, is_straight, ring_of
from pieces.piece import Change, Cut, Joining, Side, Turns
from pieces.readers.cut_words import EXAMPLES, parse_cut, require_role
from pieces.readers.edge_table import drawn_edges, edges_as_named, near
from pieces.readers.edit_table import read_edits
from pieces.readers.made_from import MADE_FROM, Others, read_made
from pieces.readers.match_table import no_such_edge, read_match, read_notches
from pieces.readers.svg_path import edges_from_path

PIECE_KEYS = (
    "name", "cut", "drawn", "allowance", "allowances", "start", "edges", "path", "path_unit",
    "fold", "turned_up", "grain", "turns", "heading_free", "hand", "notches", "match", "like",
    "shorten", "lengthen", "mirrored", "opened_out", "strip", "joinable", "sizes", "edits", "block",
    *MADE_FROM,
)  # fmt: skip

GRAIN_WORDS = {"up": (0.0, 1.0), "down": (0.0, -1.0), "right": (1.0, 0.0), "left": (-1.0, 0.0)}

NOTHING = Draft(name="", edges=(), grain=((0.0, 0.0), (1.0, 0.0)))
"""A draft of which nothing is known: no edge can be missing from it."""

ANY_STRIP = strip_draft("", 1000.0, 100.0)
"""Stands for a strip whose figures cannot be read."""


def read_draft(table: Table, base: Draft | None, sound: bool, others: Others) -> tuple[Draft, bool]:
    """Read a piece, and tell whether it can be made.

    `base` is the draft that it is like, `others` are those that it is made from or edited with.
    What cannot be drawn, or is like what cannot (`sound` is false), is read to its end all the
    same for its other faults, over as much of the outline as is known.
    """
    known = len(table.findings)
    draft, drawn = _shape(table, base, others)
    draft = replace(draft, name=table.data.get("name", ""))
    draft = _labels(table, draft, base)
    derived = draft if any(table.has(key) for key in MADE_FROM) else base
    draft = _edges_named(table, draft, derived)
    draft = _changes(table, draft, sound and drawn, others)
    fatal = any(finding.fatal for finding in table.findings[known:])
    return draft, sound and drawn and not fatal


def _shape(table: Table, base: Draft | None, others: Others) -> tuple[Draft, bool]:
    """Return the outline, and whether it is one; what is known of it where it is not."""
    ways = [way for way in WAYS if table.has(way)]
    if ways == ["like"]:
        return base or NOTHING, base is not None
    if len(ways) == 1 and ways[0] in MADE_FROM:
        made = read_made(table, ways[0], others)
        return made or NOTHING, made is not None
    if len(ways) == 1:
        return SHAPES[ways[0]](table)
    if ways or not table.meant & set(WAYS):  # Else told already: the key is misspelt.
        table.fault(
            "edges",
            "is missing" if not ways else f"is drawn in two ways: {' and '.join(ways)}",
            "draw a piece by edges, path, strip, or like = another piece",
        )
    for way in ways:
        if way in SHAPES:
            SHAPES[way](table)
    return NOTHING, False


def _by_edges(table: Table) -> tuple[Draft, bool]:
    edges = drawn_edges(table)
    return _outlined(table, "edges", edges, edges or edges_as_named(table.data["edges"]))


def _by_path(table: Table) -> tuple[Draft, bool]:
    edges = _path_edges(table)
    return _outlined(table, "path", edges, edges or ())


def _outlined(
    table: Table, field: str, edges: tuple[Edge, ...] | None, named: tuple[Edge, ...]
) -> tuple[Draft, bool]:
    """Read grain and allowance; `named` are the edges as far as they are known."""
    found = faults(edges, table.unit) if edges else ["unreadable"]
    for fault in found if edges else []:
        table.fault(field, fault)
    grain = _grain(table, () if found or edges is None else edges)
    draft = replace(_net(table, NOTHING), edges=named)
    if found or edges is None or grain is None:
        return draft, False
    return replace(draft, grain=grain), True


def _path_edges(table: Table) -> tuple[Edge, ...] | None:
    unit = table.length("path_unit", positive=True)
    if unit is None:
        table.fault("path_unit", "is missing", 'the length of one unit of the path, say "1 mm"')
        return None
    try:
        return edges_from_path(table.text("path"), unit)
    except OutlineError as error:
        table.fault("path", str(error))
        return None


def _by_strip(table: Table) -> tuple[Draft, bool]:
    net = table.text("drawn", "", ("net", "with allowance")) == "net"
    allowance = table.length("allowance", 0.0) or 0.0
    if net and not table.has("allowance"):
        table.fault("allowance", "is missing on a net piece", "state it, even if it is 0")
    inner = table.table("strip")
    if inner is None:
        return ANY_STRIP, False
    inner.known(("length", "width", "bias"))
    length = inner.length("length", positive=True)
    width = inner.length("width", positive=True)
    bias = inner.flag("bias")
    for field in ("length", "width"):
        if not inner.has(field):
            inner.fault(field, "is missing", "a strip needs a length and a width")
    if length is None or width is None:
        return ANY_STRIP, False
    return strip_draft("", length, width, bias, allowance if net else 0.0), True


SHAPES: dict[str, Callable[[Table], tuple[Draft, bool]]] = {
    "edges": _by_edges,
    "path": _by_path,
    "strip": _by_strip,
}
"""How a piece is drawn, by the key that draws it."""

WAYS = (*SHAPES, "like", *MADE_FROM)
"""Keys that give a piece its outline; it has one of them."""


def _grain(table: Table, edges: tuple[Edge, ...]) -> tuple[Point, Point] | None:
    value = table.data.get("grain")
    if value is None:
        table.fault("grain", "is missing", 'write "up", or the tail and head [[x, y], [x, y]]')
        return None
    if isinstance(value, str):
        if value not in GRAIN_WORDS:
            hint = nearest(value.lower(), GRAIN_WORDS).replace("known:", "one of")
            table.fault("grain", f"'{value}' is no direction", hint)
            return None
        return _centred_arrow(edges, GRAIN_WORDS[value]) if edges else None
    pair = isinstance(value, list) and len(value) == 2
    if not pair or not all(isinstance(end, list) for end in value):
        hint = 'write "up", or its tail and head: [[x, y], [x, y]]'
        table.fault("grain", f"{as_typed(value)} is not an arrow", hint)
        return None
    tail, head = table.point("grain", value[0]), table.point("grain", value[1])
    if tail is None or head is None:
        return None
    if near(tail, head):
        table.fault("grain", "the arrow has no length")
        return None
    return tail, head


def _centred_arrow(edges: tuple[Edge, ...], way: Point) -> tuple[Point, Point]:
    """Arrow through a point well inside the outline, over most of the room it has there."""
    from shapely.geometry import LineString, Polygon

    polygon = Polygon(ring_of(edges))
    inside = polygon.centroid if polygon.contains(polygon.centroid) else (
        polygon.representative_point()
    )  # fmt: skip
    reach = 1e5
    line = LineString(
        [
            (inside.x - way[0] * reach, inside.y - way[1] * reach),
            (inside.x + way[0] * reach, inside.y + way[1] * reach),
        ]
    ).intersection(polygon)
    parts = list(getattr(line, "geoms", [line]))
    part = min(parts, key=lambda g: g.distance(inside))
    (x1, y1), (x2, y2) = part.coords[0], part.coords[-1]
    ax, ay, bx, by = x1 * 0.8 + x2 * 0.2, y1 * 0.8 + y2 * 0.2, x1 * 0.2 + x2 * 0.8, (
        y1 * 0.2 + y2 * 0.8
    )  # fmt: skip
    if (bx - ax) * way[0] + (by - ay) * way[1] < 0:
        ax, ay, bx, by = bx, by, ax, ay
    return (ax, ay), (bx, by)


def _net(table: Table, draft: Draft) -> Draft:
    drawn = table.text("drawn", "", ("net", "with allowance"))
    if not drawn:
        if table.has("drawn"):
            return draft
        table.fault("drawn", "is missing", 'write drawn = "net" or drawn = "with allowance"')
        table.length("allowance")
        return draft
    if drawn == "with allowance":
        for field in ("allowance", "allowances", "turned_up"):
            if table.has(field):
                table.fault(field, "the piece is drawn with allowance already", "leave it out")
        return draft
    if not table.has("allowance"):
        table.fault("allowance", "is missing on a net piece", "state it, even if it is 0")
    return replace(draft, net=True, allowance=table.length("allowance", 0.0) or 0.0)


def _edges_named(table: Table, draft: Draft, base: Draft | None) -> Draft:
    """Read everything that refers to edges by name."""
    names = draft.edge_names
    allowances = dict(draft.allowances)
    inner = table.table("allowances")
    if inner is not None:
        for name in inner.data:
            allowances[name] = inner.length(name, 0.0) or 0.0
            no_such_edge(inner, name, name, draft)
    if base is not None and table.has("allowance"):
        draft = replace(draft, allowance=table.length("allowance", 0.0) or 0.0)
    fold = table.text("fold") or draft.fold
    if fold and (no_such_edge(table, "fold", fold, draft) or not names):
        fold = None
    if fold and not is_straight(draft.edge(fold).points):
        table.fault("fold", f"edge '{fold}' is not straight, so it cannot lie on a fold")
        fold = None
    turned_up = draft.turned_up
    if table.has("turned_up"):
        turned_up = frozenset(_names(table, "turned_up", draft))
    draft = replace(
        draft,
        allowances=allowances,
        fold=fold,
        turned_up=turned_up,
        notches=read_notches(table, draft) if table.has("notches") else draft.notches,
    )
    if table.has("match"):
        points, places = read_match(table, draft)
        draft = replace(draft, match_points=points, match_places=places)
    return draft


def _names(table: Table, field: str, draft: Draft) -> list[str]:
    value = table.data[field]
    listed = [value] if isinstance(value, str) else value
    if not isinstance(listed, list):
        table.fault(field, f"{as_typed(value)} is not a list of edges")
        return []
    return [name for name in listed if not no_such_edge(table, field, str(name), draft)]


def _labels(table: Table, draft: Draft, base: Draft | None) -> Draft:
    turns = Turns(table.text("turns", draft.turns.value, [t.value for t in Turns]))
    joining = _joining(table) if table.has("joinable") else draft.joining
    known = base is not NOTHING and (draft.edges or not table.meant)
    if joining is not None and draft.strip is None and known and not _is_strip(table):
        table.fault("joinable", "only a strip may be joined", "draw it as strip = { ... }")
    return replace(
        draft,
        cuts=_cuts(table, draft, base),
        turns=turns,
        heading_free=table.flag("heading_free", draft.heading_free),
        drawn_hand=_hand(table) if table.has("hand") else draft.drawn_hand,
        joining=joining,
    )


def _is_strip(table: Table) -> bool:
    return any(table.has(key) for key in ("strip", "band", "binding"))


def _hand(table: Table) -> Side:
    return Side(table.text("hand", Side.RIGHT.value, [side.value for side in Side]))


def _cuts(table: Table, draft: Draft, base: Draft | None) -> tuple[Cut, ...]:
    """Read `cut`; a piece that is like another has its cuts, a block has none."""
    if table.flag("block"):
        if table.has("cut"):
            table.fault("cut", "a block is only drafted from, never cut", "leave cut or block out")
        return ()
    if base is not None and not table.has("cut") and (draft.cuts or base is NOTHING):
        return draft.cuts
    value = table.data.get("cut")
    if isinstance(value, str):
        value = {"main": value}
    if not isinstance(value, dict) or not value:
        table.fault("cut", "is missing", f"write cut = {{ ROLE = LABEL }}, LABEL being {EXAMPLES}")
        return ()
    cuts = []
    for role, text in value.items():
        try:
            require_role(role)
            cuts.append(parse_cut(role, str(text)))
        except ValueError as error:
            table.fault(f"cut.{role}", str(error))
    return tuple(cuts)


def _joining(table: Table) -> Joining | None:
    inner = table.table("joinable")
    if inner is None:
        return None
    inner.known(("min_part", "allowance", "on_grain"))
    least, allowance = inner.length("min_part", positive=True), inner.length("allowance")
    on_grain = inner.flag("on_grain")
    if least is None or allowance is None:
        inner.fault("min_part", "a joinable strip needs min_part and allowance")
        return None
    return Joining(least, allowance, on_grain)


def _changes(table: Table, draft: Draft, drawn: bool, others: Others) -> Draft:
    """Read what is moved, and move it where the outline is `drawn`."""
    for field, sign, verb in (("shorten", -1.0, "shortened"), ("lengthen", 1.0, "lengthened")):
        inner = table.table(field)
        if inner is None:
            continue
        inner.known(("edge", "line", "by"))
        by = inner.length("by", positive=True)
        if inner.has("edge") == inner.has("line"):
            inner.fault("edge", "needs an edge, or a line across the grain", "write one of them")
            continue
        if by is None:
            inner.fault("by", "is missing") if not inner.has("by") else None
        if inner.has("edge") and no_such_edge(inner, "edge", inner.text("edge"), draft):
            continue
        if by is None or not drawn:
            continue
        where = inner.text("edge") if inner.has("edge") else "a line across the grain"
        try:
            draft = _changed(inner, draft, sign * by)
        except OutlineError as error:
            inner.fault("edge" if inner.has("edge") else "line", str(error))
            continue
        for fault in faults(draft.edges, table.unit):
            inner.fault("by", f"after the change {fault}")
        note = Change(verb, by, where)
        draft = replace(draft, notes=(*draft.notes, note))
    if drawn:
        draft = read_edits(table, draft, others)
    if table.flag("mirrored"):
        stated = draft.drawn_hand
        draft = mirror_draft(draft)
        if table.has("hand"):
            # It names this piece as it is now, not the one that it mirrors.
            draft = replace(draft, drawn_hand=stated)
    return draft


def _changed(inner: Table, draft: Draft, by: float) -> Draft:
    if inner.has("edge"):
        return move_edge(draft, inner.text("edge"), by)
    point = inner.point("line", inner.data["line"])
    if point is None:
        return draft
    return whole(draft, true_sides(draft, move_line(draft, point, by)))
