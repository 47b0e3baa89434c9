"""The program: its address, its port, and how it ends."""

from __future__ import annotations

import re
import signal
import socket
from pathlib import Path

import pytest
from click.testing import CliRunner

from plans.cli.main import front_door
from tests.cli.programs import wait_until
from tests.page import served


def test_the_address_is_the_first_line_and_ctrl_c_ends_it(tmp_path: Path) -> None:
    """On this machine only, on a port that was free; its end is no failure."""
    with served(tmp_path) as (address, process):
        found = re.fullmatch(r"http://127\.0\.0\.1:(\d+)/open/[\w-]{32}", address)
        assert found
        port = int(found[1])
        with socket.create_connection(("127.0.0.1", port), timeout=60):
            pass
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=300) == 0
        assert process.stderr is not None
        assert process.stderr.read() == ""

    def is_free() -> bool:
        with socket.socket() as other:
            return other.connect_ex(("127.0.0.1", port)) != 0

    wait_until(is_free, "the port is free again")


def test_it_listens_to_no_other_address(tmp_path: Path) -> None:
    """Another address of this machine leads nowhere."""
    with served(tmp_path) as (address, _):
        port = int(address.split(":")[2].split("/")[0])
        with socket.socket() as other:
            assert other.connect_ex(("127.0.0.2", port)) != 0


@pytest.mark.parametrize("arguments", [["--port", "70000"], ["--plans", "missing"]])
def test_what_cannot_be_is_refused_with_its_option(arguments: list[str], tmp_path: Path) -> None:
    """Before anything is served."""
    result = CliRunner().invoke(front_door, ["page", "--no-browser", *arguments])
    assert result.exit_code == 2
    assert arguments[0] in result.output


def test_a_port_that_is_taken_is_named(tmp_path: Path) -> None:
    """With the way out."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with served(tmp_path, port) as (line, process):
            assert line == ""
            assert process.wait(timeout=300) == 2
            assert process.stderr is not None
            said = process.stderr.read()
            assert f"--port {port}: " in said
            assert "none for one that is free" in said
