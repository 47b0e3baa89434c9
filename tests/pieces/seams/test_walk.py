"""Seams: walked lengths, notches, allowances and corners, against figures worked out by hand."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from pieces.files.toml_file import list_findings
from pieces.findings import Finding
from pieces.readers.garment_toml import _read, check_garment, load_garment
from pieces.readers.shelf import SHELF
from pieces.seams.summary import seam_summary
from pieces.seams.walk import walk

PANEL = """
[[piece]]
name = "{name}"
cut = "{cut}"
drawn = "net"
allowance = "{allowance}"
grain = "up"
{more}
edges = [
  {{ name = "hem", to = [{x}, 0] }},
  {{ name = "side", to = [{top}, {side}] }},
  {{ name = "waist", to = [0, {side}] }},
  {{ name = "centre", to = [0, 0] }},
]
"""


def panel(
    name: str,
    side: float = 40.0,
    top: float = 20.0,
    *,
    cut: str = "2",
    x: float = 20.0,
    allowance: str = "1 cm",
    more: str = "",
) -> str:
    """A panel whose side runs from (x, 0) to (top, side) cm."""
    return PANEL.format(name=name, side=side, top=top, cut=cut, x=x, allowance=allowance, more=more)


def garment_file(folder: Path, sew: str, *panels: str, head: str = "") -> Path:
    path = folder / "garment.toml"
    text = f'title = "Skirt"\nunits = "cm"\n{head}\nsew = {sew}\n' + "".join(panels)
    path.write_text(text, encoding="utf-8")
    return path


def asked(path: Path) -> list[str]:
    """Messages about seams."""
    return [
        finding.message
        for finding in check_garment(path)
        if (finding.field or "").startswith(("sew", "shorter"))
    ]


def test_sides_that_are_alike_meet(tmp_path: Path) -> None:
    """Two equal panels: nothing is asked, and the summary says that they meet."""
    path = garment_file(tmp_path, '[["front.side", "back.side"]]', panel("front"), panel("back"))
    assert asked(path) == []
    assert seam_summary(load_garment(path)) == [
        "seam 1: 'front.side' 40 cm, 'back.side' 40 cm: they meet"
    ]


def test_a_side_that_is_too_long_is_told_with_both_edges_and_the_difference(
    tmp_path: Path,
) -> None:
    """40 cm against 41: 1 cm; stated as ease it is meant; 2 mm apart is within the usual."""
    panels = panel("front"), panel("back", 41.0)
    path = garment_file(tmp_path, '[["front.side", "back.side"]]', *panels)
    (message,) = asked(path)
    assert message == "'front.side' is 40 cm and 'back.side' 41 cm: 1 cm too short"
    eased = '[{ edges = ["back.side", "front.side"], ease = "1 cm" }]'
    assert asked(garment_file(tmp_path, eased, *panels)) == []
    wide = '[{ edges = ["back.side", "front.side"], within = "1 cm" }]'
    assert asked(garment_file(tmp_path, wide, *panels)) == []
    near = panel("front"), panel("back", 40.2)
    assert asked(garment_file(tmp_path, '[["front.side", "back.side"]]', *near)) == []


@pytest.mark.parametrize(("along", "told"), [("18 cm", 0), ("18.2 cm", 0), ("18.5 cm", 1)])
def test_notches_meet_within_the_tolerance(tmp_path: Path, along: str, told: int) -> None:
    """18 cm against 18.5 is told once, from the side that is named first."""
    path = garment_file(
        tmp_path,
        '[["front.side", "back.side"]]',
        panel("front", more='notches = [{ edge = "side", at = "18 cm" }]'),
        panel("back", more=f'notches = [{{ edge = "side", at = "{along}" }}]'),
    )
    messages = asked(path)
    assert len(messages) == told
    assert all("'front.side' meets none: 'back.side' has its nearest 0.5 cm" in m for m in messages)


def test_a_double_notch_stands_opposite_a_single_one(tmp_path: Path) -> None:
    """Common practice, no source: one notch in front, two at the back; their middle counts."""
    two = 'notches = [{ edge = "side", at = "17.5 cm" }, { edge = "side", at = "18.5 cm" }]'
    one = 'notches = [{ edge = "side", at = "18 cm" }]'
    sew = '[["front.side", "back.side"]]'
    path = garment_file(tmp_path, sew, panel("front", more=one), panel("back", more=two))
    assert asked(path) == []
    path = garment_file(tmp_path, sew, panel("front", more=one), panel("back"))
    assert [m.endswith("'back.side' has none") for m in asked(path)] == [True]


def test_edges_drawn_the_other_way_round_are_walked_from_like_ends(tmp_path: Path) -> None:
    """The centre runs from waist to hem, the side from hem to waist: notches at 10 and 30 cm."""
    path = garment_file(
        tmp_path,
        '[["front.side", "back.centre"]]',
        panel("front", more='notches = [{ edge = "side", at = "10 cm" }]'),
        panel("back", more='notches = [{ edge = "centre", at = "30 cm" }]'),
    )
    assert asked(path) == []


def test_allowances_that_differ_are_told_unless_they_are_meant(tmp_path: Path) -> None:
    """1 cm against 1.5 cm."""
    panels = panel("front"), panel("back", allowance="1.5 cm")
    (message,) = asked(garment_file(tmp_path, '[["front.side", "back.side"]]', *panels))
    assert "'front.side' has an allowance of 1 cm and 'back.side' of 1.5 cm" in message
    meant = '[{ edges = ["front.side", "back.side"], leave = ["allowances"] }]'
    assert asked(garment_file(tmp_path, meant, *panels)) == []


def test_a_corner_across_a_seam_is_told_in_degrees(tmp_path: Path) -> None:
    """Sides that slant 4 cm in over 40: each waist corner opens by atan(0.1), 11.4 together."""
    slant = math.degrees(2 * math.atan2(4.0, 40.0))
    panels = panel("front", x=24.0), panel("back", x=24.0)
    messages = asked(garment_file(tmp_path, '[["front.side", "back.side"]]', *panels))
    assert len(messages) == 2
    assert any(f"'back.waist' meet in a hollow of {slant:.0f} degrees" in m for m in messages)
    assert any(f"'back.hem' meet in a point of {slant:.0f} degrees" in m for m in messages)
    meant = '[{ edges = ["front.side", "back.side"], leave = ["corners"] }]'
    assert asked(garment_file(tmp_path, meant, *panels)) == []
    on_top = '[{ edges = ["front.side", "back.side"], on_top = true }]'
    assert asked(garment_file(tmp_path, on_top, *panels)) == []


def test_a_seam_across_the_middle_counts_halves_and_pairs_twice(tmp_path: Path) -> None:
    """A band of 80 cm round a front of 20 cm on the fold and two backs of 20 cm."""
    band = """
[[piece]]
name = "band"
cut = "2 same way"
strip = { length = "80 cm", width = "4 cm" }
drawn = "net"
allowance = "1 cm"
"""
    front = panel("front", cut="1 on fold", more='fold = "centre"')
    path = garment_file(
        tmp_path, '[["band.long", ["front.waist", "back.waist"]]]', front, panel("back"), band
    )
    assert asked(path) == []
    assert seam_summary(load_garment(path)) == [
        "seam 1: 'band.long' 80 cm, 2 x 'front.waist' + 2 x 'back.waist' 80 cm: they meet"
    ]
    said = '[["band.long", ["front.waist", "1 x back.waist"]]]'
    (message,) = asked(garment_file(tmp_path, said, front, panel("back"), band))
    assert message.endswith("20 cm too long")


def test_a_strap_replaces_the_drops_that_are_stated(tmp_path: Path) -> None:
    """8 in of strap against drops of 4 in and 4 in; against 3 in it is an inch too long."""
    strap = """
[[piece]]
name = "strap"
cut = "2"
strip = { length = "8 in", width = "3 cm" }
drawn = "net"
allowance = "1 cm"
"""
    assert asked(garment_file(tmp_path, '[["strap.long", ["4 in", "4 in"]]]', strap)) == []
    (message,) = asked(garment_file(tmp_path, '[["strap.long", ["4 in", "3 in"]]]', strap))
    assert message.endswith("2.5 cm too long")


def test_an_overlay_is_shorter_by_what_was_said(tmp_path: Path) -> None:
    """33 against 40 cm is 7; where 5 was said it is asked about."""
    for by, told in (("7 cm", 0), ("5 cm", 1)):
        path = garment_file(
            tmp_path,
            "[]",
            panel("base"),
            panel("overlay", 33.0),
            head=f'shorter = [{{ edge = "overlay.side", than = "base.side", by = "{by}" }}]',
        )
        assert len(asked(path)) == told


@pytest.mark.parametrize(
    ("sew", "fault"),
    [
        ('[["frnt.side", "back.side"]]', "there is no piece 'frnt'"),
        ('[["front.sid", "back.side"]]', "'front' has no edge 'sid'"),
        ('[["front.side"]]', "a seam has two sides"),
        ('[["front.side", 7]]', ""),
        ('[["front.side", []]]', "a side of a seam is empty"),
        ('[["4 in", "4 in"]]', "neither side names an edge"),
        ('[{ edges = ["front.side", "back.side"], ese = "1 cm" }]', "unknown key 'ese'"),
        ('[{ edges = ["front.side", "back.side"], leave = ["x"] }]', '"x" is not looked at'),
        ('"front.side"', '"front.side" is not a list'),
        ("[3]", "3 is no seam"),
    ],
)
def test_what_cannot_be_sewn_is_told_at_its_place(tmp_path: Path, sew: str, fault: str) -> None:
    """Each with the field; a plain number is a length in the unit of the file."""
    path = garment_file(tmp_path, sew, panel("front"), panel("back"))
    found = list_findings(_read, path)
    if not fault:
        assert [f.message.endswith("33 cm too long") for f in found] == [True]
        return
    told = [f for f in found if f.message.startswith(fault)]
    assert len(told) == 1
    assert told[0].fatal
    assert (told[0].field or "").startswith("sew")
    assert told[0].line == 4


def test_a_seam_of_a_faulty_piece_is_not_told_twice(tmp_path: Path) -> None:
    """The fault of the piece stands alone."""
    broken = panel("front").replace('grain = "up"', "")
    path = garment_file(tmp_path, '[["front.side", "back.side"]]', broken, panel("back"))
    found: list[Finding] = check_garment(path)
    assert [(f.piece, f.field) for f in found] == [("front", "grain")]


@pytest.mark.parametrize("path", sorted(SHELF.glob("*.toml")), ids=lambda path: path.stem)
def test_demo_garments_declare_their_seams_and_pass(path: Path) -> None:
    """In every size."""
    for size in load_garment(path).sizes or (None,):
        garment = load_garment(path, size)
        walked = walk(garment)
        assert len(walked) >= 2
        assert all(seam is not None and not seam.mismatches for seam in walked)
    assert asked(path) == []


SLEEVE = """
[[piece]]
name = "sleeve"
cut = "2"
drawn = "net"
allowance = "1 cm"
grain = "up"
edges = [
  { name = "cap", to = [80, 0] },
  { name = "right", to = [80, 20] },
  { name = "wrist", to = [0, 20] },
  { name = "left", to = [0, 0] },
]
notches = [{ edge = "cap", at = "10 cm" }, { edge = "cap", at = "62 cm" }]
"""


def test_a_chain_may_be_walked_from_either_of_its_ends(tmp_path: Path) -> None:
    """A cap of 80 cm whose notches lie 10 cm into the back and 22 cm into the front."""
    front = panel("front", more='notches = [{ edge = "side", at = "22 cm" }]')
    back = panel("back", more='notches = [{ edge = "side", at = "10 cm" }]')
    for pair in ('["front.side", "back.side"]', '["back.side", "front.side"]'):
        path = garment_file(tmp_path, f'[["sleeve.cap", {pair}]]', SLEEVE, front, back)
        assert asked(path) == []


def test_notches_of_a_whole_against_halves_are_left_alone(tmp_path: Path) -> None:
    """A collar of 80 cm on two halves: its notch lies opposite those of both."""
    collar = SLEEVE.replace('"sleeve"', '"collar"').replace('cut = "2"', 'cut = "1"')
    front = panel("front", cut="1 on fold", more='fold = "centre"')
    path = garment_file(tmp_path, '[["collar.cap", ["front.waist", "2 x back.waist"]]]',
                        collar, front, panel("back"))  # fmt: skip
    assert asked(path) == []


def test_a_side_in_two_edges_has_its_corners_looked_at_too(tmp_path: Path) -> None:
    """The slanted sides of above, one of them in two edges."""
    slanted = panel("back", x=24.0)
    parted = panel("front", x=24.0).replace(
        '{ name = "side", to = [20.0, 40.0] },',
        '{ name = "side low", to = [22, 20] },\n  { name = "side", to = [20, 40] },',
    )
    sew = '[[["front.side low", "front.side"], "back.side"]]'
    messages = asked(garment_file(tmp_path, sew, parted, slanted))
    assert sum("degrees" in message for message in messages) == 2


def test_blocks_are_walked_as_well(tmp_path: Path) -> None:
    """A seam of two blocks is drafted, though neither is cut."""
    blocks = [panel(name, length).replace('cut = "2"', "block = true")
              for name, length in (("front", 40.0), ("back", 41.0))]  # fmt: skip
    path = garment_file(tmp_path, '[["front.side", "back.side"]]', *blocks, panel("cut"))
    (message,) = asked(path)
    assert message.endswith("1 cm too short")
