"""`laywright check`: everything wrong with a file, at once, and what it says."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.drawing_options import drawing_options, read_any
from plans.cli.common.exit_codes import ExitCode
from plans.cli.paper.read import tell_drawing


@click.command()
@click.argument("file")
@click.option(
    "--picture",
    type=click.Path(path_type=Path),
    help="Draw the pieces of a garment with its seams into a PNG, SVG or PDF file.",
)
@drawing_options
def command(file: str, picture: Path | None) -> int:
    """Explain everything wrong with a garment, fabric or order file, and tell what it says.

    FILE is such a file, a drawing (SVG, DXF) or a name on a shelf. Errors must be mended; questions
    are worth a look. Exit code 2 if something must be mended, else 0. Where the garment says which
    edges are sewn together, each seam is walked: lengths, notches, allowances and corners.

    \b
    Example:
      laywright check my-skirt.toml
    """
    from fabrics.fabric_toml import check_fabric, says_fabric
    from pieces.drawings.loading import is_drawing
    from pieces.readers.garment_toml import check_garment
    from plans.orders.checking import check_order
    from plans.orders.order_file import says_order

    path = _find(file)
    if is_drawing(path):
        return _check_drawing(path, picture)
    checks = {"order": check_order, "fabric": check_fabric, "garment": check_garment}
    summaries = {"order": _order_summary, "fabric": _fabric_summary, "garment": _summary}
    kind = "order" if says_order(path) else "fabric" if says_fabric(path) else "garment"
    findings = checks[kind](path)
    for finding in findings:
        click.echo(f"{finding.kind}: {finding}")
    fatal = sum(1 for finding in findings if finding.fatal)
    if fatal:
        click.echo(f"{path}: {fatal} thing{'s' if fatal > 1 else ''} to mend in this {kind}")
        return ExitCode.INPUT
    for line in summaries[kind](path, picture):
        click.echo(line)
    if findings:
        count = len(findings)
        click.echo(f"{path}: nothing to mend, {count} question{'s' if count > 1 else ''} above")
    else:
        click.echo(f"{path}: a sound {kind}; are the figures yours?")
    return ExitCode.DONE


def _find(text: str) -> Path:
    """Return the file of a path or a name on either shelf.

    Raises
    ------
    InputError
        If it is none of them; the nearest name of both shelves is told.
    """
    from fabrics.shelf import all_names as fabric_names
    from fabrics.shelf import fabric_file
    from pieces.files.toml_file import nearest
    from pieces.findings import Finding, InputError
    from pieces.readers.shelf import all_names, find_garment

    fabric = fabric_file(text)
    if fabric is not None:
        return fabric
    try:
        return find_garment(text)
    except InputError as error:
        known = nearest(text, [*all_names(), *fabric_names()])
        raise InputError(
            [Finding(text, "is neither a name on a shelf nor a file", fix=known)]
        ) from error


def _check_drawing(path: Path, picture: Path | None) -> int:
    code = tell_drawing(path)
    if code == ExitCode.DONE:
        for line in _summary(path, picture):
            click.echo(line)
        click.echo(f"{path}: a sound drawing; are the figures yours?")
    return code


def _fabric_summary(path: Path, picture: Path | None) -> list[str]:
    from fabrics.fabric_toml import load_fabric
    from fabrics.summary import fabric_summary

    if picture is not None:
        raise click.UsageError("--picture draws a garment, and this is a fabric")
    return fabric_summary(load_fabric(path))


def _order_summary(path: Path, picture: Path | None) -> list[str]:
    from plans.orders.checking import order_summary

    if picture is not None:
        raise click.UsageError("--picture draws a garment, and this is an order")
    return order_summary(path)


def _summary(path: Path, picture: Path | None) -> list[str]:
    from pieces.drafting.summary import garment_summary
    from pieces.seams.summary import seam_summary

    garment = read_any(path)
    if picture is not None:
        from plans.drawing.garment.seam_picture import write_seam_picture

        write_seam_picture(garment, picture)
    drawn = [f"drawn in {picture}"] if picture is not None else []
    return [*garment_summary(garment), *seam_summary(garment), *drawn]
