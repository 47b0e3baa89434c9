"""How commands are made: listed without being loaded, options taken together, one file each."""

from __future__ import annotations

import ast
import importlib
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from plans.cli import stash
from plans.cli.common import options
from plans.cli.common.choices import CuttingChoice, SearchChoice, taken_into
from plans.cli.main import COMMANDS
from plans.order import Order

TABLES = {**COMMANDS, **{f"stash {name}": row for name, row in stash.COMMANDS.items()}}

MOST_STATEMENTS = 30
"""A command that reads what was typed, calls and prints needs no more."""


@pytest.mark.parametrize("name", TABLES)
def test_a_command_is_a_module_of_its_own_and_thin(name: str) -> None:
    """What help tells of it beforehand is what it says itself; no more happens than must."""
    place, text = TABLES[name]
    module = importlib.import_module(place)
    assert isinstance(module.command, click.Command)
    assert len([row for row in TABLES.values() if row[0] == place]) == 1
    if name.startswith("stash "):
        assert module.command.name == name.split()[1]
        assert module.command.help is not None
        assert " ".join(module.command.help.split()).startswith(text)
    source = ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))
    (body,) = [
        node for node in source.body if isinstance(node, ast.FunctionDef) and node.name == "command"
    ]
    assert sum(isinstance(node, ast.stmt) for node in ast.walk(body)) - 1 <= MOST_STATEMENTS
    assert len(body.args.args) <= 11


def test_help_of_a_group_loads_none_of_its_commands() -> None:
    """Neither those of the stash."""
    code = (
        "import sys, plans.cli.main as m; m._code(['stash', '-h']); "
        "print([n for n in sys.modules if n.startswith('plans.cli.stash.')])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.splitlines()[-1] == "[]"


def test_options_are_taken_into_one_value() -> None:
    """Whatever is between them; what no kind names goes to the command as it is."""

    @dataclass(frozen=True)
    class Pair:
        left: str
        right: str

    heard: list[object] = []

    @click.command()
    @click.option("--left")
    @click.option("--other")
    @click.option("--right")
    @taken_into(pair=Pair)
    def command(other: str, pair: Pair) -> None:
        """Take two."""
        heard.extend((other, pair))

    done = CliRunner().invoke(command, ["--right", "b", "--other", "c", "--left", "a"])
    assert done.exit_code == 0
    assert heard == ["c", Pair("a", "b")]
    assert [param.name for param in command.params] == ["left", "other", "right"]


def test_shared_options_default_to_what_an_order_does() -> None:
    """One place says how far apart pieces lie, what squaring off costs, how long is searched."""
    heard: list[object] = []

    @click.command()
    @options.makes_option()
    @options.gap_option
    @options.ends_option
    @options.margin_option()
    @options.search_options("How long.")
    @taken_into(cutting=CuttingChoice, search=SearchChoice)
    def command(cutting: CuttingChoice, search: SearchChoice) -> None:
        """Cut."""
        heard.extend((cutting, search))

    assert CliRunner().invoke(command, []).exit_code == 0
    assert heard == [
        CuttingChoice(Order.makes, Order.gap, Order.ends, Order.margin),
        SearchChoice(Order.effort, Order.seed),
    ]
    assert heard[0] == CuttingChoice()
