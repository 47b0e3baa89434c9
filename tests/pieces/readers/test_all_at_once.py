"""Every fault of a garment file is told at once, however deep it stands and whatever else fails."""

from __future__ import annotations

from pathlib import Path

import pytest

from pieces.readers.garment_toml import check_garment

UNDRAWN = """
title = "Skirt"
units = "cm"

[[piece]]
name = "front"
cut = { main = "1 on fold" }
drawn = "net"
allowance = "1 cm"
grain = "up"
fold = "centre"
edges = [
  { name = "hem", to = [20] },
  { name = "side", to = [20, 40] },
  { name = "top", to = [0, 40], square = "strat" },
  { name = "centre", to = [0, 0] },
]
"""
"""The first edge cannot be drawn."""


def told(folder: Path, text: str) -> str:
    path = folder / "skirt.toml"
    path.write_text(text, encoding="utf-8")
    return "\n".join(str(finding) for finding in check_garment(path))


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("allowances.hemm = 3", "no edge 'hemm' (did you mean 'hem'?"),
        ('allowances.hem = "3 zz"', "unknown unit 'zz'"),
        ('match = { group = "check", at = [1, 2], only = "alng" }', "match.only: 'alng'"),
        ('match = { group = "check", at = { edge = "sied", along = 3 } }', "no edge 'sied'"),
        ('match = { group = "check", at = [1, 2], onyl = "along" }', "unknown key 'onyl'"),
        ('notches = [{ edge = "side", at = 3, nmae = "a" }]', "unknown key 'nmae'"),
        ('notches = [{ edge = "sid", at = "3 zz" }]', "unknown unit 'zz'"),
        ('notches = [{ edge = "sid", at = "3 zz" }]', "no edge 'sid'"),
        ('shorten = { edge = "hme", by = 2 }', "no edge 'hme'"),
        ('shorten = { edge = "hem", bye = 2 }', "unknown key 'bye'"),
        ('lengthen = { edge = "hem", by = "-2 cm" }', "is negative"),
        ('turned_up = ["hme"]', "no edge 'hme'"),
        ('opened_out = "yes"', "neither true nor false"),
        ('joinable = { min_part = "x", on_grain = "no" }', "joinable.on_grain"),
    ],
)
def test_a_fault_in_a_nested_table_does_not_wait_for_the_outline(
    tmp_path: Path, line: str, fault: str
) -> None:
    """Each beside the edge that cannot be drawn and the word that an edge does not know."""
    text = told(tmp_path, UNDRAWN + line)
    assert "edges[1].to: [20] is not a point" in text
    assert "edges[3].square: 'strat'" in text
    assert fault in text


def test_what_is_sound_is_not_blamed_for_an_outline_that_is_not(tmp_path: Path) -> None:
    """Edges go by the names that they are typed with."""
    text = told(
        tmp_path,
        UNDRAWN
        + """
allowances = { hem = 3 }
turned_up = "hem"
notches = [{ edge = "side", at = 9, name = "a" }]
match = [{ group = "check", at = "a" }, { group = "dot", at = { edge = "top", along = "end" } }]
shorten = { edge = "hem", by = 2 }

[[piece]]
name = "back"
like = "front"
allowances = { side = 2 }
""",
    )
    assert text.count("\n") == 1, text


def test_a_piece_like_one_that_cannot_be_drawn_is_read_for_its_own_faults(tmp_path: Path) -> None:
    """The fault of the other is told there alone."""
    text = told(tmp_path, UNDRAWN + '[[piece]]\nname = "b"\nlike = "front"\nfold = "sied"\n')
    assert text.count("is not a point") == 1
    assert "piece 'b', fold: there is no edge 'sied'" in text


@pytest.mark.parametrize(
    "shape",
    [
        'path = "nonsense"\npath_unit = "1 mm"\ngrain = "up"\ndrawn = "net"\nallowance = 1',
        'strip = { length = "x", width = 3 }',
        'like = "nobody"',
        'strip = { length = 30, width = 3 }\nlike = "front"',
        "stripp = { length = 30, width = 3 }",
    ],
)
def test_words_and_keys_are_read_where_no_edge_is_known(tmp_path: Path, shape: str) -> None:
    """Where the edges cannot be known, none is said to be missing."""
    text = told(
        tmp_path,
        UNDRAWN
        + f"""
[[piece]]
name = "band"
cut = {{ main = "1" }}
{shape}
joinable = {{ min_part = 5, allowance = 1, on_grian = true }}
match = {{ group = "check", at = [1, 2], only = "alng" }}
""",
    )
    assert "joinable.on_grian" in text
    assert "match.only: 'alng'" in text
    assert "no edge" not in text


def test_pieces_without_a_name_of_their_own_are_read_too(tmp_path: Path) -> None:
    """Their place stands for the name."""
    text = told(
        tmp_path,
        UNDRAWN + '[[piece]]\nlike = "front"\nturnz = 1\n[[piece]]\nname = "front"\nhnad = 1\n',
    )
    assert "piece[2].turnz: unknown key" in text
    assert "piece[3].name: there are two pieces 'front'" in text
    assert "piece[3].hnad: unknown key" in text


def test_other_sizes_do_not_wait_for_the_drawn_one(tmp_path: Path) -> None:
    """A slip within a size is told beside a fault of the drawn one, and of the list of sizes."""
    text = told(
        tmp_path,
        UNDRAWN.replace('"cm"\n', '"cm"\nsizes = ["S", "M"]\ndrawn_size = "X"\n', 1)
        + "[piece.sizes.M]\nallowances = { hemm = 3 }\n",
    )
    assert "drawn_size: 'X' is none of the sizes" in text
    assert "is not a point" in text
    assert "no edge 'hemm'" in text
