"""Changes go into a garment file without a line of it that did not change."""

from __future__ import annotations

import copy
import difflib
import tomllib
from pathlib import Path
from typing import Any

import pytest

from pieces.files.toml_merge import ORIGIN, UnwrittenError, merged_text, pieces_apart, plain
from pieces.readers.shelf import SHELF, shelf_names


def opened(text: str) -> dict[str, Any]:
    """A file's data as the form has it."""
    data: dict[str, Any] = plain(tomllib.loads(text))
    for number, piece in enumerate(data["piece"]):
        piece[ORIGIN] = number
    return data


def said(text: str) -> Any:
    return plain(tomllib.loads(text))


def changes(before: str, after: str) -> list[str]:
    """Lines that were taken out and put in."""
    lines = difflib.unified_diff(before.splitlines(), after.splitlines(), n=0, lineterm="")
    return [line for line in lines if not line.startswith(("---", "+++", "@@"))]


@pytest.mark.parametrize("name", shelf_names())
def test_what_did_not_change_stays_letter_by_letter(name: str) -> None:
    """Every demo garment, opened and written."""
    text = Path(SHELF / f"{name}.toml").read_text(encoding="utf-8")
    assert merged_text(text, opened(text)) == text


TEXT = """\
# A skirt.
title = "Skirt"
units = "cm"  # all of it
sew = [
  ["front.side", "back.side"],
  # The band comes last.
  { edges = ["band.long", "front.waist"], ease = "1 cm" },
]

# Drawn as a half.
[[piece]]
name = "front"
cut = { main = "1 on fold" }  # from the length
edges = [
  { name = "hem", to = [30, 0] },
  # Flared.
  { name = "side", to = [24.50, 60] },
  { name = "waist", smooth = [[12, 59], [0, 58.5]] },
]

[[piece]]
name = "back"
like = "front"

[[piece]]
name = "band"
strip = { length = "70 cm", width = 8 }
"""


def test_one_figure_changes_one_line() -> None:
    """Comments within the list and figures as they were typed stay."""
    data = opened(TEXT)
    data["piece"][0]["edges"][0]["to"] = ["12 1/2 in", 0]
    assert changes(TEXT, merged_text(TEXT, data)) == [
        '-  { name = "hem", to = [30, 0] },',
        '+  { name = "hem", to = ["12 1/2 in", 0] },',
    ]


def test_edges_are_put_in_and_taken_out() -> None:
    """The others keep their lines."""
    data = opened(TEXT)
    edges = data["piece"][0]["edges"]
    edges.insert(1, {"name": "slit", "to": [30, 10]})
    del edges[3]
    text = merged_text(TEXT, data)
    assert changes(TEXT, text) == [
        '+  { name = "slit", to = [30, 10] },',
        '-  { name = "waist", smooth = [[12, 59], [0, 58.5]] },',
    ]
    assert "# Flared." in text


def test_pieces_go_with_their_comments() -> None:
    """In another order, one fewer, one more."""
    data = opened(TEXT)
    front, back, band = data["piece"]
    data["piece"] = [back, front, {"name": "loop", "strip": {"length": 20, "width": "4 cm"}}]
    text = merged_text(TEXT, data)
    assert [piece["name"] for piece in said(text)["piece"]] == ["back", "front", "loop"]
    assert '# Drawn as a half.\n[[piece]]\nname = "front"' in text
    assert "# from the length" in text
    assert band["name"] not in text.split("[[piece]]", 1)[1]


def test_keys_at_the_head_come_before_the_pieces() -> None:
    """A caution that is put in does not become one of the last piece."""
    data = opened(TEXT)
    data["caution"] = "Mind the ties."
    data["sew"][1]["ease"] = "2 cm"
    text = merged_text(TEXT, data)
    assert said(text)["caution"] == "Mind the ties."
    assert "# all of it" in text
    assert "# The band comes last." in text


def test_a_new_garment_is_written_as_by_hand() -> None:
    """Pieces as `[[piece]]`, edges one a line."""
    data = {"title": "A", "piece": [{"name": "x", "edges": [{"to": [1, 2]}] * 12}]}
    text = merged_text(None, data)
    assert said(text) == data
    assert "[[piece]]\n" in text


def test_a_header_in_a_text_is_no_piece() -> None:
    """Where a file cannot be taken apart by its lines it still says what was typed."""
    text = 'title = "A"\ndescription = """\n[[piece]]\n"""\n[[piece]]\nname = "x"\n'
    data = opened(text)
    assert merged_text(text, data) == text
    data["piece"][0]["name"] = "y"
    assert said(merged_text(text, data)) == {**said(text), "piece": [{"name": "y"}]}


def test_what_toml_cannot_hold_is_not_written() -> None:
    """Nothing of it, rather than something else."""
    with pytest.raises(UnwrittenError):
        merged_text("title = 1\n", {"title": None})


def test_tables_of_sizes_stay_with_their_piece() -> None:
    """What only a size has lies below its piece."""
    text = TEXT.replace('units = "cm"', 'units = "cm"\nsizes = ["S", "L"]') + (
        "\n[piece.sizes.L]\nstrip = { length = 80, width = 8 }\n"
    )
    data = opened(text)
    data["piece"][2]["strip"]["length"] = "71 cm"
    data["piece"][2]["cut"] = {"main": "1"}
    written = merged_text(text, data)
    expected = copy.deepcopy(data)
    for piece in expected["piece"]:
        del piece[ORIGIN]
    assert said(written) == expected


def test_figures_that_json_cannot_hold_are_texts() -> None:
    """Dates, infinities and huge whole numbers."""
    data = tomllib.loads("a = 1979-05-27\nb = inf\nc = 0xFFFFFFFFFFFFFFFFFF\nd = [1.5, true]")
    assert plain(data) == {
        "a": "1979-05-27", "b": "inf", "c": "0xffffffffffffffffff", "d": [1.5, True],
    }  # fmt: skip


def test_a_head_alone_has_no_pieces() -> None:
    """And a file may begin with a piece."""
    assert pieces_apart('title = "A"\n') == ('title = "A"\n', [])
    assert pieces_apart("# first\n[[piece]]\n") == ("", ["# first\n[[piece]]\n"])
