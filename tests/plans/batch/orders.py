"""Small orders in a folder: a cushion of two squares on plain cloth."""

from __future__ import annotations

from pathlib import Path

CUSHION = """
title = "Cushion"
units = "cm"

[[piece]]
name = "front"
cut = {{ main = "2" }}
drawn = "with allowance"
grain = "up"
path = "M0 0 H{side} V{side} H0 Z"
path_unit = "1 cm"
"""

ORDER = """
effort = "quick"
fold = "open"
cloth = {{ main = "{cloth}" }}
{more}

[[garment]]
name = "garments/cushion.toml"
"""


def write_orders(folder: Path, **cloths: str) -> Path:
    """Write an order of two cushion pieces for each name, on the cloth given by it."""
    (folder / "garments").mkdir(parents=True)
    (folder / "garments" / "cushion.toml").write_text(CUSHION.format(side=42))
    for name, cloth in cloths.items():
        write_order(folder, name, cloth)
    return folder


def write_order(folder: Path, name: str, cloth: str, more: str = "") -> Path:
    """Write one order."""
    path = folder / f"{name}.toml"
    path.write_text(ORDER.format(cloth=cloth, more=more))
    return path


def files_of(folder: Path) -> tuple[Path, ...]:
    """The order files of a folder."""
    return tuple(sorted(folder.glob("*.toml")))
