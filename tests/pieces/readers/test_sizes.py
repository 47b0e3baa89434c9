"""Several sizes in one garment file."""

from __future__ import annotations

from pathlib import Path

import pytest

from pieces.findings import InputError
from pieces.readers.garment_toml import check_garment, load_garment
from pieces.readers.shelf import find_garment

BODY = """title = "Bag"
units = "cm"
sizes = ["small", "large"]
drawn_size = "small"

[[piece]]
name = "side"
cut = { main = "2" }
drawn = "with allowance"
grain = "up"
edges = [ { to = [[30, 0], [30, 40], [0, 40], [0, 0]] } ]
[piece.sizes.large]
edges = [ { to = [[36, 0], [36, 50], [0, 50], [0, 0]] } ]

[[piece]]
name = "lining"
like = "side"
cut = { lining = "2" }
shorten = { line = [0, 20], by = "2 cm" }
"""


def write(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "bag.toml"
    path.write_text(text, encoding="utf-8")
    return path


def sizes(path: Path, size: str | None) -> list[tuple[float, float]]:
    """Width and height of each piece, mm."""
    result = []
    for piece in load_garment(path, size).pieces:
        xs, ys = zip(*piece.outline, strict=True)
        result.append((max(xs) - min(xs), max(ys) - min(ys)))
    return result


def test_each_size_is_as_drawn_there(tmp_path: Path) -> None:
    """What a size does not name is as in the drawn one; pieces like another follow it."""
    path = write(tmp_path, BODY)
    assert sizes(path, None) == sizes(path, "small") == [(300.0, 400.0), (300.0, 380.0)]
    assert sizes(path, "large") == [(360.0, 500.0), (360.0, 480.0)]
    garment = load_garment(path, "large")
    assert (garment.sizes, garment.size) == (("small", "large"), "large")


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('"small", "large"', '"small", "small"', "sizes: is not a list of names, each once"),
        ('drawn_size = "small"', 'drawn_size = "smal"', "'smal' is none of the sizes"),
        ("[piece.sizes.large]", "[piece.sizes.huge]", "is none of the sizes that the file lists"),
        ("[36, 50], [0, 50]", "[0, 50], [36, 50]", "(size large)"),
        ("[piece.sizes.large]", '[piece.sizes.large]\nname = "x"', "cannot differ between sizes"),
    ],
)
def test_faults_of_sizes_are_found(tmp_path: Path, old: str, new: str, message: str) -> None:
    """In whatever size they are."""
    assert old in BODY
    path = write(tmp_path, BODY.replace(old, new, 1))
    assert any(message in str(finding) for finding in check_garment(path)), check_garment(path)


def test_a_size_that_is_not_given_is_refused(tmp_path: Path) -> None:
    """With those that are."""
    with pytest.raises(InputError, match=r"no size 'XL' \(known: small, large\)$"):
        load_garment(write(tmp_path, BODY), "XL")
    with pytest.raises(InputError, match=r"no size 'XL' \(it gives one size only\)$"):
        load_garment(find_garment("toy-hare"), "XL")


def test_the_demo_with_sizes_grows_with_them() -> None:
    """Three sizes of the wrap skirt, each larger than the last."""
    path = find_garment("wrap-skirt")
    areas = [
        sum((max(x for x, _ in p.outline)) for p in load_garment(path, size).pieces)
        for size in load_garment(path).sizes
    ]
    assert areas == sorted(areas)
    assert len(set(areas)) == 3
