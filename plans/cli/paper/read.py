"""`laywright read`: a drawing becomes a garment file."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.drawing_options import drawing_options, read_drawn
from plans.cli.common.exit_codes import ExitCode


@click.command()
@click.argument("drawing", type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Garment file to write; without it only what was read is told.",
)
@click.option("--replace", is_flag=True, help="Write over a garment file that is there.")
@drawing_options
def command(drawing: Path, out: Path | None, replace: bool) -> int:
    """Read a drawing, tell what is in it, and keep it as a garment file.

    Every closed line is a piece; the title, id or text of its group names it. A line that is
    called grain or fold is that, and texts such as "cut 1 on fold" say how it is cut. What the
    drawing leaves open is asked for, and told by options or by DRAWING.toml beside it. Exit code
    2 if something is missing; nothing is written then.

    \b
    Example:
      laywright read skirt.svg --allowance 1.5cm --cut "front=1 on fold" --out skirt.toml
    """
    from pieces.drafting.summary import garment_summary
    from pieces.drawings.loading import is_drawing
    from pieces.findings import Finding, InputError

    if not is_drawing(drawing):
        known = "a drawing is an SVG or DXF file, and its name ends in .svg or .dxf"
        raise InputError([Finding(str(drawing), "is no drawing", fix=known)])
    if out is not None and out.exists() and not replace:
        raise InputError(
            [Finding(str(out), "is there already", fix="name another file, or say --replace")]
        )
    code = tell_drawing(drawing)
    if code != ExitCode.DONE:
        if out is not None:
            click.echo(f"{out}: not written", err=True)
        return code
    drawn = read_drawn(drawing)
    if drawn.garment is not None:
        for line in garment_summary(drawn.garment):
            click.echo(line)
    if out is not None:
        from plans.outputs.folder import write_text

        write_text(out, drawn.text())
        click.echo(f"{out}: written; look at it with laywright pieces {out} --picture FILE")
    return code


def tell_drawing(path: Path) -> int:
    """Print every finding about a drawing and what was left out; 2 if something must be mended."""
    drawn = read_drawn(path)
    for finding in drawn.findings:
        click.echo(f"{finding.kind}: {finding}")
    for words in drawn.drawing.ignored:
        click.echo(f"left out: {words}")
    fatal = sum(1 for finding in drawn.findings if finding.fatal)
    if fatal:
        click.echo(f"{path}: {fatal} thing{'s' if fatal > 1 else ''} to mend or to tell")
        return ExitCode.INPUT
    return ExitCode.DONE
