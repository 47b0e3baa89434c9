"""`laywright stash find`: what there is of a fabric, a colour, a fibre or a size."""

from __future__ import annotations

from dataclasses import dataclass

import click

from plans.cli.common.asked import open_stash
from plans.cli.common.choices import StashChoice, TableChoice, taken_into
from plans.cli.common.options import csv_option, json_option, stash_option, system_option
from plans.cli.common.printing import print_table
from plans.cli.common.typed import read_size


@dataclass(frozen=True)
class WishChoice:
    """What the cloth should be like."""

    fabric: str
    colour: str
    fibre: str
    size: str | None
    either_way: bool


@click.command("find")
@click.option("--fabric", default="", help="Part of its name.")
@click.option("--colour", default="", help="Part of its colour.")
@click.option("--fibre", default="", help="Part of its fibre.")
@click.option("--size", metavar="LONGxWIDE", help="Along the grain x across it, as 60x20cm.")
@click.option("--either-way", is_flag=True, help="The grain may lie along either side.")
@json_option()
@csv_option
@stash_option
@system_option
@taken_into(wanted=WishChoice, table=TableChoice, about=StashChoice)
def command(wanted: WishChoice, table: TableChoice, about: StashChoice) -> None:
    """Find cloth by fabric, colour, fibre or size.

    \b
    Example, anything at least 20 x 60 cm with the grain along the long side:
      laywright stash find --size 60x20cm
    """
    from fabrics.stash.exchange.csv_table import cloth_to_csv
    from fabrics.stash.rows import BOLT, LEFTOVER
    from fabrics.stash.search import Wish, matching
    from plans.words.lists.stash_tables import found_text

    size = None if wanted.size is None else read_size(wanted.size, "--size")
    wish = Wish(wanted.fabric, wanted.colour, wanted.fibre, size, wanted.either_way)
    with open_stash(about.stash, about.units) as base:
        bolts, leftovers = matching(base.bolts(), base.leftovers(), wish)
        print_table(
            table,
            lambda: {
                "bolts": [BOLT.write(one) for one in bolts],
                "leftovers": [LEFTOVER.write(one) for one in leftovers],
            },
            lambda: cloth_to_csv(bolts, leftovers),
            lambda: found_text(base, bolts, leftovers, about.system),
        )
