"""Unsound outlines: the edges by name, the place in the unit of the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from pieces.drafting.soundness import faults
from pieces.outline import Edge
from pieces.readers.garment_toml import check_garment

PIECE = """title = "t"
units = "{unit}"
[[piece]]
name = "front"
cut = "2 same way"
drawn = "with allowance"
grain = "up"
edges = [
  {{ name = "hem", to = [20, 0] }},
  {{ name = "side", to = [[20, 30], [{x}, {y}]] }},
  {{ name = "top", to = [0, 30] }},
  {{ name = "centre", to = [0, 0] }},
]
"""


def found(folder: Path, unit: str, x: float, y: float) -> str:
    path = folder / "g.toml"
    path.write_text(PIECE.format(unit=unit, x=x, y=y), encoding="utf-8")
    return "\n".join(map(str, check_garment(path)))


@pytest.mark.parametrize(
    ("unit", "place"), [("cm", "(9, 0) cm"), ("in", "(9, 0) in"), ("mm", "(9, 0) mm")]
)
def test_crossing_edges_are_named(tmp_path: Path, unit: str, place: str) -> None:
    """With the place in the unit that the draft was measured in."""
    text = found(tmp_path, unit, 9 - 11 * 2 / 30, -2)
    assert f"'side' crosses 'hem' near {place}" in text
    assert "elf-intersection" not in text


def test_touching_edges_are_named(tmp_path: Path) -> None:
    """A corner on another edge leaves no cloth between them."""
    assert "'side' touches 'hem' near (10, 0) cm" in found(tmp_path, "cm", 10, 0)


def test_open_outlines_say_where(tmp_path: Path) -> None:
    """Both ends by edge and place."""
    path = tmp_path / "g.toml"
    text = PIECE.format(unit="in", x=18, y=30).replace("[0, 0] }},", "[0, 2] }},")
    path.write_text(text.replace("to = [0, 0]", "to = [0, 2]"), encoding="utf-8")
    message = "\n".join(map(str, check_garment(path)))
    assert "'centre' ends at (0, 2) in, 2 in from where 'hem' begins, (0, 0) in" in message


def test_edges_that_lie_on_one_another_are_named() -> None:
    """Out and back along one line."""
    out = Edge("out", ((0.0, 0.0), (100.0, 0.0)))
    rest = Edge("back", ((100.0, 0.0), (50.0, 0.0), (50.0, 40.0), (0.0, 0.0)))
    (message,) = faults((out, rest))
    assert "'back' " in message
    assert "'out' near" in message


HALF = """title = "t"
units = "cm"
[[piece]]
name = "front"
cut = "1 on fold"
drawn = "net"
allowance = "{allowance}"
fold = "centre"
grain = "up"
edges = [
  {{ name = "hem", to = [20, 0] }},
  {{ name = "side", to = [[20, 30], [12, 14], [12, 30]] }},
  {{ name = "top", to = [{top}] }},
  {{ name = "centre", to = [0, 0] }},
]
"""


@pytest.mark.parametrize(
    ("top", "field", "part"),
    [
        ("[-3, 32], [0, 30]", "fold", "reaches over the line of its fold"),
        ("[0, 32], [3, 31], [0, 30]", "fold", "more than the fold edge"),
    ],
)
def test_halves_keep_to_one_side_of_their_fold(
    tmp_path: Path, top: str, field: str, part: str
) -> None:
    """What reaches over it would lie twice on the cloth."""
    path = tmp_path / "g.toml"
    path.write_text(HALF.format(allowance="0", top=top), encoding="utf-8")
    (finding,) = check_garment(path)
    assert finding.field == field
    assert part in finding.message
