"""Notches, and the points of a piece where a repeating design must match."""

from __future__ import annotations

from typing import Any

from pieces.drafting.draft import Draft, MatchPlace, Notch
from pieces.files.toml_file import Table, as_typed, nearest
from pieces.lengths import format_in
from pieces.piece import MatchPoint

BAR_WORDS = ("axis", "between")

ALONG_WORDS = {"start": 0.0, "middle": 0.5, "end": 1.0}


def read_notches(table: Table, draft: Draft) -> tuple[Notch, ...]:
    """Read `notches`: an edge and how far along it, perhaps with a name."""
    found: list[Notch] = []
    listed = table.data["notches"]
    if not isinstance(listed, list):
        table.fault("notches", "is not a list", 'write notches = [{ edge = "side", at = "9 cm" }]')
        return ()
    for index, entry in enumerate(listed, start=1):
        field = f"notches[{index}]"
        if not isinstance(entry, dict):
            table.fault(field, "is not a notch", 'write { edge = "side", at = "9 cm" }')
            continue
        inner = Table(entry, table.file, table.findings, table.piece, f"{field}.", table.unit)
        inner.known(("edge", "at", "name"))
        place = on_edge(inner, draft, "at")
        name = inner.text("name")
        if name and name in [notch.name for notch in found]:
            inner.fault("name", f"there are two notches '{name}'", "give each its own name")
        elif place is not None:
            found.append(Notch(*place, name))
    return tuple(found)


def no_such_edge(table: Table, field: str, name: str, draft: Draft) -> bool:
    """Whether a draft lacks an edge, which is then told; none is missing where none is known."""
    names = draft.edge_names
    if not names or name in names:
        return False
    table.fault(field, f"there is no edge '{name}'", nearest(name, names))
    return True


def on_edge(inner: Table, draft: Draft, field: str) -> tuple[str, float] | None:
    """Read an edge and how far along it: a length from its start, or start, middle, end."""
    name = inner.text("edge")
    value = inner.data.get(field)
    word = value if isinstance(value, str) and value in ALONG_WORDS else None
    at = inner.length(field) if word is None else None
    if no_such_edge(inner, "edge", name, draft) or not draft.edges:
        return None
    length = draft.edge(name).length
    if word is not None:
        return name, ALONG_WORDS[word] * length
    if at is None or at > length:
        if not inner.has(field) or at is not None:
            inner.fault(
                field,
                f"is not a place on '{name}', which is {format_in(length, inner.unit)} long",
                "a distance from where the edge begins",
            )
        return None
    return name, at


def read_match(table: Table, draft: Draft) -> tuple[tuple[MatchPoint, ...], tuple[MatchPlace, ...]]:
    """Read `match`: one table or several, each a group and where its point lies."""
    value = table.data["match"]
    entries = value if isinstance(value, list) else [value]
    points: list[MatchPoint] = []
    places: list[MatchPlace] = []
    for index, entry in enumerate(entries, start=1):
        field = f"match[{index}]" if isinstance(value, list) else "match"
        if not isinstance(entry, dict):
            table.fault(field, "is not a match point", 'write { group = "check", at = [x, y] }')
            continue
        inner = Table(entry, table.file, table.findings, table.piece, f"{field}.", table.unit)
        inner.known(("group", "at", "bar", "only"))
        point = MatchPoint(
            inner.text("group"),
            (0.0, 0.0),
            _bar(inner),
            inner.text("only", "", ("along",)) == "along",
        )
        if not point.group:
            inner.fault("group", "is missing", 'pieces of one group match: group = "check"')
        if point.along_only and point.bar is not None:
            inner.fault("bar", "lies across the cloth, but the point is matched along only")
        place = _place(inner, draft, entry.get("at"))
        if isinstance(place, MatchPlace):
            places.append(MatchPlace(point, place.edge, place.along))
        elif place is not None:
            points.append(MatchPoint(point.group, place, point.bar, point.along_only))
    return tuple(points), tuple(places)


def _place(inner: Table, draft: Draft, value: Any) -> tuple[float, float] | MatchPlace | None:
    """Read `at`: a point, a place on an edge, or the name of a notch."""
    nowhere = MatchPoint("", (0.0, 0.0))
    if isinstance(value, dict):
        at = Table(value, inner.file, inner.findings, inner.piece, f"{inner.prefix}at.", inner.unit)
        at.known(("edge", "along"))
        place = on_edge(at, draft, "along")
        return None if place is None else MatchPlace(nowhere, *place)
    if isinstance(value, str):
        named = {notch.name: notch for notch in draft.notches if notch.name}
        if value not in named:
            hint = nearest(value, named) if named else 'name one: notches = [{ name = "a", ... }]'
            inner.fault("at", f"there is no notch '{value}'", hint)
            return None
        return MatchPlace(nowhere, named[value].edge, named[value].along)
    if isinstance(value, list):
        return inner.point("at", value)
    inner.fault(
        "at",
        "is missing" if value is None else f"{as_typed(value)} is no place",
        'write [x, y], { edge = "side", along = "12 cm" }, or the name of a notch',
    )
    return None


def _bar(inner: Table) -> str | float | None:
    value = inner.data.get("bar")
    if value is None or value in BAR_WORDS:
        return value if value is None else str(value)
    if isinstance(value, str) and not any(sign.isdigit() for sign in value):
        inner.fault(
            "bar",
            f"'{value}' is not known",
            '"axis" (what lies on the axis of the design), "between" (halfway between two axes), '
            "or a distance from the axis",
        )
        return None
    return inner.length("bar", signed=True)
