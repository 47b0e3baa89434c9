"""DXF documents for tests, as plain text by hand: pairs of a group code and a value."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

SQUARE = ((0, 0), (300, 0), (300, 500), (0, 500))


def tags(*pairs: tuple[int, object]) -> str:
    return "".join(f"{code:>3}\n{value}\n" for code, value in pairs)


def polyline(points: Iterable[tuple[object, object]], layer: str = "1", closed: bool = True) -> str:
    """An old-style polyline; figures may be texts."""
    body = "".join(tags((0, "VERTEX"), (8, layer), (10, x), (20, y)) for x, y in points)
    head = tags((0, "POLYLINE"), (8, layer), (66, 1), (70, 1 if closed else 0))
    return head + body + tags((0, "SEQEND"))


def line(a: tuple[float, float], b: tuple[float, float], layer: str) -> str:
    return tags((0, "LINE"), (8, layer), (10, a[0]), (20, a[1]), (11, b[0]), (21, b[1]))


def point(x: float, y: float, layer: str, z: float = 0.0) -> str:
    return tags((0, "POINT"), (8, layer), (10, x), (20, y), (30, z))


def text(words: str, layer: str = "1") -> str:
    return tags((0, "TEXT"), (8, layer), (10, 50), (20, 50), (40, 5), (1, words))


def block(name: str, *content: str) -> str:
    head = tags((0, "BLOCK"), (8, "1"), (2, name), (70, 0), (10, 0.0), (20, 0.0))
    return head + "".join(content) + tags((0, "ENDBLK"), (8, "1"))


def insert(name: str, *more: tuple[int, object]) -> str:
    return tags((0, "INSERT"), (8, "1"), (2, name), (10, 0.0), (20, 0.0), *more)


def document(blocks: Iterable[str] = (), entities: Iterable[str] = ("",), header: str = "") -> str:
    """No tables, no version: as files of pattern data are."""
    return (
        tags((0, "SECTION"), (2, "HEADER")) + header + tags((0, "ENDSEC"))
        + tags((0, "SECTION"), (2, "BLOCKS")) + "".join(blocks) + tags((0, "ENDSEC"))
        + tags((0, "SECTION"), (2, "ENTITIES")) + "".join(entities) + tags((0, "ENDSEC"))
        + tags((0, "EOF"))[:-1] + "\n"
    )  # fmt: skip


def piece(name: str = "FRONT", *more: str, quantity: str = "1,1", inside: str = "") -> str:
    """A block with a rectangle, grain, name and quantity."""
    return block(
        name,
        polyline(SQUARE),
        line((100, 50), (100, 450), "7"),
        text(f"Piece Name: {name.lower()}"),
        text(f"Quantity: {quantity}"),
        *more,
        inside,
    )


def saved(folder: Path, content: str, name: str = "pattern.dxf") -> Path:
    path = folder / name
    path.write_bytes(content.encode("cp1252"))
    return path
