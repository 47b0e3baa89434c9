"""Light pictures: path data that any page can show, with words for who does not see it."""

from __future__ import annotations

import re

import pytest

from pieces.lengths import System
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment, shelf_names
from plans.drawing.garment.light import LightPicture, garment_picture, path_data, piece_picture


def figures(data: str) -> list[float]:
    return [float(text) for text in re.findall(r"-?\d+\.\d", data)]


def lies_in_its_box(picture: LightPicture) -> bool:
    left, top, wide, high = picture.box
    return all(
        left <= x <= left + wide and top <= y <= top + high
        for line in picture.lines
        for x, y in zip(figures(line.data)[::2], figures(line.data)[1::2], strict=True)
    )


@pytest.mark.parametrize("name", shelf_names())
def test_every_piece_of_a_garment_is_in_the_picture(name: str) -> None:
    """Each by name, and no two over one another."""
    garment = load_garment(find_garment(name))
    picture = garment_picture(garment)
    assert lies_in_its_box(picture)
    assert {text.words for text in picture.texts} == {piece.name for piece in garment.pieces}
    outlines = [line.data for line in picture.lines if line.kind == "piece"]
    assert len(outlines) == len(garment.pieces)
    spans = [
        (min(x), max(x), min(y), max(y))
        for data in outlines
        for x, y in [(figures(data)[::2], figures(data)[1::2])]
    ]
    for k, a in enumerate(spans):
        for b in spans[:k]:
            assert a[1] < b[0] or b[1] < a[0] or a[3] < b[2] or b[3] < a[2]


def test_a_piece_is_told_in_words() -> None:
    """How large it is, what is added, and that it lies on a fold."""
    garment = load_garment(find_garment("blouse"))
    back = next(piece for piece in garment.pieces if piece.name == "back")
    picture = piece_picture(back, System.METRIC)
    assert lies_in_its_box(picture)
    assert {line.kind for line in picture.lines} == {"piece", "stitching", "fold", "grain"}
    assert picture.words == (
        "back: 28.2 cm wide and 72.5 cm high, with its allowance outside the stitching line, "
        "one edge on the fold"
    )
    assert " in wide" in piece_picture(back, System.IMPERIAL).words


def test_y_runs_down_in_a_picture() -> None:
    """And a closed line ends where it began."""
    assert path_data([(0, 0), (10, 20)], closed=True, move=(1, 2)) == "M1.0 -2.0L11.0 -22.0Z"
