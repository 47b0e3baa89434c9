"""The order of cutting, on rectangles whose order a person at the table would not dispute."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pieces.geometry_types import Ring
from plans.cutting_order import REACH_MM, cutting_order, leftover_order
from plans.plan import LeftoverCopy, PlacedPiece
from plans.words.cutting_list import cutting_rows
from tests.plans.demo import demo_plan


def rectangle(x: float, long: float, wide: float = 100.0) -> Ring:
    return ((x, 0.0), (x + long, 0.0), (x + long, wide), (x, wide))


def placed(
    number: int, x: float, long: float = 100.0, section: int = 0, on_fold: bool = False,
    upper_only: bool = False,
) -> PlacedPiece:  # fmt: skip
    """A rectangle that begins at x (mm) on the lay of a section."""
    model = demo_plan("trousers").fabrics[0].placements[0]
    return replace(
        model, number=number, outline=rectangle(x, long), section=section, on_fold=on_fold,
        upper_only=upper_only,
    )  # fmt: skip


def numbers(*pieces: PlacedPiece) -> list[int]:
    return [one.number for one in cutting_order(pieces)]


def test_one_cuts_onwards_from_the_cut_end() -> None:
    """What lies out of reach waits, however large it is or where it lies."""
    far = placed(1, REACH_MM, 2000.0, on_fold=True)
    assert numbers(far, placed(2, 0.0)) == [2, 1]
    near = placed(1, REACH_MM - 1.0, 2000.0)
    assert numbers(near, placed(2, 0.0)) == [1, 2]


def test_within_reach_the_fold_comes_first_then_what_is_large() -> None:
    """A half on the fold, a large piece, small ones by their numbers."""
    order = numbers(
        placed(1, 10.0, 80.0), placed(2, 0.0, 80.0), placed(3, 100.0, 900.0),
        placed(4, 200.0, 50.0, on_fold=True),
    )  # fmt: skip
    assert order == [4, 3, 1, 2]


def test_one_ply_comes_last_in_its_section_and_sections_follow_each_other() -> None:
    """The upper ply is lifted when all around it is cut, before the next section is begun."""
    order = numbers(
        placed(1, 0.0, section=1), placed(2, 0.0, upper_only=True, on_fold=False),
        placed(3, 3000.0), placed(4, 0.0, section=1, upper_only=True),
    )  # fmt: skip
    assert order == [3, 2, 1, 4]


def test_leftovers_are_cut_in_the_same_way() -> None:
    """Large before small within reach, then onwards."""

    def copy(number: int, x: float, long: float) -> LeftoverCopy:
        model = demo_plan("trousers").fabrics[0].placements[0]
        return LeftoverCopy(
            number, "strap", "main", "cut 1", model.copies[0].hand, False, rectangle(x, long),
            ((0.0, 0.0), (1.0, 0.0)),
        )  # fmt: skip

    copies = (copy(1, 0.0, 10.0), copy(2, 100.0, 50.0), copy(3, 600.0, 90.0))
    assert [one.number for one in leftover_order(copies)] == [2, 1, 3]


@pytest.mark.parametrize("name", ["layered-top", "trousers", "toy-hare"])
def test_every_piece_is_cut_once_and_the_list_says_the_same(name: str) -> None:
    """The cutting list gathers like pieces where the first of them is cut."""
    for entry in demo_plan(name).fabrics:
        order = cutting_order(entry.placements)
        assert sorted(one.number for one in order) == [one.number for one in entry.placements]
        assert numbers(*reversed(entry.placements)) == [one.number for one in order]
        firsts = [row[4].removeprefix("no. ").split(", ")[0] for row in cutting_rows(entry)]
        assert firsts == [str(one.number) for one in order if str(one.number) in firsts]
