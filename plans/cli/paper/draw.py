"""`laywright draw`: pieces or lays at full size, for other programs."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.asked import read_all, read_garment
from plans.cli.common.drawing_options import drawing_options
from plans.cli.common.options import size_option
from plans.cli.common.typed import require_writable


@click.command()
@click.argument("what", metavar="GARMENT|PLAN")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    required=True,
    help="SVG or DXF file to write.",
)
@click.option("--replace", is_flag=True, help="Write over a file that is there.")
@size_option
@drawing_options
def command(what: str, out: Path, replace: bool, size: str | None) -> None:
    """Write the pieces of a garment, or the lays of a plan, at full size into an SVG or DXF file.

    GARMENT is a name on the shelf, a garment file, a drawing (SVG, DXF), or an order file for the
    pieces of all its garments; PLAN is a plan.json or the folder that holds one. 1 mm is 1 mm. In a
    DXF file of pieces each is a block with its outline on layer 1, stitching line on 14, fold on 6,
    grain on 7 and notches on 4, in every size unless --size names one; `laywright read` reads it
    back.

    \b
    Example:
      laywright draw layered-top --out layered-top.dxf
    """
    from pieces.findings import Finding, InputError
    from plans.outputs.folder import write_text

    kind = out.suffix.lower()
    require_writable(out, (".svg", ".dxf"), "--out")
    if out.exists() and not replace:
        raise InputError(
            [Finding(str(out), "is there already", fix="name another file, or say --replace")]
        )
    path = Path(what)
    if path.is_dir() or path.suffix.lower() == ".json":
        from plans.full_size.lays import lays_sheet
        from plans.outputs.folder import read_plan

        sheet = lays_sheet(read_plan(path))
        lost: list[str] = []
    else:
        from plans.full_size.pieces import not_said, pieces_sheet

        garment = read_all(what, size)
        # Pattern data holds all sizes side by side; a picture holds one.
        others = garment.sizes if kind == ".dxf" and size is None else ()
        sheet = pieces_sheet(
            garment, *(read_garment(what, one) for one in others if one != garment.size)
        )
        lost = not_said(garment)
    if kind == ".svg":
        from plans.full_size.svg import svg_text

        write_text(out, svg_text(sheet))
    else:
        from plans.full_size.dxf import dxf_text

        write_text(out, dxf_text(sheet))
    x1, y1, x2, y2 = sheet.bounds
    click.echo(f"{out}: written at full size, {(x2 - x1) / 10:.1f} x {(y2 - y1) / 10:.1f} cm")
    for words in lost:
        click.echo(f"not in the drawing: {words}")
    if lost:
        click.echo(f"say such things again in {out}.toml when it is read back")
