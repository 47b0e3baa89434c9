"""Names in any script, with any sign in them: they are drawn as they stand, or as a box."""

from __future__ import annotations

import re
import warnings
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

from fabrics.spread import Fold
from pieces.lengths import System
from plans.compare.cells import Cell
from plans.compare.chart import write_chart
from plans.drawing.garment.piece_picture import write_piece_picture
from plans.drawing.pages.paper import wrap
from plans.drawing.picture import LayPicture, lay_figure, svg_text
from plans.drawing.writing import BOX, clean, families, font_with, shown, text_width, tied
from plans.outputs.pdf import write_pdf
from plans.outputs.report.page import html_text
from plans.plan import Plan
from tests.plans.demo import demo_plan, garment

NAMES = (
    "前身頃",
    "бок Ärmel Ωmega",
    "袖 \U0001f60a sleeve",
    "$\\frac{$ and $x^2$",
    "100 % <b> & \"co\" --> ]]> 'x'",
    "tab\there\nand\x1b[31m \x00\ufffe\ud800",
    "\u202emirrored \u0301\u0301 \U000e0041",
    "",
)


def plan_named(name: str) -> Plan:
    """A demo plan in which everything that a user may name has this name."""
    plan = demo_plan("trousers")
    (entry,) = plan.fabrics
    placements = tuple(replace(p, piece=f"{name} {p.number}", role=name) for p in entry.placements)
    fabric = replace(entry.fabric, title=name, colour=name)
    notes = (*entry.notes, name)
    entry = replace(entry, fabric=fabric, roles=(name,), placements=placements, notes=notes)
    return replace(plan, title=name, fabrics=(entry,), cautions=(name,))


@pytest.mark.parametrize("name", NAMES)
def test_every_sheet_is_drawn_whatever_things_are_called(tmp_path: Path, name: str) -> None:
    """PDF, SVG, PNG and report come about without a warning; the markup of two is sound."""
    plan = plan_named(name)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        write_pdf(plan, plan.fabrics[0], tmp_path / "a.pdf", System.METRIC, "a4")
        LayPicture(plan.fabrics[0]).write_png(tmp_path / "a.png", System.METRIC)
        svg = svg_text(plan.fabrics[0], System.IMPERIAL)
        report = html_text(plan, System.METRIC)
    assert len(PdfReader(tmp_path / "a.pdf").pages) >= 2
    ElementTree.fromstring(svg)
    report.encode("utf-8")
    assert not re.search("[\x00-\x08\x0b-\x1f]", report)
    assert "<b>" not in report
    own = r"<!DOCTYPE html>|<style>.*?</style>|<script>.*?</script>"
    ElementTree.fromstring(re.sub(own, "", report, flags=re.S))


def test_dollars_are_no_formulas() -> None:
    """A title with two dollar signs is drawn letter by letter."""
    plan = plan_named("lining $5 to $9_2")
    figure = lay_figure(plan.fabrics[0], System.METRIC)
    texts = [*figure.texts, *(text for axes in figure.axes for text in axes.texts)]
    assert any("$5 to $9_2" in text.get_text() for text in texts)
    assert not any(text.get_parse_math() for text in texts if text.get_text())


def test_letters_that_no_font_has_become_a_box() -> None:
    """What the drawing font lacks is looked for in others; else it is a box."""
    private = "\U000f1234"
    assert shown(f"a{private}b") == f"a{BOX}b"
    assert text_width(f"a{private}") == pytest.approx(text_width("a") + text_width(BOX))
    assert font_with("ä") is not None
    assert families("plain") == ["DejaVu Sans"]


def test_other_fonts_are_asked_for_what_the_drawing_font_lacks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A letter that another installed font has is drawn from it."""
    import plans.drawing.writing as writing

    letters = {"main.ttf": frozenset({ord("a")}), "far.ttf": frozenset({ord("袖")})}
    monkeypatch.setattr(writing, "_file_of", lambda family: "main.ttf")
    monkeypatch.setattr(writing, "_others", lambda: (("Far", "far.ttf"),))
    monkeypatch.setattr(writing, "_letters", lambda file: letters[file])
    font_with.cache_clear()
    try:
        assert font_with("袖") == ("Far", "far.ttf")
        assert families("a袖") == ["DejaVu Sans", "Far"]
        assert shown("袖身") == f"袖{BOX}"
    finally:
        font_with.cache_clear()


def test_control_characters_do_not_reach_a_page() -> None:
    """Tabs become spaces, what no page can hold a sign for the unknown."""
    assert clean("a\tb\x1bc\ud800") == "a b\ufffdc\ufffd"


@pytest.mark.parametrize("kind", ["png", "svg", "pdf"])
def test_pictures_of_pieces_take_any_name(tmp_path: Path, kind: str) -> None:
    """`pieces --picture` as well."""
    one = garment("toy-hare")
    named = replace(one, title="$a 前", pieces=tuple(
        replace(p, name=f"$ 袖{k} <") for k, p in enumerate(one.pieces)
    ))  # fmt: skip
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        write_piece_picture(named, tmp_path / f"x.{kind}", System.METRIC)
    assert (tmp_path / f"x.{kind}").stat().st_size > 1000


def test_charts_take_any_name(tmp_path: Path) -> None:
    """A comparison's chart with a cloth, a role and a currency that are no formulas."""
    cell = example_cell()
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        write_chart((cell,), "$ 前 $", tmp_path / "c.svg", System.METRIC)
    ElementTree.fromstring((tmp_path / "c.svg").read_text(encoding="utf-8"))


def example_cell() -> Cell:
    """A cell of a comparison in which everything has an awkward name."""
    return Cell(
        ("$ 袖",), "$ 前 <", 1400.0, Fold.OPEN, False, buy=1000.0, cost=3.0, currency="$",
        best=True,
    )  # fmt: skip


def test_figures_stay_with_their_units() -> None:
    """Neither a fraction nor a unit is parted from its figure at the end of a line."""
    text = "the width is 1 1/2 in and 118 1/8 in, or 3.5 cm; 69.0 % of 2 m² at 1 3/8 yd"
    assert tied("1 1/2 in, 3 pieces in all") == "1\u00a01/2\u00a0in, 3 pieces in all"
    for width in range(24, 70):
        for line in wrap(text, float(width), 8.0):
            assert not re.match(r"(in|cm|yd|%|m²|1/2|1/8|3/8)\b", line), (width, line)
    report = html_text(demo_plan("trousers"), System.IMPERIAL)
    words = re.sub(r"<(svg|style|script).*?</\1>|<[^>]+>", " ", report, flags=re.S)
    assert not re.search(r"\d (cm|yd|%)", words)
