"""Fabric files, plain widths, and everything that can be wrong with them."""

from __future__ import annotations

from pathlib import Path

import pytest

from fabrics.fabric_toml import check_fabric, load_fabric
from fabrics.plain import plain_fabric
from fabrics.shelf import SHELF, find_fabric, shelf_names
from fabrics.spread import Faces
from pieces.findings import InputError
from pieces.lengths import LengthError


def faults(folder: Path, text: str) -> str:
    path = folder / "cloth.toml"
    path.write_text(text, encoding="utf-8")
    return "\n".join(str(finding) for finding in check_fabric(path))


@pytest.mark.parametrize("name", shelf_names())
def test_every_demo_fabric_is_sound(name: str) -> None:
    """Shipped fabrics have no findings and are called demos."""
    path = SHELF / f"{name}.toml"
    assert check_fabric(path) == []
    assert "demo" in load_fabric(path).title


def test_the_shelf_spans_the_usual_widths() -> None:
    """36 in to 60 in and 90 cm to 150 cm, a pile, a knit, a check, a sheer, an interfacing.

    Widths on sale: 35-36, 44-45, 54, 58-60 in (reference.com and others, see buying guides).
    """
    found = {name: find_fabric(name) for name in shelf_names()}
    assert len(found) >= 8
    widths = [fabric.width for fabric in found.values()]
    assert min(widths) <= 914.4
    assert max(widths) >= 1524.0
    assert any(fabric.one_way for fabric in found.values())
    assert any(fabric.repeat and fabric.repeat.across for fabric in found.values())
    assert any(fabric.faces is Faces.OUT for fabric in found.values())
    assert any(fabric.imperial for fabric in found.values())


def test_plain_widths_stand_for_a_fabric() -> None:
    """10 mm selvages, no nap, no shrinkage; steps of 0.1 m, or 1/8 yd when typed in inches."""
    metric, inches = plain_fabric("140cm"), plain_fabric("54 in")
    assert (metric.width, metric.selvage, metric.step) == (1400.0, 10.0, 100.0)
    assert (inches.width, inches.step) == pytest.approx((1371.6, 114.3))
    assert not metric.one_way
    assert metric.repeat is None
    with pytest.raises(LengthError):
        plain_fabric("140")
    with pytest.raises(LengthError):
        plain_fabric("1 cm")


@pytest.mark.parametrize(
    ("line", "part"),
    [
        ('width = "140"', "no unit"),
        ("", "width: is missing"),
        ('width = "140 cm"\nselvage = "75 cm"', "leave nothing"),
        ('width = "140 cm"\nshrinkage = { along = "100 %" }', "shrinkage.along"),
        ('width = "140 cm"\nshrinkage = { along = -3 }', "shrinkage.along"),
        ('width = "140 cm"\nselvedge = "1 cm"', "did you mean 'selvage'"),
        ('width = "140 cm"\nprice = { amount = -1 }', "negative"),
        ('width = "140 cm"\nprice = { currency = "EUR" }', "amount: is missing"),
        ('width = "140 cm"\nrepeat = { across = "6 cm" }', "repeat.axis"),
        ('width = "140 cm"\nrepeat = { axis = "middle" }', "more than 0"),
        ('width = "140 cm"\nsold = { by = "ell" }', "one of metre, yard"),
        ('width = "140 cm"\nflaws = [{ length = "1 cm" }]', "a flaw needs"),
        ('width = "140 cm"\none_way = "yes"', "neither true nor false"),
        ('width = "14 m"', "no usual width"),
        ('width = "140 mm"', "is the unit right?"),
        ('width = "140 cm"\nprice = { amount = €9 }', "the figure alone: price = { amount = 9 }"),
        ('width = "140 cm"\nprice = { amount = "9 EUR" }', "write amount = 9, a figure"),
        (
            'width = "140 cm"\nrepeat = { across = "6 cm", axis = "centre" }',
            "axis: 'centre' is not known (write the distance",
        ),
    ],
)
def test_faults_name_file_and_field(tmp_path: Path, line: str, part: str) -> None:
    """Each fault is found and named."""
    text = faults(tmp_path, f'title = "t"\n{line}\n')
    assert part in text
    assert "cloth.toml" in text


def test_unknown_fabrics_name_the_nearest() -> None:
    """A slip of the pen is met with the name meant."""
    with pytest.raises(InputError, match="did you mean 'demo-linen'"):
        find_fabric("demo-lienn")


def test_a_wrong_width_hides_nothing(tmp_path: Path) -> None:
    """All faults at once, in the order of their lines."""
    text = """title = "t"
width = "1,4 n"
selvage = "1 kg"
shrinkage = { along = "120 %" }
price = { amount = "dear" }
faces = "off"
repeat = { across = "6 cm" }
"""
    path = tmp_path / "cloth.toml"
    path.write_text(text, encoding="utf-8")
    found = check_fabric(path)
    assert [finding.line for finding in found if finding.field != "price.amount"] == [2, 3, 4, 6, 7]
    with pytest.raises(InputError):
        load_fabric(path)
    path.write_text(text.replace('width = "1,4 n"\n', ""), encoding="utf-8")
    assert len(check_fabric(path)) == len(found)


def test_slips_in_fabric_files_are_explained(tmp_path: Path) -> None:
    """By the same rules as in garment files, and read on."""
    text = faults(
        tmp_path, "title = Lawn\nwidth = 140 cm\nshrinkage = { along = 4 % }\ncolor = 1\n"
    )
    assert "cloth.toml:1, title: Lawn stands without quotes" in text
    assert 'in quotes: width = "140 cm"' in text
    assert "did you mean 'colour'" in text


def test_flaws_longer_than_a_bolt_are_refused(tmp_path: Path) -> None:
    """A slip of the unit, and much work for nothing."""
    flaw = 'flaws = [{ from_end = "1 m", from_selvage = 0, length = "%s", width = "140 cm" }]'
    line = 'width = "140 cm"\n' + flaw
    assert "farther than any bolt" in faults(tmp_path, line % "1000 m")
    told = faults(tmp_path, f'units = "in"\n{line % "10000 in"}')
    assert "reaches 10039 3/8 in" in told
    assert "a bolt holds up to 3937 in" in told
    told = faults(tmp_path, f'units = "in"\n{line % "1000 m"}')
    assert "reaches 1001 m" in told
    assert "a bolt holds up to 100 m" in told
    assert faults(tmp_path, 'title = "t"\n' + line % "50 m") == ""


def test_a_flaw_beside_the_cloth_is_asked_about(tmp_path: Path) -> None:
    """It is kept: nobody is hurt by it, but it is hardly where it was seen."""
    flaw = 'flaws = [{ from_end = 0, from_selvage = "%s", length = "1 cm", width = "2 cm" }]'
    line = f'units = "cm"\nwidth = 110\nshrinkage = {{ along = 0, across = 10 }}\n{flaw}\n'
    assert faults(tmp_path, line % "98 cm") == ""
    told = faults(tmp_path, line % "40 in")
    assert "flaws[1].from_selvage: the flaw lies beside the cloth, which is 99 cm wide" in told


def test_bare_nought_needs_no_unit(tmp_path: Path) -> None:
    """In a file and on its own."""
    assert faults(tmp_path, 'title = "t"\nwidth = "140 cm"\nselvage = 0\n') == ""


def test_more_flaws_than_can_be_kept_clear_of_are_refused(tmp_path: Path) -> None:
    """A hundred are read; more are refused with their number and a way out, all in one line."""
    flaw = '{ from_end = "1 m", from_selvage = "9 cm", length = "1 cm", width = "1 cm" }'
    line = 'width = "140 cm"\nflaws = ['
    assert faults(tmp_path, line + ", ".join([flaw] * 100) + "]") == ""
    found = faults(tmp_path, line + ", ".join([flaw] * 101) + "]")
    assert "flaws: there are 101" in found
    assert found.count("\n") == 0


@pytest.mark.parametrize("number", ["1" + "0" * 400, "inf", "nan", "-inf"])
def test_numbers_without_end_are_faults(tmp_path: Path, number: str) -> None:
    """A price, a shrinkage, a width: each is named, and none of them ends as a fault of ours."""
    path = tmp_path / "endless.toml"
    path.write_text(
        f'title = "x"\nunits = "cm"\nwidth = {number}\nprice = {{ amount = {number} }}\n'
        f"shrinkage = {{ along = {number} }}\n",
        encoding="utf-8",
    )
    fields = {finding.field for finding in check_fabric(path)}
    assert {"width", "price.amount", "shrinkage.along"} <= fields


@pytest.mark.parametrize(
    ("figure", "told"),
    [
        ("nan", "nan is no number"),
        ("inf", "inf is endless"),
        ("-inf", "-inf is endless"),
        ("1e308", "1e+308 is more than anything here can be"),
        ("1" + "0" * 400, "a whole number of 401 digits is more than anything here can be"),
    ],
)
@pytest.mark.parametrize(
    "line", ["price.amount = {}", "shrinkage.along = {}", "selvage = {}", "width = {}"]
)
def test_what_is_no_figure_is_told_for_what_it_is(
    tmp_path: Path, line: str, figure: str, told: str
) -> None:
    """No number, an endless one, one too large: three faults."""
    head = 'units = "cm"\n' + ("" if "width" in line else "width = 140\n")
    assert told in faults(tmp_path, head + line.format(figure))
