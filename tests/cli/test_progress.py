"""Progress on a terminal: one line, written over while it goes on and gone at the end."""

from __future__ import annotations

import io
import re

import pytest

from pieces.lengths import System
from plans.cli.common import progress
from plans.order import PlanProgress

HIDE, SHOW = "\033[?25l", "\033[?25h"
GONE = "\033[A\r\033[K"


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture(autouse=True)
def _width(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")


def test_the_best_length_so_far_is_shown() -> None:
    """What is no better length changes nothing; at the end the line is gone, the cursor back."""
    stream = Terminal()
    with progress.progress_line(stream, searches=False) as tell:
        tell(PlanProgress(stage="trying seven folds"))
        tell(PlanProgress("linen", "open", 1500.0))
        tell(PlanProgress("linen", "lengthwise", 1400.0))
        tell(PlanProgress("linen", "open", 1450.0))
    shown = [line.rstrip() for line in re.split(f"\r{re.escape(HIDE)}", stream.getvalue())]
    assert shown[:3] == ["", "searching ...", "linen: shortest so far 150.0 cm (single layer)"]
    assert shown[3].startswith("linen: shortest so far 140.0 cm (lengthwise fold)")
    assert len(shown) == 4
    assert stream.getvalue().endswith(f"{SHOW}\n{GONE}")


def test_what_is_taken_up_again_is_said_once() -> None:
    """In a file or a pipe, where every line stays."""
    stream = io.StringIO()
    with progress.progress_line(stream, searches=False) as tell:
        for stage in ("trying folds", "trying folds", "moving together", "trying folds"):
            tell(PlanProgress(stage=stage))
    assert stream.getvalue().splitlines() == ["trying folds", "moving together", "trying folds"]


def test_the_length_is_told_in_the_units_asked_for() -> None:
    """A plan in inches is not searched for in centimetres."""
    stream = Terminal()
    with progress.progress_line(stream, searches=False, system=System.IMPERIAL) as tell:
        tell(PlanProgress("linen", "open", 1270.0))
    assert "linen: shortest so far 50 in (single layer)" in stream.getvalue()


def test_a_line_is_never_wider_than_the_terminal() -> None:
    """What runs over into the next line cannot be written over."""
    stream = Terminal()
    with progress.progress_line(stream, searches=False) as tell:
        tell(PlanProgress("a cloth with a name that goes on and on and on", "sectioned", 1500.0))
    with progress.step_line(stream) as step:
        step(3, 7)
    for line in re.split("[\r\n]", re.sub("\033\\[[?0-9]*[A-Za-z]", "", stream.getvalue())):
        assert len(line) < 60


def test_steps_that_turn_out_to_be_more() -> None:
    """The share goes back when work is found on the way, even from the very end."""
    stream = Terminal()
    with progress.step_line(stream) as step:
        for done, total in ((5, 10), (10, 10), (10, 20)):
            step(done, total)
    assert re.findall(r"(\d+)%", stream.getvalue()) == ["0", "50", "100", "50"]


@pytest.mark.parametrize("end", [KeyboardInterrupt, BaseException])
def test_however_it_ends_the_line_is_gone(end: type[BaseException]) -> None:
    """Ctrl-C, or an end at once."""
    for line in (progress.step_line, lambda s: progress.progress_line(s, searches=False)):
        stream = Terminal()
        with pytest.raises(end), line(stream):
            raise end
        assert stream.getvalue().endswith(f"{SHOW}\n{GONE}")
