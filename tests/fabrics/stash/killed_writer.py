"""A program that changes a stash without end, to be killed at any moment."""

from __future__ import annotations

import sys
from pathlib import Path

from fabrics.stash.records import NewCut
from fabrics.stash.store import Stash
from tests.fabrics.stash.example import LAWN, rectangle


def run(path: Path, name: str) -> None:
    """Cut, undo every third cut, put leftovers in; say "ready" once open."""
    with Stash(path) as stash:
        print("ready", flush=True)
        number = 0
        while True:
            number += 1
            cut = stash.record_cut(
                NewCut(
                    "top",
                    f'{{"{name}": {number}}}',
                    (("B1", 3.0), ("B2", 5.0)),
                    (rectangle(LAWN, 100.0 + number, 50.0),) * 2,
                )
            )
            if number % 3 == 0:
                stash.undo_cut(cut.number)


if __name__ == "__main__":
    run(Path(sys.argv[1]), sys.argv[2])
