"""The front door: every command by name, and how the program ends."""

from __future__ import annotations

import os
import sys

import click

from plans.cli.common.exit_codes import ExitCode
from plans.cli.common.failures import told
from plans.cli.common.nobody_reads import CUT_SHORT, NobodyReadsError, drop_output
from plans.cli.common.on_demand import OnDemand
from plans.cli.common.signals import listen

COMMANDS = {
    "plan": ("plans.cli.plan", "Plan how garments' pieces lie, and how much cloth to buy."),
    "compare": ("plans.cli.compare", "Compare cloths, folds and nap before buying."),
    "chart": ("plans.cli.chart", "Chart what each size needs, for the back of a pattern."),
    "batch": ("plans.cli.batch", "Plan every order file of a folder."),
    "stash": ("plans.cli.stash", "Keep cloth on hand and leftovers."),
    "cut": ("plans.cli.cut", "Record that a plan was cut, or undo that."),
    "uses": ("plans.cli.uses", "Tell what a leftover is good for."),
    "pieces": ("plans.cli.shelf.pieces", "List the garments on the shelves, or the pieces of one."),
    "fabrics": ("plans.cli.shelf.fabrics", "List the fabrics on the shelves, or show one."),
    "read": ("plans.cli.paper.read", "Read a drawing and keep it as a garment file."),
    "trace": ("plans.cli.paper.trace", "Measure paper pieces in photographs into a garment file."),
    "draw": ("plans.cli.paper.draw", "Write pieces or lays at full size, as SVG or DXF."),
    "print": ("plans.cli.paper.print", "Print pieces or lays at full size, in tiles or on a roll."),
    "check": ("plans.cli.check", "Explain everything wrong with a garment, fabric or order file."),
    "keep": (
        "plans.cli.shelf.keep",
        "Keep a garment or fabric file on your shelf by its name.",
    ),
    "page": ("plans.cli.page", "Do the whole job in the browser that you have."),
    "show": ("plans.cli.show", "Read a plan back, and print or write it again."),
}

SETTINGS = {"help_option_names": ["-h", "--help"], "max_content_width": 98}


@click.group(cls=OnDemand, table=COMMANDS, context_settings=SETTINGS)
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
    _open_streams()
    try:
        code = _code(sys.argv[1:])
        sys.stdout.flush()
    except (BrokenPipeError, NobodyReadsError):
        drop_output()
        code = CUT_SHORT
    sys.exit(code)


def _open_streams() -> None:
    """Let what is said go nowhere where there is no output, as under cron or with `>&-`."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115


def _code(arguments: list[str]) -> int:
    try:
        result = front_door.main(args=arguments, prog_name="laywright", standalone_mode=False)
    except NobodyReadsError:
        raise
    except BaseException as error:
        return told(error)
    return int(result) if isinstance(result, int) else ExitCode.DONE
