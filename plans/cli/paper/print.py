"""`laywright print`: pieces or lays at full size, for a printer at home or a roll."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plans.cli.common.asked import read_all
from plans.cli.common.drawing_options import drawing_options
from plans.cli.common.options import size_option, system_option
from plans.cli.common.typed import require_writable

if TYPE_CHECKING:
    from plans.full_size.sheet import Sheet
    from plans.printing.media import Medium

MARKS = "marks"
"""Stands for the pages of marks, where a garment or a plan may be named."""


@click.command()
@click.argument("what", metavar="GARMENT|PLAN|marks")
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), required=True, help="PDF to write."
)
@click.option(
    "--paper", default="a4", show_default=True, metavar="PAPER",
    help="a4, letter, or the width of a roll such as 90cm.",
)  # fmt: skip
@click.option("--piece", "pieces", multiple=True, help="Print this piece only; may be repeated.")
@click.option("--replace", "over", is_flag=True, help="Write over a file that is there.")
@size_option
@system_option
@drawing_options
def command(
    what: str, out: Path, paper: str, pieces: tuple[str, ...], over: bool, size: str | None,
    units: str,
) -> None:  # fmt: skip
    """Print the pieces of a garment, or the lays of a plan, at full size into a PDF.

    The word marks prints the pages that laywright trace measures photographs by.

    GARMENT is a name on the shelf, a garment file, a drawing (SVG, DXF), or an order file for the
    pieces of all its garments; PLAN is a plan.json or the folder that holds one. The first page is
    a map of the pages with squares to measure; pages that meet bear circles of one number. On a
    roll everything lies on one page of up to 5.08 m.

    \b
    Example:
      laywright print layered-top --out layered-top.pdf
    """
    from pieces.findings import Finding, InputError
    from pieces.lengths import System
    from plans.outputs.folder import write_bytes
    from plans.printing.arranging import arranged
    from plans.printing.media import A4, medium_of
    from plans.printing.pdf import pdf_bytes

    require_writable(out, (".pdf",), "--out")
    try:
        medium = medium_of(paper)
    except ValueError as error:
        raise click.BadParameter(str(error), param_hint="--paper") from error
    if out.exists() and not over:
        raise InputError(
            [Finding(str(out), "is there already", fix="name another file, or say --replace")]
        )
    if what == MARKS:
        _print_marks(out, medium, pieces)
        return
    laid = arranged(_only(_sheet(what, size), pieces), medium, System(units))
    write_bytes(out, pdf_bytes(laid, A4 if medium.roll else medium))
    count = len(laid.tiles)
    click.echo(f"{out}: the map and {count} page{'s' if count > 1 else ''}, {laid.medium.name}")


def _print_marks(out: Path, medium: Medium, pieces: tuple[str, ...]) -> None:
    from plans.outputs.folder import write_bytes
    from plans.printing.marks_pages import marks_pdf

    if pieces or medium.roll:
        raise click.UsageError("marks are printed whole, on a4 or letter")
    write_bytes(out, marks_pdf(medium))
    click.echo(f"{out}: pages of marks, {medium.name}; print them at 100 % and measure the square")


def _sheet(what: str, size: str | None) -> Sheet:
    path = Path(what)
    if path.is_dir() or path.suffix.lower() == ".json":
        from plans.full_size.lays import lays_sheet
        from plans.outputs.folder import read_plan

        return lays_sheet(read_plan(path))
    from plans.full_size.pieces import pieces_sheet

    return pieces_sheet(read_all(what, size))


def _only(sheet: Sheet, names: tuple[str, ...]) -> Sheet:
    if not names:
        return sheet
    known = [group.name for group in sheet.groups]
    for name in names:
        if name not in known or not sheet.of_pieces:
            there = ", ".join(known) if sheet.of_pieces else "a plan is printed whole"
            raise click.BadParameter(f"there is no piece '{name}': {there}", param_hint="--piece")
    return replace(sheet, groups=tuple(g for g in sheet.groups if g.name in names))
