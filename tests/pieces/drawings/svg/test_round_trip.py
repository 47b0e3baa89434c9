"""From true sizes to an SVG document in any unit, to a garment file, and back to true sizes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from pieces.drawings.answers import Answers
from pieces.readers.garment_toml import load_garment
from tests.pieces.drawings.svg.documents import drawn, written

MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "px": 25.4 / 96}

KNOWN = Answers(every={"drawn": "with allowance", "grain": "up", "cut": {"main": "1"}})


@settings(max_examples=25)
@given(
    st.sampled_from(sorted(MM)),
    st.lists(st.floats(60.0, 400.0), min_size=5, max_size=12),
    st.floats(0.05, 20.0),
    st.integers(0, 359),
)
def test_a_piece_keeps_its_true_size(
    tmp_path_factory: pytest.TempPathFactory,
    unit: str,
    reaches: list[float],
    scale: float,
    turn: int,
) -> None:
    """A star drawn in user units of any size, under a turn that is undone, within 0.02 mm."""
    star = [
        (500 + reach * math.cos(k * math.tau / len(reaches)),
         500 + reach * math.sin(k * math.tau / len(reaches)))
        for k, reach in enumerate(reaches)
    ]  # fmt: skip
    side = 1000.0 / MM[unit]
    points = " ".join(f"{x / scale:.7g},{y / scale:.7g}" for x, y in star)
    middle = f"{500 / scale:.9g} {500 / scale:.9g}"
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{side:.9g}{unit}" '
        f'height="{side:.9g}{unit}" viewBox="0 0 {1000 / scale:.9g} {1000 / scale:.9g}">'
        f'<g id="star" transform="rotate({turn} {middle})"><polygon points="{points}" '
        f'transform="rotate({-turn} {middle})"/></g></svg>'
    )
    folder = tmp_path_factory.mktemp("star")
    garment = drawn(folder, text, KNOWN)
    assert garment.garment is not None, garment.findings
    kept = load_garment(written(folder, garment.text(), "kept.toml"))
    outline = Polygon(kept.pieces[0].outline)
    flipped = Polygon([(x, -y) for x, y in star])
    low, left = flipped.bounds[1], flipped.bounds[0]
    true = Polygon([(x - left, y - low) for x, y in flipped.exterior.coords])
    assert outline.hausdorff_distance(true) < 0.02
