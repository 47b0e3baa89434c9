"""A garment file in four sizes, small enough to be planned at once."""

from __future__ import annotations

from pathlib import Path

APRON = """\
title = "Apron"
units = "cm"
sizes = ["S", "M", "L", "XL"]

[[piece]]
name = "front"
cut = { main = "1 on fold" }
drawn = "with allowance"
fold = "centre"
grain = "up"
start = [0, 0]
edges = [
  { name = "hem", to = [25, 0] },
  { name = "side", to = [25, 40] },
  { name = "top", to = [0, 55] },
  { name = "centre", to = [0, 0] },
]
[piece.sizes.S]
edges = [
  { name = "hem", to = [22, 0] },
  { name = "side", to = [22, 35] },
  { name = "top", to = [0, 50] },
  { name = "centre", to = [0, 0] },
]

[[piece]]
name = "pocket"
cut = { main = "1" }
drawn = "with allowance"
start = [0, 0]
grain = "up"
edges = [
  { name = "bottom", to = [18, 0] },
  { name = "side", to = [18, 15] },
  { name = "top", to = [0, 16] },
  { name = "other side", to = [0, 0] },
]

[[piece]]
name = "tie"
cut = { main = "2" }
drawn = "with allowance"
strip = { length = "60 cm", width = "5 cm" }
"""


def write_apron(folder: Path, name: str = "apron") -> Path:
    """Write the garment file into a folder."""
    path = folder / f"{name}.toml"
    path.write_text(APRON, encoding="utf-8")
    return path
