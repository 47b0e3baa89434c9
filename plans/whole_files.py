"""Writing a file whole: it is there complete, or the former one is as it was."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ASIDE = ".laywright-"
"""Names of what is written aside, before it takes its place, begin with this."""


@contextmanager
def written_aside(path: Path, content: bytes) -> Iterator[str]:
    """Give a complete file beside `path`, to be put in its place; what is left of it is removed.

    Raises
    ------
    OSError
        If the disk refuses.
    """
    aside = None
    try:
        handle, aside = tempfile.mkstemp(dir=path.absolute().parent, prefix=ASIDE)
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
        os.chmod(aside, 0o644)
        yield aside
    finally:
        if aside is not None:
            Path(aside).unlink(missing_ok=True)


def write_whole(path: Path, content: bytes) -> None:
    """Write a file whole; what a link leads to is written, not the link, and a pipe as it is.

    Raises
    ------
    OSError
        If the disk refuses.
    """
    real = Path(os.path.realpath(path))
    if real.exists() and not real.is_file():
        real.write_bytes(content)
        return
    with written_aside(real, content) as aside:
        os.replace(aside, real)
