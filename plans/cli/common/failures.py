"""Errors as exit codes, each with a line or a few on standard error."""

from __future__ import annotations

import os

import click

from plans.cli.common.exit_codes import ExitCode
from plans.cli.common.signals import EndedAtOnceError


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
    from concurrent.futures import BrokenExecutor

    from fabrics.folds.errors import FabricError
    from pieces.errors import PieceError
    from pieces.findings import InputError
    from pieces.tracing.refusal import UntraceableError
    from plans.errors import NothingFitsError, PlanError

    if isinstance(error, InputError):
        for finding in error.findings:
            click.echo(f"error: {finding}", err=True)
        return ExitCode.INPUT
    if isinstance(error, NothingFitsError):
        click.echo(f"no layout fits: {error}", err=True)
        return ExitCode.NO_LAYOUT
    if isinstance(error, UntraceableError):
        click.echo(f"cannot be measured: {error}", err=True)
        return ExitCode.NO_LAYOUT
    if isinstance(error, (PieceError, FabricError, PlanError)):
        click.echo(f"error: {error}", err=True)
        return ExitCode.INPUT
    if isinstance(error, OSError):
        from pieces.system_words import system_words

        where = error.filename or "while reading or writing"
        click.echo(f"error: {where}: {system_words(error)}", err=True)
        return ExitCode.INPUT
    if isinstance(error, BrokenExecutor):
        click.echo(
            "a worker of this plan was ended from outside, as systems do when memory runs out; "
            "nothing was written. Try again, with fewer makes or fewer programs at a time",
            err=True,
        )
        return ExitCode.FAULT
    return _fault(error)


def _fault(error: Exception) -> int:
    if os.environ.get("LAYWRIGHT_DEBUG"):
        import traceback

        traceback.print_exception(error)
    click.echo(
        f"a fault in laywright, not in your files: {type(error).__name__}: {error}\n"
        "nothing was written; set LAYWRIGHT_DEBUG=1 to see where it happened",
        err=True,
    )
    return ExitCode.FAULT
