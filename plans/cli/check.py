"""`laywright check`: everything wrong with a file, at once."""

from __future__ import annotations

import click

from plans.cli.exit_codes import ExitCode


@click.command()
@click.argument("file")
def command(file: str) -> int:
    """Explain everything wrong with a garment or fabric file.

    FILE is a file or a name on a shelf. Exit code 2 if something must be mended, else 0.

    \b
    Example:
      laywright check my-skirt.toml
    """
    from fabrics.fabric_toml import check_fabric
    from fabrics.shelf import SHELF as FABRIC_SHELF
    from fabrics.shelf import shelf_names as fabric_names
    from pieces.readers.garment_toml import check_garment
    from pieces.shelf import find_garment
    from pieces.toml_file import read_toml

    path = FABRIC_SHELF / f"{file}.toml" if file in fabric_names() else find_garment(file)
    data = read_toml(path)
    is_fabric = "width" in data or ("piece" not in data and "selvage" in data)
    findings = check_fabric(path) if is_fabric else check_garment(path)
    kind = "fabric" if is_fabric else "garment"
    for finding in findings:
        click.echo(f"{'error' if finding.fatal else 'question'}: {finding}")
    fatal = sum(1 for finding in findings if finding.fatal)
    if fatal:
        click.echo(f"{path}: {fatal} thing{'s' if fatal > 1 else ''} to mend in this {kind}")
        return ExitCode.INPUT
    click.echo(f"{path}: a sound {kind}")
    return ExitCode.DONE
