"""What is written at full size is read back within 0.1 mm: by our readers, ezdxf, svgpathtools."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from ezdxf.filemanagement import readfile
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.geometry import LinearRing, Polygon
from svgpathtools import parse_path

from pieces.drafting.draft import Draft, Notch, make_piece
from pieces.drafting.garment import Garment
from pieces.drawings.drawn_piece import Drawing
from pieces.drawings.dxf.reader import read_dxf
from pieces.drawings.loading import load_any
from pieces.drawings.svg.reader import read_svg
from pieces.outline import ring_of
from pieces.piece import Cut, CutKind, Piece
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment
from plans.cli.main import front_door
from plans.full_size.dxf import dxf_text
from plans.full_size.marks import NOTCH_MM
from plans.full_size.pieces import not_said, pieces_sheet
from plans.full_size.sheet import LineKind, Sheet
from plans.full_size.svg import svg_text
from tests.pieces.drafting.test_notches import BOX

NEAR_MM = 0.1
GARMENTS = ("layered-top", "blouse", "trousers")


def shelf(name: str) -> Garment:
    return load_garment(find_garment(name))


def written(sheet: Sheet, kind: str, folder: Path) -> Path:
    path = folder / f"sheet.{kind}"
    path.write_text(svg_text(sheet) if kind == "svg" else dxf_text(sheet), encoding="utf-8")
    return path


def read(path: Path) -> Drawing:
    return read_svg(path, {}) if path.suffix == ".svg" else read_dxf(path)


def apart(a: Any, b: Any) -> float:
    """Hausdorff distance of two rings whose lower left corners are laid on one another, mm."""
    rings = []
    for ring in (a, b):
        x, y = min(p[0] for p in ring), min(p[1] for p in ring)
        rings.append(LinearRing([(p[0] - x, p[1] - y) for p in ring]))
    off: float = max(
        max(rings[i].distance(Polygon([p, p, p]).centroid) for p in rings[1 - i].coords)
        for i in (0, 1)
    )
    return off


@pytest.mark.parametrize("kind", ["svg", "dxf"])
@pytest.mark.parametrize("name", GARMENTS)
def test_pieces_are_read_back_by_our_own_readers(name: str, kind: str, tmp_path: Path) -> None:
    """Outlines within 0.1 mm, notches and grain at their places, and all cut words."""
    garment = shelf(name)
    sheet = pieces_sheet(garment)
    path = written(sheet, kind, tmp_path)
    drawing = read(path)
    assert not drawing.findings
    assert [drawn.name for drawn in drawing.pieces] == [piece.name for piece in garment.pieces]
    for drawn, group, piece in zip(drawing.pieces, sheet.groups, garment.pieces, strict=True):
        outline = group.lines[0].points
        assert apart(ring_of(drawn.edges), outline) < NEAR_MM
        x, y = min(x for x, _ in outline), min(y for _, y in outline)
        grain = next(line for line in group.lines if line.kind is LineKind.GRAIN).points
        assert drawn.grain is not None
        for end, meant in zip(drawn.grain, grain, strict=True):
            assert math.dist(end, (meant[0] - x, meant[1] - y)) < NEAR_MM
        assert len(drawn.notches) == len(group.notches) == len(piece.notches)
        for place, (meant, _) in zip(drawn.notches, group.notches, strict=True):
            assert math.dist(place, (meant[0] - x, meant[1] - y)) < NEAR_MM
    again = load_any(path)
    assert again.title == garment.title
    for piece, made in zip(garment.pieces, again.pieces, strict=True):
        assert made.cuts == piece.cuts
        assert (made.fold is None) == (piece.fold is None)
        assert apart(made.outline, piece.outline) < NEAR_MM


@pytest.mark.parametrize("name", GARMENTS)
def test_ezdxf_reads_the_pieces_and_finds_nothing_amiss(name: str, tmp_path: Path) -> None:
    """One block a piece, on the layers of the standard."""
    sheet = pieces_sheet(shelf(name))
    document = readfile(written(sheet, "dxf", tmp_path))
    auditor = document.audit()
    assert not auditor.errors
    assert not auditor.fixes
    for group in sheet.groups:
        block = document.blocks[group.ident.upper()]
        outline: Any
        (outline,) = block.query('POLYLINE[layer=="1"]')
        points = [(v.dxf.location.x, v.dxf.location.y) for v in outline.vertices]
        assert apart(points, group.lines[0].points) < NEAR_MM
        assert len(block.query('POINT[layer=="4"]')) == len(group.notches)
        assert len(block.query('LINE[layer=="7"]')) == 1
    assert len(document.modelspace().query("INSERT")) == len(sheet.groups)


@pytest.mark.parametrize("name", GARMENTS)
def test_svgpathtools_reads_the_pieces(name: str, tmp_path: Path) -> None:
    """One unit is one mm by the head of the document."""
    sheet = pieces_sheet(shelf(name))
    root = ElementTree.parse(written(sheet, "svg", tmp_path)).getroot()
    wide = float(root.attrib["width"].removesuffix("mm"))
    assert float(root.attrib["viewBox"].split()[2]) == wide
    space = "{http://www.w3.org/2000/svg}"
    groups = {group.attrib["id"]: group for group in root.iter(f"{space}g")}
    for group in sheet.groups:
        path = next(
            p for p in groups[group.ident].iter(f"{space}path") if p.attrib["class"] == "outline"
        )
        points = [
            (segment.start.real, -segment.start.imag) for segment in parse_path(path.attrib["d"])
        ]
        assert apart(points, group.lines[0].points) < NEAR_MM


def run(*arguments: str) -> str:
    result = CliRunner().invoke(front_door, list(arguments), standalone_mode=False)
    assert result.exception is None, result.output
    return result.output


@pytest.mark.parametrize("kind", ["svg", "dxf"])
def test_the_lays_of_a_plan_go_out_as_they_lie(kind: str, tmp_path: Path) -> None:
    """Every outline of every section, folds and limits; read by ezdxf or svgpathtools."""
    plan = tmp_path / "plan"
    run(
        "plan", "trousers", "--cloth", "main=140cm", "--fold", "lengthwise", "--effort", "quick",
        "--out", str(plan),
    )  # fmt: skip
    out = tmp_path / f"lays.{kind}"
    said = run("draw", str(plan), "--out", str(out))
    from plans.outputs.folder import read_plan

    (entry,) = read_plan(plan).fabrics
    assert "written at full size" in said
    if kind == "dxf":
        document = readfile(out)
        assert document.header["$INSUNITS"] == 4
        assert not document.audit().errors
        space: Any = document.modelspace()
        found = [
            [(x, y) for x, y, *_ in line.get_points()]
            for line in space.query('LWPOLYLINE[layer=="OUTLINE"]')
        ]
        cloth = [list(c.get_points("xy")) for c in space.query('LWPOLYLINE[layer=="CLOTH"]')]
    else:
        found, cloth = (
            [
                [(s.start.real, -s.start.imag) for s in parse_path(data)]
                for data in re.findall(rf'class="{name}"[^>]* d="([^"]*)"', out.read_text())
            ]
            for name in ("outline", "cloth")
        )
    assert len(found) == len(entry.placements)
    for points, placed in zip(found, entry.placements, strict=True):
        assert apart(points, placed.outline) < NEAR_MM
    # Pieces lie where they lie on the cloth, not only in their own shape.
    low = min(y for _, y in cloth[0])
    left = min(x for x, _ in cloth[0])
    for points, placed in zip(found, entry.placements, strict=True):
        assert min(x for x, _ in points) - left == pytest.approx(
            min(x for x, _ in placed.outline), abs=NEAR_MM
        )
        assert min(y for _, y in points) - low == pytest.approx(
            min(y for _, y in placed.outline), abs=NEAR_MM
        )


def test_a_garment_read_back_from_dxf_needs_the_same_cloth(tmp_path: Path) -> None:
    """The purchase is equal, to the millimetre."""
    out = tmp_path / "trousers.dxf"
    run("draw", "trousers", "--out", str(out))
    kept = tmp_path / "trousers.toml"
    run("read", str(out), "--out", str(kept))
    bought: list[float] = []
    for name in ("trousers", str(out), str(kept)):
        folder = tmp_path / f"plan-{len(bought)}"
        run(
            "plan", name, "--cloth", "main=140cm", "--fold", "lengthwise", "--effort", "quick",
            "--out", str(folder),
        )  # fmt: skip
        from plans.outputs.folder import read_plan

        bought.append(read_plan(folder).fabrics[0].purchase.bought)
    assert bought[0] == bought[1] == bought[2]


def test_a_dxf_file_holds_every_size(tmp_path: Path) -> None:
    """Unless one is named; each comes back as it was."""
    out = tmp_path / "skirt.dxf"
    run("draw", "wrap-skirt", "--out", str(out))
    original = shelf("wrap-skirt")
    assert load_any(out).sizes == original.sizes
    assert load_any(out).size == original.size
    for size in original.sizes:
        true = load_garment(find_garment("wrap-skirt"), size)
        for piece, made in zip(true.pieces, load_any(out, size).pieces, strict=True):
            assert apart(made.outline, piece.outline) < NEAR_MM
    run("draw", "wrap-skirt", "--size", original.sizes[-1], "--out", str(out), "--replace")
    assert load_any(out).sizes == ()


def test_draw_refuses_to_overwrite_and_other_endings(tmp_path: Path) -> None:
    """Nothing is lost by a slip."""
    out = tmp_path / "top.dxf"
    out.write_text("mine")
    result = CliRunner().invoke(front_door, ["draw", "trousers", "--out", str(out)])
    assert "is there already" in str(result.exception)
    assert out.read_text() == "mine"
    result = CliRunner().invoke(front_door, ["draw", "trousers", "--out", "top.pdf"])
    assert "ends in none of .svg, .dxf" in result.output


def test_what_a_drawing_has_no_words_for_is_told() -> None:
    """Turns, joins and headings are of the garment file alone."""
    told = " ".join(not_said(shelf("layered-top")))
    for word in ("bias", "joinable", "heading_free"):
        assert word in told


@st.composite
def stars(draw: st.DrawFn) -> Piece:
    """A piece with a star-shaped outline of random reaches."""
    count = draw(st.integers(5, 14))
    reach = draw(st.lists(st.floats(60, 400), min_size=count, max_size=count))
    outline = tuple(
        (r * math.cos(2 * math.pi * k / count), r * math.sin(2 * math.pi * k / count))
        for k, r in enumerate(reach)
    )
    kind, number = draw(
        st.sampled_from([(CutKind.PAIR, 2), (CutKind.SAME_WAY, 1), (CutKind.SAME_WAY, 3)])
    )
    name = draw(st.text(st.sampled_from("abc äßо漢&<>'\" "), min_size=1, max_size=12))
    role = draw(st.sampled_from(["main", "lining"]))
    return Piece(
        " ".join(f"p {name}".split()), outline, ((-30.0, 0.0), (30.0, 10.0)),
        (Cut(role, kind, number),),
    )  # fmt: skip


@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(made=st.lists(stars(), min_size=1, max_size=3, unique_by=lambda piece: piece.name))
@pytest.mark.parametrize("kind", ["svg", "dxf"])
def test_random_pieces_come_back(kind: str, made: list[Piece], tmp_path: Path) -> None:
    """Names in any script, hands, outlines."""
    garment = Garment("trial", "Trial", tuple(made))
    path = written(pieces_sheet(garment), kind, tmp_path)
    drawing = read(path)
    assert [drawn.name for drawn in drawing.pieces] == [piece.name for piece in made]
    for drawn, piece in zip(drawing.pieces, made, strict=True):
        assert apart(ring_of(drawn.edges), piece.outline) < NEAR_MM
    assert [p.cuts for p in load_any(path).pieces] == [piece.cuts for piece in made]


def test_a_notch_where_an_edge_begins_is_marked_square_to_that_edge() -> None:
    """At 0 along the right side of a net box: from its cutting line straight inwards."""
    notched = Draft(
        "box", BOX, ((50.0, 10.0), (50.0, 40.0)), net=True, allowance=10.0,
        notches=(Notch("1", 0.0),), cuts=(Cut("cloth", CutKind.SAME_WAY, 1),),
    )  # fmt: skip
    garment = Garment("box", "Box", (make_piece(notched),), drafts=(notched,))
    (group,) = pieces_sheet(garment).groups
    ((outer, inner),) = group.notches
    right = max(x for x, _ in group.lines[0].points)
    bottom = min(y for _, y in group.lines[0].points)
    assert outer == pytest.approx((right, bottom + 10.0))
    assert inner == pytest.approx((right - NOTCH_MM, bottom + 10.0))
