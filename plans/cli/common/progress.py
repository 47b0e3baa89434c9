"""Progress on standard error: one line that is written over on a terminal, else a line at times."""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, TextIO

import click

from fabrics.fold_words import taught_name
from fabrics.spread import Fold
from layout.kernels.cache import is_warm
from pieces.lengths import System, format_length
from plans.order import OnProgress, PlanProgress

if TYPE_CHECKING:
    from click._termui_impl import ProgressBar

PREPARING = "searching; this first run also prepares the search for this machine (about 25 s) ..."

QUIET_S = 10.0
"""Without a terminal nothing but the beginning of a stage is said sooner than this after a line."""


LINE_BEFORE, CLEAR_LINE = "\033[A", "\r\033[K"
"""What terminals understand (ECMA-48): up a line; to its beginning, and nothing after that."""


class _Best:
    """The shortest layout of the fabric that was heard of last, in words."""

    def __init__(self, system: System) -> None:
        self._system = system
        self._lengths: dict[tuple[str, str], float] = {}
        self.text = ""

    def hear(self, progress: PlanProgress) -> bool:
        """Take a length in; return whether there was one."""
        if progress.length_mm is None:
            return False
        self._lengths[(progress.fabric, progress.fold)] = progress.length_mm
        of_fabric = {
            fold: length
            for (fabric, fold), length in self._lengths.items()
            if fabric == progress.fabric
        }
        fold = min(of_fabric, key=lambda name: of_fabric[name])
        length = of_fabric[fold]
        words = f"{length / 10:.1f} cm"  # Always with its tenth, so that the line does not jump.
        if self._system is System.IMPERIAL:
            words = format_length(length, self._system)
        self.text = f"{progress.fabric}: shortest so far {words} ({taught_name(Fold.named(fold))})"
        return True


@contextmanager
def progress_line(
    stream: TextIO, searches: bool, system: System = System.METRIC
) -> Iterator[OnProgress]:
    """Give a callback that shows what is going on and the current best length, in such units.

    `searches` tells whether compiled kernels will be needed, which a first run must prepare.
    """
    first_run = searches and not is_warm()
    best = _Best(system)
    if not stream.isatty():
        plain = _Plain(stream)
        if first_run:
            plain.say(PREPARING)

        def tell(progress: PlanProgress) -> None:
            if progress.stage:
                plain.begin(progress.stage)
            else:
                best.hear(progress)
                plain.say_at_times(best.text or "no layout is complete yet")

        yield tell
        return

    with _line(stream, "%(label)s", PREPARING if first_run else "searching ...") as line:

        def show(progress: PlanProgress) -> None:
            if best.hear(progress):
                line.label = _cut(best.text)
                line.render_progress()

        yield show


@contextmanager
def step_line(stream: TextIO) -> Iterator[Callable[[int, int], None]]:
    """Give a callback that shows how many of all steps are done."""
    if not stream.isatty():
        plain = _Plain(stream)
        yield lambda done, total: plain.say_at_times(f"step {done} of {total} is done")
        return

    with _line(stream, "[%(bar)s] %(info)s   %(label)s", "Ctrl-C prints what there is") as line:

        def show(done: int, total: int) -> None:
            # Work may be found on the way, so that what counted as all of it does no more.
            line.length, line.pos, line.finished = max(1, total), done, False
            line.render_progress()

        yield show


@contextmanager
def _line(stream: TextIO, template: str, label: str) -> Iterator[ProgressBar[Any]]:
    """Show a line on a terminal that is written over and, at the end, gone."""
    bar = max(4, min(40, shutil.get_terminal_size().columns - 38))
    try:
        with click.progressbar(
            length=1, label=_cut(label), file=stream, width=bar, empty_char=" ", show_eta=False,
            bar_template=template,
        ) as line:  # fmt: skip
            yield line
    finally:
        # The bar has left the line for the next one.
        stream.write(f"{LINE_BEFORE}{CLEAR_LINE}")
        stream.flush()


def _cut(text: str) -> str:
    """Only one line can be written over."""
    return text[: max(1, shutil.get_terminal_size().columns - 1)]


class _Plain:
    """Whole lines, with the seconds since the beginning, into a file or a pipe."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._begun = self._last = time.monotonic()
        self._stage = ""

    def begin(self, stage: str) -> None:
        """Say what is being done, unless that was said last."""
        if stage != self._stage:
            self._stage = stage
            self.say(stage)

    def say(self, text: str) -> None:
        """Write a line."""
        self._last = time.monotonic()
        seconds = self._last - self._begun
        self._stream.write(f"{f'{seconds:.0f} s: ' if seconds >= 1.0 else ''}{text}\n")
        self._stream.flush()

    def say_at_times(self, text: str) -> None:
        """Write a line if the last one is long enough ago."""
        if time.monotonic() - self._last >= QUIET_S:
            self.say(text)
