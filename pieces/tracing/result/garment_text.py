"""Traced pieces as a garment file: what no picture tells stands in it as a line to fill in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pieces.files.toml_text import toml_text
from pieces.lengths import parse_length
from pieces.tracing.result.garment_pieces import GarmentPiece

TO_FILL_IN = {
    "cut": '# cut = { main = "" }  # fill in: "1", "2", "1 pair" or "1 on fold"',
    "drawn": '# drawn = ""  # fill in: "net" (then allowance = "1.5 cm", too) or "with allowance"',
    "grain": '# grain = ""  # fill in: "up", "right", or [[x, y], [x, y]] from tail to head',
}
"""By key: the line that stands where it is missing."""


def garment_text(
    pieces: Sequence[GarmentPiece], title: str, unit: str, comment: Sequence[str]
) -> str:
    """Write a garment file.

    Parameters
    ----------
    pieces : sequence of GarmentPiece
    title : str
    unit : str
        "mm", "cm" or "in".
    comment : sequence of str
        Lines at its head: by what it was measured, and how well.
    """
    head = "\n".join(
        [*comment, "A line with # in front of a key is to be filled in; then take the # away."]
    )
    text = toml_text({"title": title, "units": unit}, head)
    for piece in pieces:
        entry = _entry(piece, unit)
        written = toml_text({"piece": [entry]}).lstrip("\n").splitlines()
        missing = [line for key, line in TO_FILL_IN.items() if key not in entry]
        about = (
            f"# {piece.length / 10:.1f} x {piece.width / 10:.1f} cm, within {piece.error:.1f} mm"
        )
        text += "\n" + "\n".join([written[0], about, written[1], *missing, *written[2:]]) + "\n"
    return text


def _entry(piece: GarmentPiece, unit: str) -> dict[str, Any]:
    entry: dict[str, Any] = {"name": piece.name}
    if piece.fold is not None:
        entry["fold"] = piece.fold
    if piece.grain is not None:
        entry["grain"] = [_figures(end, unit) for end in piece.grain]
    edges = piece.outline.edges
    entry["start"] = _figures(edges[0].points[0], unit)
    entry["edges"] = [
        {"name": edge.name, "to": _figures(edge.points[-1], unit)}
        if edge.straight
        else {"name": edge.name, "smooth": [_figures(p, unit) for p in edge.points[1:]]}
        for edge in edges
    ]
    return entry


def _figures(point: tuple[float, float], unit: str) -> list[float]:
    """A point in a unit: to 0.1 mm, or a thousandth of an inch."""
    mm = parse_length(f"1 {unit}")
    decimals = {"mm": 1, "cm": 2, "in": 3}[unit]
    return [round(value / mm, decimals) + 0.0 for value in point]
