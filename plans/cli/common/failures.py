"""Errors as exit codes, each with a line or a few on standard error."""

from __future__ import annotations

import os
from concurrent.futures import BrokenExecutor

import click

from plans.cli.common.exit_codes import ExitCode
from plans.cli.common.signals import EndedAtOnceError, was_told_to_end

BEFORE = {
    "INPUT": "error",
    "NO_LAYOUT": "no layout fits",
    "UNMEASURABLE": "cannot be measured",
}
"""What stands before a line, by the name of a `Blame`."""


def told(error: BaseException) -> int:
    """Say what ended a command, and choose the exit code."""
    if isinstance(error, click.exceptions.Exit):
        return error.exit_code
    if isinstance(error, (click.Abort, KeyboardInterrupt)):
        click.echo("interrupted", err=True)
        return ExitCode.INTERRUPTED
    if isinstance(error, EndedAtOnceError):
        click.echo("ended at once; what was not finished by then is dropped", err=True)
        return ExitCode.INTERRUPTED
    if isinstance(error, click.ClickException):
        error.show()
        return ExitCode.INPUT
    if isinstance(error, Exception):
        return _explained(error)
    raise error


def _explained(error: Exception) -> int:
    from plans.words.failure_words import Blame, failure_of

    failure = failure_of(error)
    if failure.blame is Blame.FAULT:
        if was_told_to_end() and not os.environ.get("LAYWRIGHT_DEBUG"):
            # The signal came where it could not be heeded, as in the middle of an import.
            return told(KeyboardInterrupt())
        return _fault(error, failure.lines)
    before = BEFORE[failure.blame.name]
    for line in failure.lines:
        click.echo(f"{before}: {line}", err=True)
    return ExitCode.INPUT if failure.blame is Blame.INPUT else ExitCode.NO_LAYOUT


def _fault(error: Exception, lines: tuple[str, ...]) -> int:
    if os.environ.get("LAYWRIGHT_DEBUG"):
        import traceback

        traceback.print_exception(error)
    for line in lines:
        click.echo(line, err=True)
    if not isinstance(error, BrokenExecutor):
        click.echo("nothing was written; set LAYWRIGHT_DEBUG=1 to see where it happened", err=True)
    return ExitCode.FAULT
