"""What options ask for an idea: as data the same as in the words of the command line."""

from __future__ import annotations

import pytest

from fabrics.spread import Fold
from pieces.lengths import INCH_MM, System
from plans.cli.plan import command
from plans.rescue.changes.change import Change
from plans.rescue.changes.fewer import Fewer
from plans.rescue.changes.laying import (
    AsPictured,
    LongerSearch,
    NoMargin,
    OtherArrangement,
    OtherFold,
    SmallerEnds,
    SmallerGap,
)
from plans.rescue.rescue import Rescue
from plans.rescue.words import line_in_file, options_of
from tests.plans.rectangles import project
from tests.plans.rescue.short import answer, bolt, mm


@pytest.mark.parametrize("system", System)
@pytest.mark.parametrize(
    "change",
    [
        OtherFold(Fold.OPEN, Fold.LENGTHWISE),
        LongerSearch(),
        OtherArrangement(3),
        SmallerGap(0.0, 5.0),
        SmallerGap(INCH_MM / 16.0, INCH_MM / 4.0),
        SmallerEnds(INCH_MM / 4.0, 30.0),
        SmallerEnds(10.0, 30.0),
        NoMargin(50.0),
        Fewer((), "", 2, 3),
    ],
)
def test_options_say_what_the_words_say(change: Change, system: System) -> None:
    """Read by the command line itself; figures in words are rounded as a ruler is."""
    words = ["garment", *change.how(system).split()]
    context = command.make_context("plan", words, resilient_parsing=False)
    for name, value in change.asks().items():
        assert context.params[name] == pytest.approx(value, abs=0.5)
    assert len(change.asks()) == 1


def test_what_no_option_asks_for_is_none() -> None:
    """The picture has none, nor has leaving a garment out; fewer of one of several is counted."""
    assert AsPictured().asks() == {}
    assert Fewer((), "bag", 0, 2).asks() == {}
    assert Fewer((), "bag", 1, 2).asks() == {"counts": {"bag": 1}}


def told_by(found: Rescue) -> list[tuple[dict[str, object], str]]:
    """Options and lines of all that fits."""
    return [(options_of(found, one), line_in_file(found, one)) for one in found.fitting]


def test_only_what_is_enough_has_options() -> None:
    """And what the garment file must say is told where no option does."""
    garment = project(mm("panel", 600.0, 400.0, 2), mm("waistband", 690.0, 80.0))
    found = answer(garment, bolt(960.0, 650.0), fold="open", ends=30.0, makes=1)
    assert all(options_of(found, one) == {} for one in found.trials if not one.fits)
    assert all(bool(options) != bool(line) for options, line in told_by(found) if options or line)
    assert any(line for _, line in told_by(found))
