"""Several sizes in one garment file: what differs in a size stands in the piece under its name."""

from __future__ import annotations

from typing import Any

from pieces.files.toml_file import Table, nearest


def read_sizes(table: Table) -> tuple[str, ...]:
    """Read the names of the sizes, smallest first; none where the file gives one size only."""
    if not table.has("sizes"):
        return ()
    listed = table.data["sizes"]
    sound = isinstance(listed, list) and all(isinstance(n, str) and n.strip() for n in listed)
    if not sound or len(set(listed)) != len(listed) or not listed:
        table.fault("sizes", "is not a list of names, each once", 'write sizes = ["S", "M", "L"]')
        return ()
    return tuple(listed)


def chosen_size(table: Table, sizes: tuple[str, ...], wanted: str | None) -> str:
    """Return the size that is read: the one wanted, else the drawn one; empty if there is one only.

    Where there is none of that name, the fault is told and the smallest is read for its own.
    """
    smallest = sizes[0] if sizes else ""
    drawn = table.text("drawn_size", smallest)
    if drawn and drawn not in sizes:
        known = nearest(drawn, sizes) if sizes else 'write sizes = ["S", "M", "L"] at the head'
        table.fault("drawn_size", f"'{drawn}' is none of the sizes", known)
        drawn = smallest
    if wanted is None:
        return drawn
    if wanted not in sizes:
        known = nearest(wanted, sizes) if sizes else "it gives one size only"
        table.fault("sizes", f"there is no size '{wanted}'", known)
        return drawn
    return wanted


def in_size(
    data: dict[str, Any], size: str, sizes: tuple[str, ...], table: Table
) -> dict[str, Any]:
    """Return the table of a piece as it is in a size; faults are noted in `table`."""
    others = data.get("sizes")
    if others is None:
        return data
    piece = str(data.get("name", "?"))
    inner = Table(data, table.file, table.findings, piece, unit=table.unit)
    if not isinstance(others, dict) or not all(isinstance(v, dict) for v in others.values()):
        inner.fault("sizes", "is not a table of sizes", "write [piece.sizes.NAME]")
        return data
    for name, changes in others.items():
        if name not in sizes:
            inner.fault(
                f"sizes.{name}",
                "is none of the sizes that the file lists",
                nearest(name, sizes) if sizes else 'write sizes = ["S", "M", "L"] at its head',
            )
        for key in ("name", "cut", "like", "sizes"):
            if key in changes:
                inner.fault(f"sizes.{name}.{key}", "cannot differ between sizes")
    return {**data, **others.get(size, {})}
