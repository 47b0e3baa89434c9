"""Signals: the first one ends a search with the best so far, the second ends at once.

Ctrl-C (SIGINT), being told to end (SIGTERM) and a closed window (SIGHUP) are one wish. A signal
that whoever started the program had ignored (nohup) stays ignored.
"""

from __future__ import annotations

import os
import signal
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from plans.cli.common.exit_codes import ExitCode

NAMES = ("SIGINT", "SIGTERM", "SIGHUP")

ONE_WISH_S = 0.5
"""Signals that follow each other sooner are one wish: a closed window is told of by the system and
by the shell."""

SHOW_CURSOR = "\033[?25h"
"""What hid it, a line of progress, has no time to show it again."""


class EndedAtOnceError(BaseException):
    """The user wants no result any more: nothing but cleaning up stands in the way of the end.

    No `Exception`, and no `KeyboardInterrupt`, so that no search takes it for a wish to keep its
    best.
    """


class _Heard:
    """How many signals came, in the process that listens (a fork of it does not)."""

    def __init__(self) -> None:
        self.process = os.getpid()
        self.count = 0
        self.last = 0.0
        self.finishing = False

    def __call__(self, number: int, _: FrameType | None) -> None:
        if os.getpid() != self.process:
            return
        if number == getattr(signal, "SIGHUP", None):
            _let_go_of_the_terminal()
        if self.count and time.monotonic() - self.last < ONE_WISH_S:
            return
        self.count += 1
        self.last = time.monotonic()
        if self.count > 2:
            if os.isatty(2):
                _say(SHOW_CURSOR)
            os._exit(ExitCode.INTERRUPTED)
        if self.count == 2:
            raise EndedAtOnceError
        if self.finishing:
            _say("\nwriting what was found; once more ends at once\n")
            return
        _end_searches()
        _say("\nstopping; once more ends at once\n")
        raise KeyboardInterrupt


_HEARD = _Heard()


def was_told_to_end() -> bool:
    """Whether a signal came, in this process."""
    return _HEARD.count > 0


def listen() -> None:
    """From now on, hear signals; call in the main thread."""
    for name in NAMES:
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, _HEARD)


@contextmanager
def finishing() -> Iterator[None]:
    """Finish what is done in here although a first signal comes; a second one ends it at once."""
    _HEARD.finishing = True
    try:
        yield
    finally:
        _HEARD.finishing = False


def _end_searches() -> None:
    # Not imported here: the signal may have come in the middle of that.
    asked = getattr(sys.modules.get("layout.stop"), "ASKED_TO_END", None)
    if asked is not None:
        asked.set()


def _say(text: str) -> None:
    """Write past Python's buffers, in which the signal may have come."""
    try:
        os.write(2, text.encode())
    except OSError:
        return


def _let_go_of_the_terminal() -> None:
    """What would be printed on a terminal that is gone is dropped; files are still written."""
    nowhere = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        try:
            if os.isatty(stream):
                os.dup2(nowhere, stream)
        except OSError:
            continue
    os.close(nowhere)
