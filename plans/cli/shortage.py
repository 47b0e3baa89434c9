"""`laywright plan` where cloth on hand is too short: what would rescue it, told and drawn."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from plans.cli.exit_codes import ExitCode
from plans.cli.progress import step_line
from plans.folds.on_hand import ShortageError


def answer_shortage(error: ShortageError, garment: str, target: Path | None, as_json: bool) -> int:
    """Work out what would help, write it into the folder, and say it on standard error.

    Parameters
    ----------
    error : ShortageError
    garment : str
    target : Path or None
        Folder to write into, beside a plan that may be there; None to write nothing.
    as_json : bool
        Whether the same goes to standard output as JSON.
    """
    from plans.rescue.data import rescues_to_data
    from plans.rescue.folder import picture_names, write_shortage
    from plans.rescue.rescue import rescue
    from plans.rescue.words import rescue_text

    rescues = []
    for shortage in error.shortages:
        with step_line(sys.stderr) as on_step:
            rescues.append(rescue(shortage, on_step))
        if rescues[-1].interrupted:
            break
    names = picture_names(rescues)
    if target is not None:
        write_shortage(garment, rescues, names, target)
    else:
        names = [""] * len(rescues)
    for one, name in zip(rescues, names, strict=True):
        picture = str(target / name) if target is not None and name else ""
        click.echo(rescue_text(one, picture, "no layout fits: "), err=True)
    for shortage in error.shortages[len(rescues) :]:
        click.echo(f"no layout fits: {shortage.headline()}; stopped before it was tried", err=True)
    if as_json:
        click.echo(json.dumps(rescues_to_data(garment, rescues, names), indent=1))
    stopped = any(one.interrupted for one in rescues)
    return ExitCode.INTERRUPTED if stopped else ExitCode.NO_LAYOUT
