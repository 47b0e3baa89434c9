"""An interrupt does not cut work in two that goes on in a thread of its own."""

from __future__ import annotations

import _thread
import threading

import pytest

from layout.proofs.undisturbed import undisturbed


def test_what_is_worked_out_or_goes_wrong_is_handed_on() -> None:
    """As if it were done here."""
    assert undisturbed(lambda: 6 * 7) == 42
    with pytest.raises(ZeroDivisionError):
        undisturbed(lambda: 1 // 0)


def test_an_interrupt_comes_here_and_the_work_ends_by_itself() -> None:
    """It is raised where the work is waited for; all of the work is done."""
    done: list[str] = []
    ended = threading.Event()

    def work() -> None:
        done.append("begun")
        _thread.interrupt_main()
        done.append("ended")
        ended.set()

    with pytest.raises(KeyboardInterrupt):
        undisturbed(work)
    assert ended.wait(60.0)
    assert done == ["begun", "ended"]
