"""Progress on standard error: one line that is written over, only on a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

from layout.kernels.cache import is_warm
from plans.order import OnProgress, PlanProgress

PREPARING = "searching; this first run also prepares the search for this machine (about 15 s) ..."


@contextmanager
def progress_line(stream: TextIO, searches: bool) -> Iterator[OnProgress | None]:
    """Give a callback that shows the current best length; None where no one would see it.

    `searches` tells whether compiled kernels will be needed, which a first run must prepare.
    """
    if not stream.isatty():
        yield None
        return
    best: dict[tuple[str, str], float] = {}

    def show(progress: PlanProgress) -> None:
        best[(progress.fabric, progress.fold)] = progress.length_mm
        lengths = {
            fold: length for (fabric, fold), length in best.items() if fabric == progress.fabric
        }
        fold = min(lengths, key=lambda name: lengths[name])
        text = f"{progress.fabric}: shortest so far {lengths[fold] / 10:.1f} cm ({fold})"
        stream.write(f"\r{text[:96]:<96}")
        stream.flush()

    first_run = searches and not is_warm()
    stream.write(f"\r{PREPARING if first_run else 'searching ...'}")
    stream.flush()
    try:
        yield show
    finally:
        stream.write("\r" + " " * 96 + "\r")
        stream.flush()


@contextmanager
def step_line(stream: TextIO) -> Iterator[Callable[[int, int], None] | None]:
    """Give a callback that shows how many of all steps are done; None where no one would see it."""
    if not stream.isatty():
        yield None
        return

    def show(done: int, total: int) -> None:
        share = min(1.0, done / max(1, total))
        bar = "#" * round(40 * share)
        stream.write(f"\r[{bar:<40}] {100 * share:3.0f} %   Ctrl-C prints what there is")
        stream.flush()

    show(0, 1)
    try:
        yield show
    finally:
        stream.write("\r" + " " * 96 + "\r")
        stream.flush()
