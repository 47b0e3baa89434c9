"""Where the sheet of leftovers of a cut goes unless told."""

from __future__ import annotations

from pathlib import Path

from plans.cli.cut import _beside


def test_the_sheet_goes_beside_the_plan(tmp_path: Path) -> None:
    """Into the folder of a plan, whether it or the file in it is named."""
    assert _beside(tmp_path, "sheet.pdf") == tmp_path / "sheet.pdf"
    assert _beside(tmp_path / "plan.json", "sheet.pdf") == tmp_path / "sheet.pdf"
