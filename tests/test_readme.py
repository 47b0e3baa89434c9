"""What the README shows is true: its garments are sound, and its commands exist."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from pieces.readers.garment_toml import check_garment, load_garment
from plans.cli.main import COMMANDS

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
GARMENTS = re.findall(r"```toml\n(.*?)```", README, re.DOTALL)


@pytest.mark.parametrize("text", GARMENTS)
def test_the_garments_shown_are_sound(text: str, tmp_path: Path) -> None:
    """Nothing wrong and nothing doubtful, in the units that the page declares."""
    path = tmp_path / "shown.toml"
    head = "" if "units" in text else 'title = "Shown"\nunits = "cm"\n'
    path.write_text(head + text, encoding="utf-8")
    assert check_garment(path) == []
    assert load_garment(path).pieces


def test_there_are_two_garments_and_every_command_is_real() -> None:
    """No command is shown that is not there."""
    assert len(GARMENTS) == 2
    shown = set(re.findall(r"laywright ([a-z]+)\b", README))
    assert {"plan", "compare", "check", "stash", "cut"} <= shown
    assert shown - set(COMMANDS) <= {"plans"}
