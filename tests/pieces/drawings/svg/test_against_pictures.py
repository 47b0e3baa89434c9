"""Random SVG documents against pictures of them that others drew: cairosvg, and Chromium.

Wherever a picture and our outlines disagree whether a pixel is inside, our outline passes within
a pixel of it.
"""

from __future__ import annotations

import io
import random
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.path import Path as Outline
from numpy.typing import NDArray
from PIL import Image
from shapely import MultiLineString, distance, points

from pieces.drawings.svg.document import read_document
from pieces.drawings.svg.lines import lines_of
from pieces.drawings.svg.walk import walk
from tests.pieces.drawings.svg.documents import HEAD

SIDE = 120
"""Pixels of a picture."""

FILL = 'fill="black" fill-rule="evenodd" stroke="none"'
ASPECTS = ("none", "xMidYMid meet", "xMinYMax meet", "xMaxYMin slice", "xMidYMid slice")
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


def number(draw: random.Random, low: float = 0.0, high: float = 100.0) -> str:
    return f"{draw.uniform(low, high):.2f}"


def shape(draw: random.Random) -> str:
    """One shape somewhere in a square of 100."""
    kind = draw.choice(["rect", "circle", "ellipse", "polygon", "path", "path", "arcs"])
    n = [number(draw) for _ in range(8)]
    if kind == "rect":
        radius = draw.choice(["", f'rx="{number(draw, 0, 30)}"', f'ry="{number(draw, 0, 30)}"'])
        return f'<rect x="{n[0]}" y="{n[1]}" width="{n[2]}" height="{n[3]}" {radius}/>'
    if kind == "circle":
        return f'<circle cx="{n[0]}" cy="{n[1]}" r="{number(draw, 5, 50)}"/>'
    if kind == "ellipse":
        radii = f'rx="{number(draw, 5, 50)}" ry="{number(draw, 5, 50)}"'
        return f'<ellipse cx="{n[0]}" cy="{n[1]}" {radii}/>'
    if kind == "polygon":
        return f'<polygon points="{" ".join(n)}"/>'
    if kind == "arcs":
        radii = f"{number(draw, 5, 60)} {number(draw, 5, 60)} {number(draw, 0, 90)}"
        flags = f"{draw.choice('01')} {draw.choice('01')}"
        return f'<path d="M{n[0]} {n[1]}A{radii} {flags} {n[2]} {n[3]}L{n[4]} {n[5]}Z"/>'
    curve = draw.choice([f"Q{n[2]} {n[3]} {n[4]} {n[5]}T{n[6]} {n[7]}",
                         f"C{' '.join(n[2:])}S{n[5]} {n[4]} {n[3]} {n[2]}",
                         f"c{' '.join(n[2:])}t{n[5]} -{n[4]}z m10 10 h20v20z"])  # fmt: skip
    return f'<path d="M{n[0]} {n[1]}{curve}Z"/>'


def transform(draw: random.Random) -> str:
    words = {
        "translate": f"{number(draw, -30, 30)} {number(draw, -30, 30)}",
        "scale": f"{number(draw, 0.4, 1.6)} {draw.choice(['', '-'])}{number(draw, 0.4, 1.6)}",
        "rotate": f"{number(draw, -180, 180)} {number(draw)} {number(draw)}",
        "skewX": number(draw, -40, 40),
        "skewY": number(draw, -40, 40),
        "matrix": f"{number(draw, 0.5, 1)} {number(draw, -0.4, 0.4)} "
        f"{number(draw, -0.4, 0.4)} -{number(draw, 0.5, 1)} 40 40",
    }
    return " ".join(f"{name}({words[name]})" for name in draw.sample(list(words), 2))


def view(draw: random.Random) -> str:
    box = f"{number(draw, -20, 20)} {number(draw, -20, 20)} {number(draw, 60, 140)} "
    return f'viewBox="{box}{number(draw, 60, 140)}" preserveAspectRatio="{draw.choice(ASPECTS)}"'


def body(draw: random.Random, kinds: tuple[str, ...]) -> str:
    """A shape wrapped in groups, and perhaps nested svg, symbol and use."""
    text = shape(draw)
    for level in range(draw.randint(0, 3)):
        kind = draw.choice(kinds)
        if kind == "g":
            text = f'<g transform="{transform(draw)}">{text}</g>'
        size = f'x="{number(draw, 0, 30)}" y="{number(draw, 0, 30)}" '
        size += f'width="{number(draw, 50, 90)}" height="{number(draw, 50, 90)}"'
        if kind == "svg":
            text = f'<svg {size} overflow="visible" {view(draw)}>{text}</svg>'
        if kind == "symbol":
            text = (
                f'<symbol id="ID{level}" overflow="visible" {view(draw)}>{text}</symbol>'
                f'<use href="#ID{level}" {size} transform="{transform(draw)}"/>'
            )
        if kind == "use":
            text = f'<defs><g id="ID{level}">{text}</g></defs><use href="#ID{level}" x="{level}"/>'
    return text


def check(inside: NDArray[np.bool_], file: Path, text: str) -> None:
    """Compare a picture of a document, as dark pixels, with what is read from it."""
    file.write_text(text, encoding="utf-8")
    sheet = walk(read_document(file), str(file))
    lines = lines_of(sheet, 1.0, str(file))
    assert not sheet.findings, sheet.findings
    grid = np.stack(np.meshgrid(np.arange(SIDE) + 0.5, np.arange(SIDE) + 0.5), axis=-1)
    ours = np.zeros(SIDE * SIDE, dtype=bool)
    rings = []
    for line in lines:
        ring = np.array([*line.points, line.points[0]]) * [1.0, -1.0]
        rings.append(ring)
        # The documents hold one shape: its parts fill evenly and oddly.
        ours ^= Outline(ring).contains_points(grid.reshape(-1, 2))
    differ = inside != ours.reshape(SIDE, SIDE)
    if not differ.any():
        return
    assert rings, "the picture shows something that was not read"
    away = distance(MultiLineString(rings), points(grid[differ]))
    assert away.max() <= 1.0, f"off by {away.max():.2f} px\n{text}"


@settings(max_examples=60)
@given(st.integers(0, 10**6))
def test_shapes_and_transforms_agree_with_cairosvg(
    tmp_path_factory: pytest.TempPathFactory, seed: int
) -> None:
    cairosvg = pytest.importorskip("cairosvg", reason="the cairo library is not on this machine")
    draw = random.Random(seed)
    frame = f'width="{SIDE}" height="{SIDE}" viewBox="0 0 100 100"'
    text = f"{HEAD} {frame}><g {FILL}>{body(draw, ('g', 'use'))}</g></svg>"
    picture = cairosvg.svg2png(bytestring=text.encode(), background_color="white")
    grey = np.asarray(Image.open(io.BytesIO(picture)).convert("L"))
    check(grey < 128, tmp_path_factory.mktemp("svg") / "drawing.svg", text)


@pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not on this machine")
def test_whole_documents_agree_with_chromium(tmp_path: Path) -> None:
    """View boxes, nested svg, symbols and uses: many documents on one page, one picture of it."""
    draw = random.Random(7)
    across, down = 12, 8
    texts = []
    for _ in range(across * down):
        inner = body(draw, ("g", "svg", "symbol", "use"))
        frame = f'width="{SIDE}" height="{SIDE}" {view(draw)}'
        texts.append(f"{HEAD} {frame}><g {FILL}>{inner}</g></svg>")
    cells = [
        f'<div style="position:absolute;overflow:hidden;width:{SIDE}px;height:{SIDE}px;'
        f'left:{i % across * SIDE}px;top:{i // across * SIDE}px">{text.replace("ID", f"c{i}-")}'
        "</div>"
        for i, text in enumerate(texts)
    ]
    page, picture = tmp_path / "page.html", tmp_path / "page.png"
    page.write_text(f"<!DOCTYPE html><body style='margin:0'>{''.join(cells)}", encoding="utf-8")
    subprocess.run(
        [
            str(CHROMIUM), "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
            f"--user-data-dir={tmp_path / 'profile'}", "--force-device-scale-factor=1",
            f"--window-size={across * SIDE},{down * SIDE}", f"--screenshot={picture}",
            page.as_uri(),
        ],
        check=True, capture_output=True,
    )  # fmt: skip
    grey = np.asarray(Image.open(picture).convert("L"))
    shown = 0
    for i, text in enumerate(texts):
        x, y = i % across * SIDE, i // across * SIDE
        inside = grey[y : y + SIDE, x : x + SIDE] < 128
        shown += bool(inside.any())
        check(inside, tmp_path / "drawing.svg", text)
    assert shown > across * down / 2
