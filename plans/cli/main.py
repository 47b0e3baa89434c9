"""The front door: commands that load when they are called, and errors as exit codes."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import click

from plans.cli.exit_codes import ExitCode
from plans.cli.signals import EndedAtOnceError, listen

COMMANDS = {
    "plan": ("plans.cli.plan", "Plan how a garment's pieces lie, and how much cloth to buy."),
    "compare": ("plans.cli.compare", "Compare cloths, folds and nap before buying."),
    "chart": ("plans.cli.chart", "Chart what each size needs, for the back of a pattern."),
    "stash": ("plans.cli.stash", "Keep cloth on hand and leftovers."),
    "cut": ("plans.cli.cut", "Record that a plan was cut, or undo that."),
    "uses": ("plans.cli.uses", "Tell what a leftover is good for."),
    "pieces": ("plans.cli.pieces", "List the garments on the shelf, or the pieces of one."),
    "fabrics": ("plans.cli.fabrics", "List the fabrics on the shelf, or show one."),
    "check": ("plans.cli.check", "Explain everything wrong with a garment or fabric file."),
    "show": ("plans.cli.show", "Read a plan back, and print or write it again."),
}

CUT_SHORT = 128 + 13
"""What a shell reports of a program whose output nobody reads any more (SIGPIPE, which is 13 on
every POSIX system): neither done nor a fault, and nothing is said."""

SETTINGS = {"help_option_names": ["-h", "--help"], "max_content_width": 98}


class _NobodyReadsError(Exception):
    """Standard output or error was closed; no OSError, which click would answer on its own."""


@contextmanager
def _read_by_someone() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError as error:
        raise _NobodyReadsError from error


class _OnDemand(click.Group):
    """A group whose commands are imported only when they run, so that help is instant."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(COMMANDS[cmd_name][0])
        command: click.Command = module.command
        return command

    def make_context(
        self,
        info_name: str | None,
        args: list[str],
        parent: click.Context | None = None,
        **extra: Any,
    ) -> click.Context:
        with _read_by_someone():
            return super().make_context(info_name, args, parent, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        with _read_by_someone():
            return super().invoke(ctx)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


@click.group(cls=_OnDemand, context_settings=SETTINGS)
@click.version_option(package_name="laywright", message="laywright %(version)s")
def front_door() -> None:
    """Plan how sewing-pattern pieces lie on cloth before anyone cuts.

    \b
    Example:
      laywright plan layered-top --cloth base=demo-cotton-lawn --cloth overlay=demo-sheer-voile
    """


def run() -> None:
    """Run the command line and exit with its code."""
    listen()
    try:
        code = _code(sys.argv[1:])
        sys.stdout.flush()
    except (BrokenPipeError, _NobodyReadsError):
        # What is still in a buffer goes nowhere, so that leaving says nothing of it either.
        nowhere = os.open(os.devnull, os.O_WRONLY)
        for stream in (sys.stdout, sys.stderr):
            os.dup2(nowhere, stream.fileno())
        code = CUT_SHORT
    sys.exit(code)


def _code(arguments: list[str]) -> int:
    try:
        result = front_door.main(args=arguments, prog_name="laywright", standalone_mode=False)
        return int(result) if isinstance(result, int) else ExitCode.DONE
    except click.exceptions.Exit as stop:
        return stop.exit_code
    except (click.Abort, KeyboardInterrupt):
        click.echo("interrupted", err=True)
        return ExitCode.INTERRUPTED
    except EndedAtOnceError:
        click.echo("ended at once; what was not finished by then is dropped", err=True)
        return ExitCode.INTERRUPTED
    except click.ClickException as error:
        error.show()
        return ExitCode.INPUT
    except _NobodyReadsError:
        raise
    except Exception as error:
        return _explain(error)


def _explain(error: Exception) -> int:
    """Say what went wrong in a line or a few, and choose the exit code."""
    from concurrent.futures import BrokenExecutor

    from fabrics.errors import FabricError
    from pieces.errors import PieceError
    from pieces.findings import InputError
    from plans.errors import NothingFitsError, PlanError

    if isinstance(error, InputError):
        for finding in error.findings:
            click.echo(f"error: {finding}", err=True)
        return ExitCode.INPUT
    if isinstance(error, NothingFitsError):
        click.echo(f"no layout fits: {error}", err=True)
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
    if os.environ.get("LAYWRIGHT_DEBUG"):
        import traceback

        traceback.print_exception(error)
    click.echo(
        f"a fault in laywright, not in your files: {type(error).__name__}: {error}\n"
        "nothing was written; set LAYWRIGHT_DEBUG=1 to see where it happened",
        err=True,
    )
    return ExitCode.FAULT
