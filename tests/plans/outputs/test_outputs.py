"""Outputs: JSON there and back, PDF, SVG, PNG and HTML of every demo, tables that fit."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader
from shapely.geometry import Polygon

from pieces.lengths import System
from plans.data.plan_json import PlanFileError, plan_from_json, plan_to_json
from plans.drawing.picture import LayPicture, sheet_svgs, svg_text
from plans.outputs.folder import (
    FolderError,
    check_target,
    cut_sheet,
    file_stem,
    file_stems,
    read_plan,
    whole_folder,
    write_folder,
    write_plan_file,
)
from plans.outputs.pdf import write_pdf
from plans.outputs.report.page import html_text
from plans.words import facts
from plans.words.account_lines import account
from tests.plans.demo import CLOTH, demo_plan

FIXED = {
    "roles", "fabric", "width_mm", "selvage_mm", "width_cut_mm", "selvage_cut_mm", "one_way",
    "gap_mm", "ends_mm", "fold", "sections", "length_mm", "bound_mm", "bound_kind", "boxes_mm",
    "buy_mm", "min_width_mm", "utilisation", "waste", "leftover_share", "scrap_share", "cost",
    "currency", "ended_by", "placements",
}  # fmt: skip


@pytest.mark.parametrize("name", CLOTH)
def test_plans_survive_json(name: str) -> None:
    """Read back and written again, a plan is the same text; all fixed fields are there."""
    data = plan_to_json(demo_plan(name))
    text = json.dumps(data, allow_nan=False)
    assert {"format", "version", "garment", "makes", "complete", "fabrics"} <= set(data)
    for fabric in data["fabrics"]:
        assert set(fabric) >= FIXED
        for section in fabric["sections"]:
            assert {"name", "d1_mm", "d2_mm", "cloth_from_mm", "cloth_to_mm"} <= set(section)
        laid = fabric["laid_mm"] - fabric["slide_mm"]
        assert fabric["sections"][-1]["cloth_to_mm"] == pytest.approx(laid)
        for placed in fabric["placements"]:
            for copy in placed["copies"]:
                assert Polygon(copy["outline"]).exterior.is_ccw
                assert copy["outline"][0] != copy["outline"][-1]
                assert copy["ply"] in placed["plies"]
    again = plan_from_json(json.loads(text))
    assert json.dumps(plan_to_json(again)) == json.dumps(data)


@pytest.mark.parametrize(
    ("change", "part"),
    [
        ({"format": "other"}, "no plan"),
        ({"version": 99}, "version 99"),
        ({"fabrics": [{}]}, "damaged plan"),
        ({"makes": "many"}, "damaged plan"),
    ],
)
def test_damaged_plans_say_what_is_wrong(change: dict[str, object], part: str) -> None:
    """Not a plan, of another version, or with fields missing."""
    data = {**plan_to_json(demo_plan("trousers")), **change}
    with pytest.raises(PlanFileError, match=part):
        plan_from_json(data)


@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize("name", CLOTH)
def test_terminal_text_fits_100_columns(name: str, system: System) -> None:
    """Nothing is wider, and every piece of the plan's figures is said."""
    text = facts.plan_text(demo_plan(name), system)
    assert max(len(line) for line in text.splitlines()) <= 100
    assert "Ask for" in text or "Take " in text
    assert "Blades" in text


@pytest.mark.parametrize(("name", "paper"), [("layered-top", "a4"), ("toy-hare", "letter")])
def test_pdfs_carry_drawing_and_tables(tmp_path: Path, name: str, paper: str) -> None:
    """The right paper, every piece in the pinning table, cautions and the shopping list."""
    plan = demo_plan(name)
    for k, entry in enumerate(plan.fabrics):
        path = tmp_path / f"{k}.pdf"
        write_pdf(plan, entry, path, System.METRIC, paper)
        reader = PdfReader(path)
        sides = sorted(float(v) / 72 * 25.4 for v in reader.pages[0].mediabox[2:])
        expected = [210.0, 297.0] if paper == "a4" else [215.9, 279.4]
        assert sides == pytest.approx(expected, abs=0.2)
        text = " ".join(page.extract_text() for page in reader.pages)
        for placed in entry.placements:
            assert placed.piece.split()[0] in text
        for words in ("pinning table", "Cutting list", "Ask for", "Blades", "measure"):
            assert words in text


def test_long_lays_continue_over_pages_with_joining_marks(tmp_path: Path) -> None:
    """Several sheets, numbered, with a letter where they join."""
    plan = demo_plan("wrap-skirt", "open", makes=4)
    path = tmp_path / "long.pdf"
    write_pdf(plan, plan.fabrics[0], path, System.METRIC, "a4")
    text = [page.extract_text() for page in PdfReader(path).pages]
    sheets = [page for page in text if re.search(r"sheet \d of \d", page)]
    assert len(sheets) >= 2
    assert all("A" in page.split() for page in sheets[:2])


def test_pictures_are_repeatable(tmp_path: Path) -> None:
    """The same plan gives the same files, whichever of them is drawn first."""
    entry = demo_plan("pinafore").fabrics[0]
    for number, names in enumerate((("svg", "png"), ("png", "svg"))):
        picture = LayPicture(entry)
        for name in names:
            path = tmp_path / f"{number}.{name}"
            getattr(picture, f"write_{name}")(path, System.METRIC)
    assert (tmp_path / "0.svg").read_text() == svg_text(entry, System.METRIC)
    for name in ("svg", "png"):
        assert (tmp_path / f"0.{name}").read_bytes() == (tmp_path / f"1.{name}").read_bytes()


def test_the_report_needs_nothing_from_outside() -> None:
    """Inline pictures, one script of its own, no network, text escaped, ids unique."""
    plan = replace(demo_plan("layered-top"), title='<Top & "co">')
    text = html_text(plan, System.METRIC)
    assert "&lt;Top &amp;" in text
    assert text.count("<script>") == text.count("<script") == 1
    assert not re.search(r'(?:src|href)="(?!#)', text)
    assert "default-src 'none'" in text
    ids = re.findall(r'\bid="([^"]+)"', text)
    assert len(ids) == len(set(ids))
    sheets = sum(len(sheet_svgs(entry, System.METRIC)) for entry in plan.fabrics)
    assert text.count('<figure class="sheet">') == sheets


def test_area_account_adds_up_to_a_hundred() -> None:
    """Rounded shares still make 100.0 %."""
    for name in CLOTH:
        for entry in demo_plan(name).fabrics:
            shown = [float(line.result.rstrip(" %")) for line in account(entry)]
            assert sum(shown[:3]) == pytest.approx(100.0)
            assert shown[3] == pytest.approx(shown[1] + shown[2])


def test_folders_are_written_whole_and_replaced_only_if_plans(tmp_path: Path) -> None:
    """A former plan is replaced; other files are never written over; no half folder is left."""
    plan = demo_plan("trousers")
    target = tmp_path / "out"
    write_folder(plan, target, System.METRIC, "a4")
    names = {path.name for path in target.iterdir()}
    assert {"plan.json", "report.html", "demo-flawed-twill.pdf"} <= names
    assert plan_to_json(read_plan(target)) == plan_to_json(plan)
    (target / "extra.txt").write_text("x")
    write_folder(plan, target, System.METRIC, "a4")
    assert not (target / "extra.txt").exists()
    other = tmp_path / "photos"
    other.mkdir()
    (other / "cat.jpg").write_text("x")
    for bad in (other, other / "cat.jpg", tmp_path / "no" / "where"):
        with pytest.raises(FolderError):
            check_target(bad)
    assert not list(tmp_path.glob(".laywright-*"))


def test_a_new_plan_keeps_what_a_cut_of_the_former_one_left(tmp_path: Path) -> None:
    """The sheet of its leftovers: no plan can draw it again, and tags stand on it."""
    plan = demo_plan("toy-hare")
    target = tmp_path / "hare-plan"
    with whole_folder(target) as aside:
        write_plan_file(plan, aside)
    sheet = cut_sheet(target, 7)
    assert cut_sheet(target / "plan.json", 7) == sheet
    sheet.write_bytes(b"%PDF")
    (target / "old.pdf").write_bytes(b"%PDF")
    with whole_folder(target) as aside:
        write_plan_file(plan, aside)
    assert {path.name for path in target.iterdir()} == {"plan.json", sheet.name}


def test_a_full_disk_leaves_the_former_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """If a write fails the old plan is still there, whole."""
    plan = demo_plan("trousers")
    target = tmp_path / "out"
    with whole_folder(target) as aside:
        write_plan_file(plan, aside)
        (aside / "report.html").write_text("the former one")
    before = sorted((p.name, p.stat().st_size) for p in target.iterdir())

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("plans.outputs.report.page.write_html", refuse)
    with pytest.raises(FolderError, match="the disk is full"):
        write_folder(plan, target, System.METRIC, "a4")
    assert sorted((p.name, p.stat().st_size) for p in target.iterdir()) == before
    assert not list(tmp_path.glob(".laywright-*"))


def test_fabrics_with_the_same_name_get_their_own_files() -> None:
    """File names are made safe and unique."""
    entry = demo_plan("trousers").fabrics[0]
    odd = replace(entry, fabric=replace(entry.fabric, name="../a b"))
    assert file_stems((odd, odd)) == ["..-a-b", "..-a-b-2"]


def test_a_folder_s_name_that_is_too_long_is_refused_before_any_search(tmp_path: Path) -> None:
    """With the option and how long it may be."""
    with pytest.raises(FolderError) as caught:
        check_target(tmp_path / ("n" * 260))
    assert str(caught.value).startswith("--out nnn")
    assert "the name of the folder is too long: 260 letters, at most 250" in str(caught.value)
    check_target(tmp_path / ("n" * 200 + "-plan-12"))


def test_files_of_a_fabric_with_a_very_long_name_can_be_written(tmp_path: Path) -> None:
    """Cut, and still told apart."""
    entry = demo_plan("trousers").fabrics[0]
    long = replace(entry, fabric=replace(entry.fabric, name="é" * 125))
    for stem in file_stems((long, long)):
        (tmp_path / f"shortage-{stem}-2.json").write_text("{}")
    assert len(list(tmp_path.iterdir())) == 2


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("54in, shrinkage 3%", "54in--shrinkage-3"),
        ("54in,shrinkage=3%", "54in-shrinkage-3"),
        ("demo-linen", "demo-linen"),
        ("mine-", "mine-"),
        ("%", "fabric"),
    ],
)
def test_what_stands_for_odd_signs_ends_no_file_name(name: str, stem: str) -> None:
    """Names that need no change stay as they are."""
    assert file_stem(name) == stem
