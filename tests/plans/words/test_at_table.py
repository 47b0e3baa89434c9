"""Words at the cutting table: the width that is checked first, and what is said of each piece."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pieces.lengths import System, parse_length
from pieces.piece import EdgeAllowance
from plans.cutting_order import cutting_order
from plans.leftover_use.planning import plan_with_leftovers
from plans.plan import FabricPlan, PieceAllowance
from plans.words.at_table.cut_here import cut_here
from plans.words.at_table.steps import leftover_steps, rest_words, section_steps
from plans.words.at_table.width_check import width_check
from plans.words.leftover_lines import pin_rows as leftover_rows
from plans.words.pinning import cut_shares, pin_rows
from tests.plans.demo import demo_plan
from tests.plans.leftover_use.test_planning import leftover, order


def entry_of(name: str, fold: str = "auto") -> FabricPlan:
    return demo_plan(name, fold).fabrics[0]


@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize("name", ["layered-top", "trousers", "toy-hare"])
def test_the_width_that_is_printed_is_wide_enough(name: str, system: System) -> None:
    """Whoever measures just what the step says may go on; what is planned on lies between."""
    for entry in demo_plan(name).fabrics:
        check = width_check(entry, system)
        printed = check.what.split("made for ")[1].split(", and")[0]
        planned = entry.fabric.width_cut
        assert parse_length(printed) >= check.enough
        assert planned - 2.0 < check.enough < planned
        assert check.narrowest <= check.enough < planned < check.wider < check.far_wider


def test_the_least_width_counts_after_the_wash() -> None:
    """Cloth that shrinks by a tenth: 1000 mm as bought hold the lay, so 900 mm washed do."""
    entry = entry_of("trousers")
    fabric = replace(entry.fabric, width=1200.0, washed=False, shrink_across=0.1)
    check = width_check(replace(entry, fabric=fabric, min_width=1000.0), System.METRIC)
    assert check.narrowest == pytest.approx(900.0, abs=1.0)
    assert check.enough == pytest.approx(1080.0, abs=1.0)
    assert "108 cm" in check.what
    assert "below 90 cm" in check.if_narrower
    washed = replace(fabric, washed=True)
    check = width_check(replace(entry, fabric=washed, min_width=1000.0), System.METRIC)
    assert check.narrowest == pytest.approx(1000.0, abs=1.0)


def test_too_narrow_cloth_stops_the_work_without_a_command() -> None:
    """Plan again on the width that was measured: no option of a command that few people type."""
    plan = demo_plan("trousers")
    check = width_check(plan.fabrics[0], System.IMPERIAL)
    said = [check.what, check.if_narrower, *check.answers.values(), *plan.cautions]
    assert not any("--" in words for words in said)
    assert any("plan again on the width that you measured" in words for words in plan.cautions)
    assert check.unit == "in"
    assert check.answers["narrower"].startswith("Stop")
    assert check.answers["too-narrow"].startswith("Stop")


@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize(("name", "fold"), [("trousers", "turned"), ("toy-hare", "auto")])
def test_pieces_come_as_they_are_cut_with_the_figures_of_the_pinning_table(
    name: str, fold: str, system: System
) -> None:
    """The same numbers in the order of cutting; the same distances, with their unit."""
    unit = "in" if system is System.IMPERIAL else "cm"
    for entry in demo_plan(name, fold).fabrics:
        table = {row[0]: row for row in pin_rows(entry, system)}
        steps = section_steps(entry, 0, system)
        assert [one.number for one in steps.pieces] == [
            one.number for one in cutting_order(entry.placements)
        ]
        for step in steps.pieces:
            row = table[str(step.number)]
            told = [
                words for pin in step.pins for words in (pin.along, f"{pin.across} from {pin.edge}")
            ]
            expected = [
                f"{row[4]} {unit}", row[5].replace(" from", f" {unit} from"),
                f"{row[6]} {unit}", row[7].replace(" from", f" {unit} from"),
            ]  # fmt: skip
            assert told == expected


def test_one_ply_and_whole_pieces_are_told_before_anything_is_cut() -> None:
    """They are named with their numbers while all lies undisturbed, and again at the piece."""
    entry = entry_of("top-from-block", "lengthwise")
    steps = section_steps(entry, 0, System.METRIC)
    upper = [one.number for one in entry.placements if one.upper_only]
    opened = [one.number for one in entry.placements if one.opened]
    assert upper
    assert opened
    first, second = steps.before
    assert first.startswith("Through the upper ply only:")
    assert second.startswith("Traced whole")
    for numbers, words in ((upper, first), (opened, second)):
        assert all(f"no. {number} " in words for number in numbers)
    for step in steps.pieces:
        said = " ".join(step.warnings)
        assert ("Upper ply only" in said) == (step.number in upper)
        assert ("paper is a half" in said) == (step.number in opened)
    assert [one.number in upper for one in steps.pieces] == sorted(
        one.number in upper for one in steps.pieces
    )


def test_each_card_says_what_is_cut_there() -> None:
    """Two single copies of "cut 2" are not cut twice each: what all cards say adds up to it."""
    entry = entry_of("layered-top")
    first = entry.placements[0]
    ply, copy = first.plies[:1], first.copies[:1]
    alike = replace(first, label="cut 2", plies=ply, copies=copy, on_fold=False, opened=False,
                    upper_only=False)  # fmt: skip
    two = (alike, replace(alike, number=2))
    said = [cut_here(two)[number] for number in (alike.number, 2)]
    assert said == [
        f"copy {number} of 2 on this cloth, cut once here, single ply" for number in (1, 2)
    ]
    pair = replace(alike, plies=ply * 2, copies=copy * 2)
    assert cut_here((pair,))[pair.number] == (
        "both copies are cut here at once, through both plies"
    )
    three = cut_here((pair, replace(alike, number=2)))
    assert three[pair.number].startswith("copies 1 and 2 of 3 on this cloth are cut here at once")
    assert three[2].startswith("copy 3 of 3 on this cloth, cut once here")
    folded = replace(alike, on_fold=True)
    assert cut_here((folded,))[1] == "cut once here on the fold, through both plies"


def test_a_label_at_several_places_says_how_many_are_cut_at_each() -> None:
    """The pattern's "cut 4" at two places would be taken for eight; at one it stands as it is."""
    entry = entry_of("layered-top")
    first = replace(
        entry.placements[0], number=1, label="cut 4, left drawn", opened=False
    )  # fmt: skip
    pair = replace(first, copies=first.copies[:1] * 2)
    one = replace(first, number=2, label="cut 4", copies=first.copies[:1])
    other = replace(first, number=3, piece="another", label="cut 2")
    said = cut_shares(replace(entry, placements=(pair, one, other)))
    assert said == {1: "cut 2 of 3, left drawn", 2: "cut 1 of 3", 3: "cut 2"}
    assert cut_shares(replace(entry, placements=(pair, other)))[1] == "cut 4, left drawn"


def test_paper_without_allowance_says_what_is_added() -> None:
    """A part of a joined strip goes by the strip; paper with allowance says nothing."""
    entry = entry_of("layered-top")
    first, second, *rest = entry.placements
    placements = (replace(first, piece="tie part 1 of 2"), replace(second, piece="cuff"), *rest)
    allowances = (
        PieceAllowance("tie", True, (EdgeAllowance("all", 10.0, False),), 2),
        PieceAllowance("cuff", False, ()),
    )
    entry = replace(entry, placements=placements, allowances=allowances)
    handling = {
        step.number: " ".join(step.handling)
        for step in section_steps(entry, 0, System.METRIC).pieces
    }
    assert "add 1 cm all round, and cut along" in handling[first.number]
    assert "allowance" not in handling[second.number]


def test_leftovers_are_told_as_their_table_tells_them() -> None:
    """Along from the leftmost, across from the lowest point; what is left is named at the end."""
    plan = plan_with_leftovers(order(), [leftover("L2", 610.0, 610.0)])
    (cut,) = plan.on_leftovers
    table = {row[0]: row for row in leftover_rows(cut, System.METRIC)}
    steps = leftover_steps(cut, System.METRIC)
    assert len(steps.pieces) == 4
    assert all("cut once here" in step.cut for step in steps.pieces)
    for step in steps.pieces:
        figures = [f.removesuffix(" cm") for pin in step.pins for f in (pin.along, pin.across)]
        assert figures == list(table[str(step.number)][4:])
        assert step.pins[0].edge == "its lowest point"
    entry = entry_of("toy-hare")
    assert bool(rest_words(entry, System.METRIC)) == bool(entry.leftovers)
