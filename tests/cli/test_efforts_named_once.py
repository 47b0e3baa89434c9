"""Efforts are listed in one place; commands and order files offer those."""

from __future__ import annotations

import click

from plans.cli.batch import command as batch
from plans.cli.plan import command as plan
from plans.folds.levels import EFFORTS, level_for


def offered(command: click.Command) -> tuple[str, ...]:
    option = next(one for one in command.params if one.name == "effort")
    assert isinstance(option.type, click.Choice)
    return tuple(option.type.choices)


def test_commands_and_files_offer_the_efforts_that_there_are() -> None:
    """Each has a level of its own name."""
    assert offered(plan) == offered(batch) == EFFORTS
    assert level_for(EFFORTS[0]).refine is None
    assert all(level_for(name).refine is not None for name in EFFORTS[1:])
