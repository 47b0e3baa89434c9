"""`laywright page`: the whole job in a browser of this machine."""

from __future__ import annotations

from pathlib import Path

import click

from plans.cli.common.options import paper_option, stash_option


@click.command()
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=0,
    help="Port of this machine that it answers on.  [default: one that is free]",
)
@click.option("--no-browser", is_flag=True, help="Print the address and open no browser.")
@click.option(
    "--plans",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    default=Path(),
    help="Folder that plans are kept in.  [default: the current one]",
)
@stash_option
@paper_option
def command(port: int, no_browser: bool, plans: Path, stash: Path | None, paper: str) -> None:
    """Do the whole job in the browser that you have.

    Serves a page to this machine only, and prints its address first, which opens it once and in one
    browser. Garments, fabrics, plans and the stash are those of the other commands. Ctrl-C ends it;
    what is being searched for then is kept as far as it is.

    \b
    Example:
      laywright page --plans sewing
    """
    from plans.page.front.serving import serve
    from plans.page.surroundings import Surroundings

    serve(Surroundings(plans.absolute(), stash, paper), port, click.echo, not no_browser)
