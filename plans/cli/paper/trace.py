"""`laywright trace`: photographs of paper pieces become a garment file."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.options import system_option
from plans.cli.common.typed import Length, assignments, require_writable


@click.command()
@click.argument(
    "photos", metavar="PHOTO...", nargs=-1, required=True, type=click.Path(path_type=Path)
)
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), required=True,
    help="Garment file to write; pictures of what was found are put beside it.",
)  # fmt: skip
@click.option(
    "--paper", type=click.Choice(["a4", "letter"], case_sensitive=False),
    help="What the sheets are; told by their shape unless named.",
)  # fmt: skip
@click.option(
    "--names", metavar="NAME,NAME,...",
    help="Names of the pieces, by their numbers in the pictures; one name twice is one "
    "piece, and - leaves out what is none.",
)  # fmt: skip
@click.option(
    "--fold", "folds", multiple=True, metavar="NAME=EDGE",
    help="The straight edge of a piece on the fold: left, right, top, bottom, or 'edge 2'.",
)  # fmt: skip
@click.option(
    "--known", type=Length(above=0.0), metavar="LENGTH",
    help="A length in the picture as a check: between the two marks that print marks gives for "
    "that, or between two crosses on a strip of light tape or paper.",
)  # fmt: skip
@click.option("--replace", "over", is_flag=True, help="Write over files that are there.")
@system_option
def command(
    photos: tuple[Path, ...], out: Path, paper: str | None, names: str | None,
    folds: tuple[str, ...], known: float | None, over: bool, units: str,
) -> None:  # fmt: skip
    """Measure paper pieces in photographs, and write them as a garment file.

    Lay the pieces flat and apart on a floor of another colour, with four sheets of A4 or Letter
    round them, and photograph them from straight above. With one sheet the error is larger. Every
    figure comes with its error; what cannot be measured is refused (exit code 3). What no picture
    tells (how often, which way the grain runs) stands in the file to be filled in, and
    laywright check lists it.

    \b
    Example:
      laywright trace floor.jpg --out skirt.toml --names "front,back" --fold front=left
    """
    from pieces.lengths import System
    from plans.traced.request import TraceRequest

    require_writable(out, (".toml",), "--out")
    _require_opencv()
    from plans.traced.running import trace

    named = {"a4": "A4", "letter": "Letter"}
    request = TraceRequest(
        photos, out, named[paper.lower()] if paper else None, _names(names),
        tuple(assignments(folds, "--fold", "NAME=EDGE")), known, over,
        System(units),
    )  # fmt: skip
    for line in trace(request):
        click.echo(line)


def _names(text: str | None) -> tuple[str, ...]:
    if text is None:
        return ()
    names = tuple(" ".join(name.split()) for name in text.split(","))
    if not all(names):
        raise click.BadParameter(f"'{text}' has a name of no letters", param_hint="--names")
    return names


def _require_opencv() -> None:
    import importlib.util

    if importlib.util.find_spec("cv2") is None:
        raise click.UsageError(
            "trace needs OpenCV, which is not installed: pip install 'laywright[trace]'"
        )
