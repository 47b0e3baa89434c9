"""A group whose commands are imported only when they run, so that help is instant."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any

import click

from plans.cli.common.nobody_reads import read_by_someone

Commands = Mapping[str, tuple[str, str]]
"""By name: the module whose `command` it is, and a line on what it does."""


class OnDemand(click.Group):
    """Commands that are listed in the order of their table, and loaded one at a time."""

    def __init__(self, *arguments: Any, table: Commands, **options: Any) -> None:
        super().__init__(*arguments, **options)
        self.table = table

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names, in the order in which help tells of them."""
        return list(self.table)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import a command."""
        if cmd_name not in self.table:
            return None
        command: click.Command = importlib.import_module(self.table[cmd_name][0]).command
        return command

    def make_context(
        self,
        info_name: str | None,
        args: list[str],
        parent: click.Context | None = None,
        **extra: Any,
    ) -> click.Context:
        """Read what was typed; this may print help."""
        with read_by_someone():
            return super().make_context(info_name, args, parent, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command that was named."""
        with read_by_someone():
            return super().invoke(ctx)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Tell what there is without importing any of it."""
        most = formatter.width - 6 - max(len(name) for name in self.table)
        rows = [
            (name, click.Command(name, help=text).get_short_help_str(most))
            for name, (_, text) in self.table.items()
        ]
        with formatter.section("Commands"):
            formatter.write_dl(rows)
