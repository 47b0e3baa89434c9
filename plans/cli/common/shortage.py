"""`laywright plan` where cloth on hand is too short: what would rescue it, told and drawn."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from plans.cli.common.exit_codes import ExitCode
from plans.cli.common.printing import print_json
from plans.cli.common.progress import step_line
from plans.folds.on_hand import ShortageError
from plans.rescue.answer import answer_to


def answer_shortage(error: ShortageError, garment: str, folder: Path | None, as_json: bool) -> int:
    """Say what would help on standard error and, as JSON, on standard output; write it, too."""
    answer = answer_to(error.shortages, garment, folder, lambda: step_line(sys.stderr))
    for text in answer.texts():
        click.echo(text, err=True)
    if as_json:
        print_json(answer.data())
    return ExitCode.INTERRUPTED if answer.interrupted else ExitCode.NO_LAYOUT
