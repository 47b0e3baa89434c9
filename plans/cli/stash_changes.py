"""`laywright stash correct`, `out`, `undo` and `plan`: what has changed, and changing it back."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plans.cli.options import Length, stash_option, system_option

if TYPE_CHECKING:
    from fabrics.stash.records import Bolt, LeftoverRecord


@click.command("correct")
@click.argument("tag")
@click.option("--length", type=Length(above=0.0), default=None, help="Length that there really is.")
@click.option("--washed/--unwashed", default=None, help="Its state.")
@click.option("--note", default=None, help="Another note.")
@stash_option
@system_option
def correct(
    tag: str,
    length: float | None,
    washed: bool | None,
    note: str | None,
    stash: Path | None,
    units: str,
) -> None:
    """Correct what is known of a bolt, or the note of a leftover.

    \b
    Example, after washing and measuring:
      laywright stash correct B1 --length 2.88m --washed
    """
    from pieces.lengths import System
    from plans.cli.options import open_stash
    from plans.words.stash_tables import one_text

    if length is None and washed is None and note is None:
        raise click.UsageError("say what to correct: --length, --washed, --unwashed or --note")
    with open_stash(stash, units) as base:
        number = base.correct(tag, length, washed, note)
        one: Bolt | LeftoverRecord = base.find(tag)
    click.echo(one_text(one, System(units)), nl=False)
    click.echo(f"\n(laywright stash undo {number} takes this correction back)")


@click.command("out")
@click.argument("tags", nargs=-1, required=True, metavar="TAG...")
@stash_option
def out(tags: tuple[str, ...], stash: Path | None) -> None:
    """Take bolts or leftovers out: sold, given away, used for something else.

    All of them or, if one tag is wrong, none.

    \b
    Example:
      laywright stash out L3 L4
    """
    from plans.cli.options import open_stash

    with open_stash(stash) as base:
        number = base.remove(*tags)
    names = list(dict.fromkeys(tag.strip().upper() for tag in tags))
    click.echo(f"{' and '.join(names)} {'is' if len(names) == 1 else 'are'} out")
    click.echo(f"(laywright stash undo {number} brings {'it' if len(names) == 1 else 'them'} back)")


@click.command("undo")
@click.argument("number", type=int, required=False)
@stash_option
def undo(number: int | None, stash: Path | None) -> None:
    """Undo what was taken out or corrected: the latest, or the change of a NUMBER.

    For a cut that was recorded there is laywright cut --undo.

    \b
    Example:
      laywright stash undo
    """
    from plans.cli.options import open_stash
    from plans.words.stash_tables import CHANGE_WORDS

    with open_stash(stash) as base:
        change = base.undo(number)
    what = CHANGE_WORDS[change.kind][1]
    click.echo(f"change {change.number} is undone: {' and '.join(change.tags)} {what}")


@click.command("plan")
@click.argument("number", type=int)
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), help="File to write, for show."
)
@stash_option
def plan(number: int, out: Path | None, stash: Path | None) -> None:
    """Give back the plan that was kept with a cut, as JSON.

    \b
    Example:
      laywright stash plan 1 --out plan.json && laywright show plan.json
    """
    from fabrics.stash.errors import StashError
    from fabrics.stash.exchange import plan_data
    from plans.cli.options import open_stash
    from plans.outputs.folder import write_text

    with open_stash(stash) as base:
        found = next((cut for cut in base.cuts() if cut.number == number), None)
    if found is None:
        raise StashError(f"cut {number}: there is none of that number")
    data = plan_data(found.plan)
    if data is None:
        raise StashError(f"cut {number}: the plan that was kept with it is damaged")
    text = json.dumps(data, indent=1)
    if out is None:
        click.echo(text)
        return
    write_text(out, text + "\n")
    click.echo(f"Written to {out}")


CHANGES = (correct, out, undo, plan)
