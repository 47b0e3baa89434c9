"""Edits, facings and bands as they are written in a garment file."""

from __future__ import annotations

from pathlib import Path

import pytest

from pieces.findings import Finding
from pieces.lengths import System
from pieces.readers.garment_toml import check_garment, load_garment
from pieces.readers.shelf import find_garment

BLOCK = """
title = "Skirt"
units = "cm"
[[piece]]
name = "block"
block = true
drawn = "net"
allowance = "1 cm"
grain = "up"
edges = [
  { name = "hem", to = [20, 0] },
  { name = "side", to = [20, 40] },
  { name = "waist", to = [0, 40] },
  { name = "centre", to = [0, 0] },
]
[[piece]]
name = "panel"
like = "block"
cut = "2"
"""


def checked(folder: Path, text: str) -> list[Finding]:
    path = folder / "skirt.toml"
    path.write_text(text, encoding="utf-8")
    return check_garment(path)


def test_a_block_is_drafted_from_and_never_cut(tmp_path: Path) -> None:
    """It is no piece of the garment; with a cut label it is refused."""
    path = tmp_path / "skirt.toml"
    path.write_text(BLOCK, encoding="utf-8")
    assert [piece.name for piece in load_garment(path).pieces] == ["panel"]
    (finding,) = checked(tmp_path, BLOCK.replace("block = true", 'block = true\ncut = "1"'))
    assert (finding.piece, finding.field) == ("block", "cut")


def test_what_is_like_a_block_says_how_it_is_cut(tmp_path: Path) -> None:
    """A block has no label to pass on."""
    (finding,) = checked(tmp_path, BLOCK.replace('cut = "2"', ""))
    assert (finding.piece, finding.message) == ("panel", "is missing")


def test_edits_are_replayed_in_order_and_any_line_can_be_taken_out(tmp_path: Path) -> None:
    """Raised by 2 cm and dropped by 5 leaves a centre of 37 cm; without the first 35."""
    lines = [
        '{ raise = "waist", along = "centre", by = "2 cm" }',
        '{ drop = "waist", along = "centre", by = "5 cm" }',
    ]
    path = tmp_path / "skirt.toml"
    for kept, length in ((lines, 370.0), (lines[1:], 350.0)):
        path.write_text(BLOCK + f"edits = [{', '.join(kept)}]", encoding="utf-8")
        (draft,) = load_garment(path).drafts
        assert draft.edge("centre").length == pytest.approx(length)
        assert len(draft.steps) == len(kept)
        assert draft.steps[-1].change.words(System.METRIC) == "dropped by 5 cm at waist"


@pytest.mark.parametrize(
    ("edit", "field", "message"),
    [
        ('{ drop = "waste", along = "centre", by = "1 cm" }', "edits[1].drop", "no edge 'waste'"),
        ('{ drop = "waist", along = "hem", by = "1 cm" }', "edits[1]", "do not meet"),
        ('{ drop = "waist", along = "centre" }', "edits[1].by", "is missing"),
        ('{ drp = "waist" }', "edits[1]", "names no edit"),
        ('{ true = "waist", ease = "hem" }', "edits[1]", "names two edits: true and ease"),
        ('{ slash = "hem", to = "waist", spread = "1 cm" }', "edits[1].slash", "says too little"),
        ('{ slash = { edge = "hem", along = "end" }, to = { edge = "waist", along = "end" } }',
         "edits[1].slash", "is to spread or to overlap"),
        ('{ pleat = { edge = "hem", along = "30 cm" }, to = { edge = "waist", along = "middle" }, '
         'depth = "1 cm" }', "edits[1].pleat.along", "is not a place on 'hem', which is 20 cm"),
        ('{ join = "hem", of = "yoke", its = "hem" }', "edits[1].of", "there is no piece 'yoke'"),
        ('{ join = "hem", of = "panel", its = "hem" }', "of", "made from itself"),
        ('{ dart = ["hem", "sde"], to = { edge = "waist", along = "middle" } }', "edits[1].dart",
         "there is no edge 'sde'"),
        ('{ lengthen = [5, 90], by = "2 cm" }', "edits[1]", "misses the piece"),
        ("3", "edits[1]", "3 is no edit"),
    ],
)  # fmt: skip
def test_an_edit_that_cannot_be_read_or_made_is_told_at_its_line(
    tmp_path: Path, edit: str, field: str, message: str
) -> None:
    """Each with the piece and the number of the line among the edits."""
    found = checked(tmp_path, BLOCK + f"edits = [{edit}]")
    told = [f for f in found if message in f.message]
    assert ("panel", field) in [(f.piece, f.field) for f in told]


def test_a_facing_and_a_binding_are_made_from_edges(tmp_path: Path) -> None:
    """The facing of the waist is 5 cm deep; the binding is as long as two waists and an end."""
    path = tmp_path / "skirt.toml"
    more = """
[[piece]]
name = "facing"
facing = { of = "panel", edge = "waist", width = "5 cm" }
cut = "2"
[[piece]]
name = "binding"
binding = { along = ["2 x panel.waist"], width = "3 cm", longer = "2 cm" }
allowance = "0 cm"
cut = "1"
"""
    path.write_text(BLOCK + more, encoding="utf-8")
    pieces = {piece.name: piece for piece in load_garment(path).pieces}
    assert pieces["binding"].strip == (420.0, 30.0)
    xs, ys = zip(*pieces["facing"].outline, strict=True)
    assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((220.0, 70.0))
    for old, new, field in (
        ('edge = "waist", width', 'edge = "wast", width', "facing.edge"),
        ('of = "panel", edge', 'of = "pannel", edge', "facing.of"),
        ('width = "5 cm"', 'width = "5 m"', "facing.width"),
        ("2 x panel.waist", "2 x panel.wst", "binding.along"),
    ):
        (finding,) = checked(tmp_path, BLOCK + more.replace(old, new, 1))
        assert finding.field == field


def test_a_band_along_halves_is_as_long_as_the_whole(tmp_path: Path) -> None:
    """Two halves of 20 cm on the fold, of a block: 40 cm of band and 2 more."""
    block = BLOCK.replace("block = true", 'block = true\nfold = "centre"')
    more = """
[[piece]]
name = "band"
band = { along = ["block.waist"], width = "8 cm", longer = "2 cm" }
allowance = "0 cm"
cut = "1"
"""
    path = tmp_path / "skirt.toml"
    path.write_text(block.replace('cut = "2"', 'cut = "1 on fold"') + more, encoding="utf-8")
    (band,) = (p for p in load_garment(path).pieces if p.name == "band")
    assert band.strip == (420.0, 80.0)


def test_the_demo_top_comes_from_its_block_by_edits_alone() -> None:
    """Invented figures: the neck dropped by 2 and 4 in, straps of 8 in for drops of 4 and 4."""
    garment = load_garment(find_garment("top-from-block"))
    drafts = {draft.name: draft for draft in garment.drafts}
    assert "block front" not in drafts
    verbs = [step.change.verb for step in drafts["front"].steps]
    assert verbs[0] == "dart closed, opened"
    assert verbs[-1] == "split"
    overlay, front = drafts["overlay front"], drafts["front"]
    assert front.edge("centre front").length - overlay.edge("centre front").length == (
        pytest.approx(60.0)
    )
