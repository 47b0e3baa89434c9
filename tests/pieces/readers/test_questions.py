"""Questions about what is possible but hardly meant, and the summary that a person checks."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from pieces.drafting.summary import garment_summary
from pieces.findings import Finding
from pieces.readers.garment_toml import check_garment, load_garment
from pieces.readers.shelf import SHELF, shelf_names
from plans.cli.check import command as check

TOP = """title = "{title}"
units = "{unit}"

[[piece]]
name = "front"
cut = {{ main = "{cut}" }}
drawn = "net"
allowance = "{allowance}"
fold = "centre front"
grain = "up"
{more}
edges = [
  {{ name = "hem", to = [{width}, 0] }},
  {{ name = "side", to = [{width}, {height}] }},
  {{ name = "neck", {neck} }},
  {{ name = "centre front", to = [0, 0] }},
]
"""


def asked(folder: Path, more: str = "", after: str = "", **changes: object) -> list[Finding]:
    """Findings of a top of 46 x 55 cm, with changes."""
    fields: dict[str, object] = {
        "title": "Top", "unit": "cm", "cut": "1 on fold", "allowance": "1 cm", "width": 23,
        "height": 55, "neck": "to = [0, 53]",
    }  # fmt: skip
    path = folder / "top.toml"
    path.write_text(TOP.format(**{**fields, **changes}, more=more) + after, encoding="utf-8")
    return check_garment(path)


def test_a_usual_top_raises_no_question(tmp_path: Path) -> None:
    """Neither do the demos, toys and a child's pinafore among them."""
    assert asked(tmp_path) == []
    for name in shelf_names():
        assert load_garment(SHELF / f"{name}.toml").questions == ()


@pytest.mark.parametrize(
    ("unit", "edges", "words"),
    [
        ("cm", (0.2, 53, 40), "near (0, 52.9) cm, so that their allowance of 1 cm"),
        ("in", (0.1, 21, 15), "near (0, 20 15/16) in, so that their allowance of 3/8 in"),
    ],
)
def test_a_slit_that_its_allowances_close(
    tmp_path: Path, unit: str, edges: tuple[float, ...], words: str
) -> None:
    """The question names the piece, the sides and the place, in the file's unit."""
    half, top, low = edges
    slit = f"to = [{half}, {top}] }},\n{{ name = 'slit', to = [{half}, {low}] }},\n"
    slit += f"{{ name = 'bottom', to = [0, {low}]"
    width, height = (23, 55) if unit == "cm" else (9, 22)
    (question,) = asked(tmp_path, unit=unit, neck=slit, width=width, height=height)
    assert "the two sides of 'slit' are" in question.message
    assert words in question.message
    assert (question.piece, question.field) == ("front", "allowance")
    own = "allowances = { slit = 0, bottom = 0 }"
    assert asked(tmp_path, own, unit=unit, neck=slit, width=width, height=height) == []


@pytest.mark.parametrize(
    ("unit", "width", "height", "hint"),
    [
        ("cm", 11.5, 21.5, "inches (then it is 21 1/2 in)"),
        ("mm", 23, 55, "centimetres"),
        ("in", 110, 540, "millimetres"),
        ("in", 63, 75, "centimetres"),
    ],
)
def test_numbers_in_another_unit_are_asked_about(
    tmp_path: Path, unit: str, width: float, height: float, hint: str
) -> None:
    """Inches typed as centimetres, centimetres as millimetres or inches, and so on."""
    findings = asked(
        tmp_path, unit=unit, width=width, height=height, neck=f"to = [0, {height * 0.96}]"
    )
    assert [finding.fatal for finding in findings] == [False] * len(findings)
    assert any(hint in finding.message for finding in findings), findings


@pytest.mark.parametrize("title", ["Doll's dress", "Top for a baby", "Toy: front of a bear"])
def test_small_things_may_be_small(tmp_path: Path, title: str) -> None:
    """A doll's top is 12 x 22 cm."""
    assert asked(tmp_path, title=title, width=11.5, height=21.5, neck="to = [0, 20]") == []


@pytest.mark.parametrize(
    ("allowance", "hint"),
    [
        ("38 in", "3/8 in?"),
        ("58 in", "5/8 in?"),
        ("16 cm", "1.6 cm?"),
        ("1.5 mm", "holds no seam"),
    ],
)
def test_strange_allowances_are_asked_about(tmp_path: Path, allowance: str, hint: str) -> None:
    """38 in is 3/8 in without its stroke."""
    findings = asked(tmp_path, allowance=allowance)
    assert [(f.field, f.fatal) for f in findings] == [("allowance", False)]
    assert hint in str(findings[0])


def test_a_deep_hem_is_no_question(tmp_path: Path) -> None:
    """10 cm of hem on a curtain or a coat is usual."""
    assert asked(tmp_path, 'allowances = { hem = "10 cm" }') == []


@pytest.mark.parametrize("cut", ["1", "2", "2 same way"])
def test_a_half_that_is_cut_alone_is_asked_about(tmp_path: Path, cut: str) -> None:
    """Drawn with a fold, cut without it."""
    (finding,) = asked(tmp_path, cut=cut)
    assert finding.field == "cut.main"
    assert "half alone" in finding.message
    assert "on fold" in (finding.fix or "")
    assert not finding.fatal


def test_a_curve_through_one_point_is_asked_about(tmp_path: Path) -> None:
    """It is a straight line; made square to its neighbour it is a curve."""
    (finding,) = asked(tmp_path, neck="smooth = [[0, 50]]")
    assert finding.field == "edges[3].smooth"
    assert "straight line" in finding.message
    assert asked(tmp_path, neck='smooth = [[0, 50]], square = "end"') == []


BACK = """
[[piece]]
name = "back"
like = "front"
cut = { main = "1 on fold" }
match = { group = "%s", at = [%s] }
"""


def test_match_groups_and_points_are_asked_about(tmp_path: Path) -> None:
    """A group that no other piece has, and a point outside its piece."""
    front = 'match = { group = "check", at = [0, 20] }'
    assert asked(tmp_path, front, BACK % ("check", "0, 20")) == []
    found = asked(tmp_path, front, BACK % ("chek", "0, 20"))
    assert [f.piece for f in found] == ["front", "back"]
    assert "no other piece has a match point of group 'check'" in found[0].message
    assert "did you mean 'chek'" in (found[0].fix or "")
    (outside,) = asked(tmp_path, front, BACK % ("check", "40, 20"))
    assert "lies 16 cm outside the piece" in outside.message


def test_check_ends_with_what_the_file_says(tmp_path: Path) -> None:
    """Pieces, sizes, what is cut from what, longest and widest; then sound or questions."""
    lines = garment_summary(load_garment(SHELF / "wrap-skirt.toml"))
    text = "\n".join(lines)
    assert "4 pieces, sizes S, M (shown here), L" in text
    assert "from main: 7 copies in all: back (1 on fold), front (2)" in text
    assert "longest along the grain: tie, 165 cm; widest across it: back, 72 cm" in text
    asked(tmp_path, cut="1")
    result = CliRunner().invoke(check, [str(tmp_path / "top.toml")], standalone_mode=False)
    assert result.return_value == 0
    assert "sound" not in result.output
    assert result.output.strip().endswith("nothing to mend, 1 question above")
    asked(tmp_path, unit="zoll")
    result = CliRunner().invoke(check, [str(tmp_path / "top.toml")], standalone_mode=False)
    assert result.return_value == 2
    assert result.output.count("error:") == 1


def test_figures_are_in_the_unit_of_the_file(tmp_path: Path) -> None:
    """In inches where the draft is in inches."""
    asked(tmp_path, unit="in", width=9, height=22, neck="to = [0, 21]", allowance="1/2 in")
    assert "front, 23 1/16 in" in garment_summary(load_garment(tmp_path / "top.toml"))[-1]


def test_a_strip_that_can_never_be_joined_is_asked_about(tmp_path: Path) -> None:
    """A least part that is longer than half of it."""
    strip = """
[[piece]]
name = "tie"
cut = {{ main = "1" }}
strip = {{ length = "90 cm", width = "5 cm" }}
drawn = "with allowance"
joinable = {{ min_part = "{part}", allowance = "1 cm" }}
"""
    (question,) = asked(tmp_path, after=strip.format(part="50 cm"))
    assert not question.fatal
    assert "in two it would be 46 cm" in str(question)
    assert asked(tmp_path, after=strip.format(part="40 cm")) == []


@pytest.mark.parametrize(
    ("unit", "width", "height", "words"),
    [("cm", 14, 33, "little for something to wear"), ("in", 23, 72, "is the unit right|are the")],
)
def test_units_that_were_mistyped_are_asked_about(
    tmp_path: Path, unit: str, width: int, height: int, words: str
) -> None:
    """An apron of 33 cm, a shirt of six feet."""
    found = asked(
        tmp_path, unit=unit, width=width, height=height, neck=f"to = [0, {height - 2}]", title="Top"
    )
    assert any(re.search(words, str(finding)) for finding in found)
