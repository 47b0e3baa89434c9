"""`laywright keep`: a garment or fabric of one's own is found by name from then on."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--as", "name", metavar="NAME", help="Name to keep it under.  [default: the file's]")
@click.option("--replace", is_flag=True, help="Write over one of yours that has this name.")
def command(file: Path, name: str | None, replace: bool) -> None:
    """Keep a garment or fabric file on your shelf, where it is found by its name.

    The file is checked first and copied as it is. Your shelf is looked at before the demo one; it
    is a folder among your data, or the one that $LAYWRIGHT_SHELF names.

    \b
    Example:
      laywright keep my-skirt.toml
    """
    from fabrics.fabric_toml import check_fabric, says_fabric
    from fabrics.shelf import shelf_names as demo_fabrics
    from pieces.files.own_shelf import FABRICS, GARMENTS, own_shelf
    from pieces.files.text_file import read_bytes
    from pieces.findings import Finding, InputError
    from pieces.readers.garment_toml import check_garment
    from pieces.readers.shelf import shelf_names as demo_garments
    from plans.outputs.keeping import put_file

    _refuse(file)
    is_fabric = says_fabric(file)
    findings = check_fabric(file) if is_fabric else check_garment(file)
    fatal = [finding for finding in findings if finding.fatal]
    if fatal:
        raise InputError(fatal)
    for finding in findings:
        click.echo(f"{finding.kind}: {finding}", err=True)
    kept = _kept_as(file, name)
    target = own_shelf(FABRICS if is_fabric else GARMENTS) / f"{kept}.toml"
    content = read_bytes(file, "a garment or fabric file")
    if not put_file(content, target, replace):
        raise InputError(
            [
                Finding(
                    str(target),
                    f"'{kept}' is on your shelf already",
                    fix="say --replace to write over it, or --as another name",
                )
            ]
        )
    click.echo(f"{file}: kept as {kept} in {target.parent}")
    if kept in (demo_fabrics() if is_fabric else demo_garments()):
        click.echo(f"The demo of that name is hidden by yours until {target} is deleted.")


def _kept_as(file: Path, name: str | None) -> str:
    """The name that a file is kept under: one that was named, else its own."""
    from pieces.files.own_shelf import NAME_RULE, is_shelf_name
    from pieces.findings import Finding, InputError
    from pieces.name_length import name_too_long

    kept = file.stem if name is None else name
    if not is_shelf_name(kept):
        fix = f"{NAME_RULE}; say --as NAME"
        raise InputError([Finding(str(file), f"'{kept}' cannot be a name on the shelf", fix=fix)])
    too_long = name_too_long(kept)
    if too_long:
        wrong = f"the name '{kept[:40]}...' {too_long}"
        field = None if name is None else "--as"
        advice = "say --as NAME" if name is None else None
        raise InputError([Finding(str(file), wrong, field=field, fix=advice)])
    return kept


def _refuse(file: Path) -> None:
    """What is neither a garment file nor a fabric file is kept elsewhere."""
    from pieces.drawings.loading import is_drawing
    from pieces.findings import Finding, InputError
    from plans.orders.order_file import says_order

    if is_drawing(file):
        fix = f"keep what laywright read {file} --out {file.stem}.toml writes"
        raise InputError([Finding(str(file), "is a drawing", fix=fix)])
    if says_order(file):
        fix = "keep the garments and fabrics that it names, and the order where you like"
        raise InputError([Finding(str(file), "is an order file", fix=fix)])
