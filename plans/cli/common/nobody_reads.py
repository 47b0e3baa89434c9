"""Output that nobody reads any more, as with `laywright fabrics | head -1`: a quiet end."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

CUT_SHORT = 128 + 13
"""What a shell reports of a program whose output nobody reads any more (SIGPIPE, which is 13 on
every POSIX system): neither done nor a fault, and nothing is said."""


class NobodyReadsError(Exception):
    """Standard output or error was closed; no OSError, which click would answer on its own."""


@contextmanager
def read_by_someone() -> Iterator[None]:
    """Tell a closed output apart from every other error."""
    try:
        yield
    except BrokenPipeError as error:
        raise NobodyReadsError from error


def drop_output() -> None:
    """What is still in a buffer goes nowhere, so that leaving says nothing of it either."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        os.dup2(nowhere, stream.fileno())
