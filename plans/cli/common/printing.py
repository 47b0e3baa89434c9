"""What goes to standard output: data as JSON, a table in one of three ways, a plan."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from pieces.lengths import System
    from plans.cli.common.choices import TableChoice
    from plans.plan import Plan


def print_json(data: Any) -> None:
    """Print plain data as JSON."""
    click.echo(json.dumps(data, indent=1))


def print_table(
    how: TableChoice,
    data: Callable[[], Any],
    csv: Callable[[], str],
    text: Callable[[], str],
) -> None:
    """Print one of three: data as JSON, lines of CSV, or text for people."""
    if how.as_json:
        print_json(data())
    else:
        click.echo(csv() if how.as_csv else text(), nl=False)


@contextmanager
def ended_with_nothing(how: TableChoice) -> Iterator[None]:
    """Say on an interrupt that there is nothing to print, rather than nothing at all.

    Programs get nothing: no line of theirs says that it is missing, but the exit code does.
    """
    try:
        yield
    except KeyboardInterrupt:
        if not how.for_programs:
            from plans.compare.table import NOTHING_COMPLETE

            click.echo(NOTHING_COMPLETE)
        raise


def print_plan(plan: Plan, system: System, as_json: bool) -> None:
    """Print a plan for people, or as JSON."""
    if as_json:
        from plans.data.plan_json import plan_to_json

        print_json(plan_to_json(plan))
        return
    from plans.words.facts import plan_text

    click.echo(plan_text(plan, system, lambda text: click.style(text, bold=True)), nl=False)
