"""The sheet of the leftovers of a cut, drawn in a process of its own beside the plan."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

from fabrics.stash.store import Stash
from pieces.lengths import System
from plans.errors import PlanError
from plans.outputs.folder import write_bytes
from plans.page.work.process import Tell


class NothingLeftError(PlanError):
    """Leftovers of a cut of which none is there any more."""


def sheet_path(folder: Path, number: int) -> Path:
    """File of the sheet of a cut, in the folder of its plan; named as the command line does."""
    return folder / f"leftovers-cut-{number}.pdf"


def sheet_task(tell: Tell, stash: str, number: int, path: str, system: str) -> dict[str, Any]:
    """Draw what is still there of the leftovers of a cut, whole or not at all.

    Raises
    ------
    NothingLeftError, PlanError, StashError
    """
    from plans.drawing.leftovers.leftover_sheet import write_leftover_sheet

    shown = System(system)
    with Stash(Path(stash), system=shown) as base:
        left = [one for one in base.leftovers() if one.made_by == number]
    if not left:
        raise NothingLeftError(f"nothing that cut {number} left is there any more")
    tell({"kind": "step", "of": len(left)})
    with tempfile.TemporaryDirectory(prefix="laywright-") as folder:
        aside = Path(folder) / "sheet.pdf"
        write_leftover_sheet(left, aside, f"Leftovers of cut {number}", shown)
        write_bytes(Path(path), aside.read_bytes())
    return {"drawn": len(left)}
