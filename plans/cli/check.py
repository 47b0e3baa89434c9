"""`laywright check`: everything wrong with a file, at once, and what it says."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.exit_codes import ExitCode


@click.command()
@click.argument("file")
@click.option(
    "--picture",
    type=click.Path(path_type=Path),
    help="Draw the pieces of a garment with its seams into a PNG, SVG or PDF file.",
)
def command(file: str, picture: Path | None) -> int:
    """Explain everything wrong with a garment or fabric file, and tell what it says.

    FILE is a file or a name on a shelf. Errors must be mended; questions are worth a look. Exit
    code 2 if something must be mended, else 0. Where the garment says which edges are sewn
    together, each seam is walked: lengths, notches, allowances and corners.

    \b
    Example:
      laywright check my-skirt.toml
    """
    from fabrics.fabric_toml import check_fabric
    from fabrics.shelf import SHELF as FABRIC_SHELF
    from fabrics.shelf import shelf_names as fabric_names
    from pieces.files.toml_file import read_toml
    from pieces.findings import Finding
    from pieces.readers.garment_toml import check_garment
    from pieces.readers.shelf import find_garment

    path = FABRIC_SHELF / f"{file}.toml" if file in fabric_names() else find_garment(file)
    slips: list[Finding] = []
    data = read_toml(path, slips)
    is_fabric = "width" in data or ("piece" not in data and "selvage" in data)
    findings = check_fabric(path) if is_fabric else check_garment(path)
    kind = "fabric" if is_fabric else "garment"
    for finding in findings:
        click.echo(f"{finding.kind}: {finding}")
    fatal = sum(1 for finding in findings if finding.fatal)
    if fatal:
        click.echo(f"{path}: {fatal} thing{'s' if fatal > 1 else ''} to mend in this {kind}")
        return ExitCode.INPUT
    for line in _summary(path, is_fabric, picture):
        click.echo(line)
    if findings:
        count = len(findings)
        click.echo(f"{path}: nothing to mend, {count} question{'s' if count > 1 else ''} above")
    else:
        click.echo(f"{path}: a sound {kind}; are the figures yours?")
    return ExitCode.DONE


def _summary(path: Path, is_fabric: bool, picture: Path | None) -> list[str]:
    if is_fabric:
        from fabrics.fabric_toml import load_fabric
        from fabrics.summary import fabric_summary

        if picture is not None:
            raise click.UsageError("--picture draws a garment, and this is a fabric")
        return fabric_summary(load_fabric(path))
    from pieces.drafting.summary import garment_summary
    from pieces.readers.garment_toml import load_garment
    from pieces.seams.summary import seam_summary

    garment = load_garment(path)
    if picture is not None:
        from plans.drawing.seam_picture import write_seam_picture

        write_seam_picture(garment, picture)
    drawn = [f"drawn in {picture}"] if picture is not None else []
    return [*garment_summary(garment), *seam_summary(garment), *drawn]
