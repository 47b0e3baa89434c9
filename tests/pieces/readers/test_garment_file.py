"""Garment files: what can be typed, and every fault at once."""

from __future__ import annotations

from pathlib import Path

import pytest
from shapely.geometry import Polygon

from pieces.findings import InputError
from pieces.outline import signed_area
from pieces.piece import CutKind, Turns
from pieces.readers.garment_toml import check_garment, load_garment
from pieces.readers.shelf import find_garment, shelf_names
from pieces.readers.svg_path import edges_from_path

PIECE = """
[[piece]]
name = "front"
cut = {{ main = "{cut}" }}
drawn = "net"
allowance = "1 cm"
grain = "up"
edges = [
  {{ name = "hem", to = ["20 cm", 0] }},
  {{ name = "side", to = ["8 in", "40 cm"] }},
  {{ name = "top", to = [0, "40 cm"] }},
  {{ name = "centre", to = [0, 0] }},
]
{more}
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "garment.toml"
    path.write_text(text, encoding="utf-8")
    return path


def faults(folder: Path, text: str) -> str:
    return "\n".join(str(finding) for finding in check_garment(written(folder, text)))


@pytest.mark.parametrize("name", shelf_names())
def test_every_demo_garment_is_sound(name: str) -> None:
    """Shipped garments have no findings, sound outlines and roles."""
    path = find_garment(name)
    assert check_garment(path) == []
    garment = load_garment(path)
    assert garment.roles
    assert "demo" in garment.title
    for piece in garment.pieces:
        assert Polygon(piece.outline).is_valid
        assert signed_area(piece.outline) > 0


def test_there_are_demo_garments_of_different_character() -> None:
    """The layered top, ties, trousers, a pair of pockets, many small pieces."""
    assert {"layered-top", "wrap-skirt", "trousers", "pinafore", "toy-hare"} <= set(shelf_names())


def test_strap_is_as_long_as_the_drops_it_replaces() -> None:
    """Drops of 4 in at front and back make a strap of 8 in; common practice, no source."""
    garment = load_garment(find_garment("layered-top"))
    strap = next(piece for piece in garment.pieces if piece.name == "strap")
    assert strap.strip is not None
    assert strap.strip[0] - 2 * 10.0 == pytest.approx(2 * 4 * 25.4)


def test_units_may_be_mixed_in_one_outline(tmp_path: Path) -> None:
    """Inches and centimetres in one draft; nought needs no unit."""
    garment = load_garment(written(tmp_path, 'title = "t"\n' + PIECE.format(cut="2", more="")))
    net = Polygon(garment.pieces[0].stitching or ())
    assert net.bounds == pytest.approx((0.0, 0.0, 203.2, 400.0))


@pytest.mark.parametrize(
    ("words", "kind", "count"),
    [
        ("1 on fold", CutKind.FOLD, 1),
        ("cut 2 on the fold", CutKind.FOLD, 2),
        ("2", CutKind.PAIR, 2),
        ("1 pair", CutKind.PAIR, 2),
        ("3 pairs", CutKind.PAIR, 6),
        ("2 same way", CutKind.SAME_WAY, 2),
        ("1", CutKind.SAME_WAY, 1),
    ],
)
def test_cut_labels_in_the_trades_words(
    tmp_path: Path, words: str, kind: CutKind, count: int
) -> None:
    """Labels are read as they stand on a pattern."""
    more = 'fold = "centre"' if kind is CutKind.FOLD else ""
    text = 'title = "t"\n' + PIECE.format(cut=words, more=more)
    cut = load_garment(written(tmp_path, text)).pieces[0].cuts[0]
    assert (cut.kind, cut.count) == (kind, count)


@pytest.mark.parametrize(
    ("cut", "more", "part"),
    [
        ("0", "", "at least 1"),
        ("-2", "", "at least 1"),
        ("999", "", "taken for a slip"),
        ("twice", "", "no cut label"),
        ("3", "", "no pairs"),
        ("1 on fold", "", "needs a fold edge"),
        ("1 on fold", 'fold = "centr"', "did you mean 'centre'"),
        ("2", "colour = 3", "unknown key 'colour'"),
        ("2", "allowances = { hme = '2 cm' }", "did you mean 'hem'"),
        ("2", "turns = 'alnog'", "did you mean 'along'"),
        ("2", "shorten = { edge = 'hem', by = '90 cm' }", "no longer meet"),
        ("2", "notches = [{ edge = 'side', at = '9 m' }]", "not a place on 'side'"),
        ("2", "joinable = { min_part = '9 cm', allowance = '1 cm' }", "only a strip"),
    ],
)
def test_faults_name_piece_and_field(tmp_path: Path, cut: str, more: str, part: str) -> None:
    """Each fault names the file, the piece, the field and what would be right."""
    text = faults(tmp_path, 'title = "t"\n' + PIECE.format(cut=cut, more=more))
    assert part in text
    assert "garment.toml" in text
    assert "piece 'front'" in text


@pytest.mark.parametrize("role", ["main+lining", "main@coat", "a=b", " ", "main ", ""])
def test_a_role_is_one_that_cloth_can_be_given_to(tmp_path: Path, role: str) -> None:
    """What parts roles where cloth is named cannot stand in one."""
    text = 'title = "t"\n' + PIECE.format(cut="2", more="").replace("main", f'"{role}"', 1)
    told = faults(tmp_path, text)
    assert f"piece 'front', cut.{role}: " in told
    assert "cannot be a role: " in told if role.strip() not in ("main", "") else "; write main"


def test_all_faults_are_listed_at_once(tmp_path: Path) -> None:
    """An unknown unit, a missing grain and an open outline in one reading."""
    text = faults(
        tmp_path,
        """
title = "t"
[[piece]]
name = "a"
cut = "2"
drawn = "net"
allowance = "1 cubit"
grain = "up"
edges = [{ name = "x", to = ["1 cm", 0] }, { name = "y", to = ["1 cm", "9 cm"] }]
[[piece]]
name = "b"
cut = "2"
drawn = "net"
edges = [{ name = "x", to = ["9 cm", 0] }, { name = "y", to = [["9 cm", "9 cm"], [0, 0]] }]
[[piece]]
name = "c"
like = "d"
cut = "1"
""",
    )
    assert "outline is open" in text
    assert "grain: is missing" in text
    assert "allowance: is missing on a net piece" in text or "cubit" in text
    assert "there is no piece 'd'" in text


def test_self_crossing_outlines_are_refused(tmp_path: Path) -> None:
    """A bow is no piece, and the place of the crossing is named."""
    text = faults(
        tmp_path,
        """
title = "t"
units = "cm"
[[piece]]
name = "bow"
cut = "2"
drawn = "with allowance"
grain = "up"
edges = [{ name = "o", to = [[10, 10], [0, 12], [10, 0], [0, 0]] }]
""",
    )
    assert "crosses itself near" in text


def test_pieces_may_not_be_like_themselves(tmp_path: Path) -> None:
    """A ring of likenesses is found."""
    text = faults(
        tmp_path,
        'title = "t"\n[[piece]]\nname = "a"\nlike = "b"\ncut = "1"\n'
        '[[piece]]\nname = "b"\nlike = "a"\ncut = "1"\n',
    )
    assert "like itself" in text


@pytest.mark.parametrize(
    ("content", "part"),
    [
        (b"", "is empty"),
        (b"\x80\xff\x00", "not a text file"),
        (b'title = "x\n', "the quote after"),
        (b'title = "x"\n', "there is no piece"),
    ],
)
def test_unreadable_files(tmp_path: Path, content: bytes, part: str) -> None:
    """Empty files, junk, broken TOML (with its line) and files without a piece."""
    path = tmp_path / "g.toml"
    path.write_bytes(content)
    with pytest.raises(InputError, match=part) as caught:
        load_garment(path)
    if part == "the quote after":
        assert caught.value.findings[0].line == 1


def test_a_four_metre_cuff_is_questioned(tmp_path: Path) -> None:
    """Implausible sizes are questions, not errors."""
    path = written(
        tmp_path,
        'title = "t"\n[[piece]]\nname = "cuff"\ncut = "2"\ndrawn = "with allowance"\n'
        'strip = { length = "4.2 m", width = "5 cm" }\n',
    )
    findings = check_garment(path)
    assert [finding.fatal for finding in findings] == [False]
    assert "is the unit right?" in findings[0].message
    assert load_garment(path).pieces[0].turns is Turns.ALONG


def test_y_down_files_do_not_mirror_a_piece() -> None:
    """SVG measures y downward: what is left in the picture stays left.

    W3C SVG 1.1, section 7.3: the initial coordinate system has y pointing down.
    """
    edges = edges_from_path("M 0 0 H 100 V 30 H 40 V 80 H 0 Z", 1.0)
    points = [point for edge in edges for point in edge.points]
    low = min(y for _, y in points)
    # The narrow lower part of the picture lies at its left, and is low in our frame too.
    assert {x for x, y in points if y == low} == {0.0, 40.0}


def test_svg_arcs_follow_the_circle() -> None:
    """Two half circles enclose the circle's area (SVG 1.1, appendix F.6)."""
    edges = edges_from_path("M -50 0 A 50 50 0 0 1 50 0 A 50 50 0 0 1 -50 0 Z", 1.0)
    points = tuple(p for edge in edges for p in edge.points[:-1])
    assert abs(signed_area(points)) == pytest.approx(3.14159265 * 2500, rel=2e-3)


def test_a_garment_keeps_the_drafts_of_its_pieces(tmp_path: Path) -> None:
    """With their named edges, so that a piece can be changed at one later."""
    garment = load_garment(find_garment("layered-top"))
    assert [draft.name for draft in garment.drafts] == [piece.name for piece in garment.pieces]
    by_name = {draft.name: draft for draft in garment.drafts}
    assert by_name["overlay front"].like == "front"
    assert by_name["front"].like == ""
    assert "hem" in by_name["front"].edge_names


def test_a_curve_through_very_many_points_is_refused(tmp_path: Path) -> None:
    """It would hold whoever reads it for minutes; a line through so many may be written."""
    wave = ", ".join(
        f'["{20 - 12 * k / 1200:.3f} cm", "{40 * k / 1200:.3f} cm"]' for k in range(1, 1201)
    )
    text = PIECE.format(cut="2", more="").replace('to = ["8 in", "40 cm"]', f"smooth = [{wave}]")
    assert "'side' goes through 1200 points; more than 1000" in faults(tmp_path, text)
    assert "goes through" not in faults(tmp_path, text.replace("smooth = [", "to = ["))
