"""The program is ended while it searches: what was found is kept."""

from __future__ import annotations

import signal
from pathlib import Path

from plans.outputs.folder import read_plan
from tests.page import served
from tests.plans.page.planning.small import shelved
from tests.plans.page.planning.visitor import Visitor


def test_ctrl_c_keeps_what_a_search_has_found(tmp_path: Path) -> None:
    """The plan is on the disk, complete, with everything to print."""
    shelved(tmp_path)
    with served(tmp_path) as (address, process):
        visitor = Visitor(address)
        fields = {
            "garment-1": "pebbles", "cloth-main": "=typed", "width-main": "90cm",
            "cloth-lining": "demo-cotton-lawn", "effort": "thorough", "fold": "open",
        }  # fmt: skip
        work = visitor.send("/new/plan", **fields)["work"]
        # Both cloths have a layout when one of them is searched further.
        visitor.hear(f"/at-work/{work}/events", "searching on in")
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=300) == 0
        assert process.stderr is not None
        said = process.stderr.read()
        assert "keeping what was found" in said
        assert "Traceback" not in said
    folder = tmp_path / "plans" / "pebbles-plan"
    names = {path.name for path in folder.iterdir()}
    assert {"plan.json", "report.html", "90cm.pdf", "90cm.svg", "demo-cotton-lawn.pdf"} <= names
    # Whether the signal came while it searched or while it wrote is up to the machine.
    assert read_plan(folder).complete
    assert [path.name for path in (tmp_path / "plans").iterdir()] == ["pebbles-plan"]
