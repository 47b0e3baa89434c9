"""What is asked for: typed, or in an order file with what is typed beside it."""

from __future__ import annotations

from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

if TYPE_CHECKING:
    from plans.cli.common.choices import CuttingChoice, SearchChoice
    from plans.orders.request import Request

_OPTION_OF = {"system": "units"}
"""Options whose name is not that of the field that they fill."""

_BY_ROLE = ("cloth", "measured_width", "on_hand")


def request_of(garments: tuple[str, ...], size: str | None, asked: dict[str, Any]) -> Request:
    """Make a request of what was typed.

    Parameters
    ----------
    garments : tuple of str
        Garments as NAME[:SIZE][*COUNT], or one order file, of which all that is typed takes the
        place of what it says.
    size : str or None
    asked : dict of str to object
        Fields of the request by name, from options of the same names.
    """
    from plans.cli.common.asked import read_garments
    from plans.orders.order_file import read_order_file, says_order
    from plans.orders.request import Request

    if len(garments) > 1:
        _refuse_answers("of several garments")
    files = [text for text in garments if says_order(Path(text))]
    if not files:
        return Request(read_garments(garments, size), **asked)
    if len(garments) > 1:
        raise click.UsageError(
            f"{files[0]} is an order file, which is planned by itself; write further garments "
            "into it"
        )
    if size is not None:
        raise click.UsageError(f"{files[0]} is an order file, which says the sizes itself")
    _refuse_answers("of garments in an order file")
    return _with_typed(read_order_file(Path(files[0])), asked)


def cutting_asked(cutting: CuttingChoice, search: SearchChoice) -> dict[str, Any]:
    """What a request says of how many are cut and how long is searched."""
    return asdict(cutting) | search.asked()


def _refuse_answers(which: str) -> None:
    """What is typed about a drawing says nothing of which drawing is meant."""
    from plans.cli.common.drawing_options import answers_typed

    if answers_typed():
        raise click.UsageError(
            f"{', '.join(answers_typed())}: what is open in a drawing {which} is told by "
            "DRAWING.toml beside it"
        )


def _with_typed(request: Request, asked: dict[str, Any]) -> Request:
    """Put what was typed in the place of what an order file says."""
    context = click.get_current_context()
    changed: dict[str, Any] = {}
    for name, value in asked.items():
        if name in _BY_ROLE:
            changed[name] = _over(getattr(request, name), value)
            continue
        source = context.get_parameter_source(_OPTION_OF.get(name, name))
        if source is ParameterSource.COMMANDLINE:
            changed[name] = value
    return replace(request, **changed)


def _over(said: dict[str, Any], typed: dict[str, Any]) -> dict[str, Any]:
    """Values by role, of which those that were typed count; "ROLE+ROLE" keeps its other role."""
    taken = {role.strip() for names in typed for role in names.split("+")}
    kept = {}
    for names, value in said.items():
        left = [role.strip() for role in names.split("+") if role.strip() not in taken]
        if left:
            kept["+".join(left)] = value
    return {**kept, **typed}


def save_order(request: Request, path: Path) -> None:
    """Write a request as an order file that says the same, on a machine of more cores, too.

    Raises
    ------
    click.BadParameter
        If the file does not end in .toml or is there already.
    FolderError
        If the disk refuses.
    """
    from plans.folds.levels import members_for
    from plans.orders.order_text import order_text
    from plans.outputs.keeping import put_file

    if path.suffix.lower() != ".toml":
        raise click.BadParameter(f"'{path}' does not end in .toml", param_hint="--save-order")
    _refuse_answers("of garments in an order file")
    if not path.parent.is_dir():
        raise click.BadParameter(f"there is no folder '{path.parent}'", param_hint="--save-order")
    if request.effort != "quick":
        request = replace(request, members=members_for(request.effort, request.members))
    content = order_text(request, path.parent).encode()
    if not put_file(content, path, False) and path.read_bytes() != content:
        raise click.BadParameter(
            f"'{path}' is there already; name another file", param_hint="--save-order"
        )
    click.echo(f"The order is saved in {path}", err=True)
