"""What a drawing leaves open is told by options, wherever a garment is named."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pieces.lengths import LengthError, parse_length

if TYPE_CHECKING:
    from pieces.drafting.garment import Garment
    from pieces.drawings.answers import Answers
    from pieces.drawings.loading import DrawnGarment

_META = "plans.cli.common.drawing_options"

_OPTIONS = (
    (
        "--length",
        "ID=LENGTH",
        "Drawings: what the line ID measures (a closed one all round); everything scales with it.",
    ),
    ("--unit", "mm|cm|in", "DXF drawings: what one unit of the drawing is."),
    ("--cut", "ID=[ROLE:]LABEL", "Drawings: how a piece is cut, as 'front=base: 1 on fold'."),
    ("--grain", "[ID=]WAY", "Drawings: the grain of a piece or of all: up, down, left or right."),
    (
        "--allowance",
        "[ID=]LENGTH",
        "Drawings: allowance still to be added to a piece or to all, or 'included'.",
    ),
    (
        "--fold-edge",
        "ID=EDGE",
        "Drawings: the edge on the fold, by name or as left, right, top or bottom.",
    ),
    ("--leave-out", "ID", "Drawings: a line or group that is no part of the pattern."),
)


def drawing_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options that complete a drawing; `read_drawn` finds what was given."""
    for name, metavar, text in reversed(_OPTIONS):
        function = click.option(
            name,
            multiple=True,
            metavar=metavar,
            help=text,
            expose_value=False,
            callback=_keep,
        )(function)
    return function


def _keep(ctx: click.Context, param: click.Parameter, value: tuple[str, ...]) -> None:
    if value:
        ctx.meta.setdefault(_META, {})[param.opts[0]] = value


def read_any(path: Path, size: str | None = None) -> Garment:
    """Load a garment from a garment file, or from a drawing with the options that were given.

    Raises
    ------
    InputError
        With every fault, or every fact that is missing.
    """
    from pieces.drawings.loading import is_drawing, load_any

    if not is_drawing(path):
        _refuse(path)
    return load_any(path, size, answers_given())


def read_drawn(path: Path, size: str | None = None) -> DrawnGarment:
    """Read a drawing with the options that were given, and with every finding.

    Raises
    ------
    InputError
        If nothing can be made of it.
    """
    from pieces.drawings.loading import draw_garment

    return draw_garment(path, answers_given(), size)


def answers_given() -> Answers:
    """What the options of the running command say about a drawing.

    Raises
    ------
    click.BadParameter
        If one is not understood.
    """
    from pieces.drawings.answers import Answers

    given = _given()
    lengths = {}
    for ident, text in _pairs(given, "--length"):
        if not ident:
            raise click.BadParameter(f"'{text}' is not ID=LENGTH", param_hint="--length")
        lengths[ident] = _length(text, "--length")
    every: dict[str, Any] = {}
    pieces: dict[str, dict[str, Any]] = {}
    for ident, text in _pairs(given, "--cut"):
        role, label = _cut(ident, text)
        cuts = pieces.setdefault(ident, {}).setdefault("cut", {})
        if role in cuts:
            raise click.BadParameter(f"'{ident}' is cut twice in role '{role}'", param_hint="--cut")
        cuts[role] = label
    for ident, text in _pairs(given, "--grain"):
        (pieces.setdefault(ident, {}) if ident else every)["grain"] = text.lower()
    for ident, text in _pairs(given, "--fold-edge"):
        if not ident:
            raise click.BadParameter(f"'{text}' is not ID=EDGE", param_hint="--fold-edge")
        pieces.setdefault(ident, {})["fold"] = text
    for ident, text in _pairs(given, "--allowance"):
        told = pieces.setdefault(ident, {}) if ident else every
        if text.lower() == "included":
            told["drawn"] = "with allowance"
        else:
            _length(text, "--allowance")
            told["drawn"], told["allowance"] = "net", text
    left_out = tuple(given.get("--leave-out", ()))
    return Answers(
        lengths, every=every, pieces=pieces, left_out=left_out, drawing_unit=_unit(given)
    )


def answers_typed() -> tuple[str, ...]:
    """Options about a drawing that were given."""
    return tuple(_given())


def _unit(given: dict[str, tuple[str, ...]]) -> str | None:
    from pieces.drawings.answers import DRAWING_UNITS

    units = {value.strip().lower() for value in given.get("--unit", ())}
    if len(units) > 1 or not units <= set(DRAWING_UNITS):
        raise click.BadParameter("say one of mm, cm and in", param_hint="--unit")
    return next(iter(units), None)


def _given() -> dict[str, tuple[str, ...]]:
    context = click.get_current_context(silent=True)
    return {} if context is None else context.meta.get(_META, {})


def _refuse(path: Path) -> None:
    """A garment file says everything itself."""
    given = _given()
    if given:
        raise click.UsageError(
            f"{', '.join(given)}: for drawings only; {path} is a garment file, which says this "
            "itself"
        )


def _pairs(given: dict[str, tuple[str, ...]], option: str) -> list[tuple[str, str]]:
    """Values of a repeated option as the id (empty for all pieces) and what is said of it."""
    pairs: list[tuple[str, str]] = []
    for value in given.get(option, ()):
        head, sign, tail = value.rpartition("=")
        ident, text = (head.strip(), tail.strip()) if sign else ("", value.strip())
        if not text or (sign and not ident):
            raise click.BadParameter(f"'{value}' says nothing", param_hint=option)
        if option != "--cut" and ident in dict(pairs):
            raise click.BadParameter(f"'{ident or text}' is given twice", param_hint=option)
        pairs.append((ident, text))
    return pairs


def _cut(ident: str, text: str) -> tuple[str, str]:
    from pieces.drawings.garment_data import ONE_ROLE
    from pieces.readers.cut_words import parse_cut

    if not ident:
        raise click.BadParameter(
            f"'{text}' names no piece; write ID=LABEL, as 'front=1 on fold'", param_hint="--cut"
        )
    head, sign, tail = text.rpartition(":")
    role = head.strip() if sign else ONE_ROLE
    label = tail.strip()
    try:
        parse_cut(role, label)
    except ValueError as error:
        raise click.BadParameter(str(error), param_hint="--cut") from error
    return role or ONE_ROLE, label


def _length(text: str, option: str) -> float:
    try:
        length = parse_length(text)
    except LengthError as error:
        raise click.BadParameter(str(error), param_hint=option) from error
    if option == "--length" and length <= 0.0:
        raise click.BadParameter(f"'{text}' is no length of a line", param_hint=option)
    return length
