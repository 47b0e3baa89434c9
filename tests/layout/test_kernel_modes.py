"""The tests of the kernels once more: without compilation, and compiled with checks of bounds."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from pieces.files.user_folders import CACHE_VARIABLE, user_cache_folder

ROOT = Path(__file__).parents[2]

TESTED = ("test_kernels.py", "proofs/test_proof_kernels.py")

CHECKED = str(user_cache_folder() / "checks-of-bounds")
"""Kernels with checks have a folder of their own, which is kept: numba does not tell them apart."""


@pytest.mark.parametrize(
    ("mode", "which"),
    [
        # Arrays check their ends themselves.
        ({"NUMBA_DISABLE_JIT": "1"}, "not cache"),
        # Rounds call every kernel but the one that makes the grids; to compile all of them for
        # calls from Python as well would take several times as long, and to optimise them half as
        # long again.
        pytest.param(
            {"NUMBA_BOUNDSCHECK": "1", "NUMBA_OPT": "1", CACHE_VARIABLE: CHECKED},
            "rounds or grids or proof_of",
            marks=pytest.mark.skipif(
                "LAYWRIGHT_EXPLORE" not in os.environ,
                reason="compiles for half a minute what the plain twins show, too; "
                "LAYWRIGHT_EXPLORE=1 asks for it",
            ),
        ),
    ],
    ids=["plain", "bounds"],
)
def test_kernels_hold_in_every_mode(mode: dict[str, str], which: str) -> None:
    """What the compiled kernels must do their plain twins do, and nothing reads past an end."""
    environment = {**os.environ, **mode}
    # This process has pointed numba at its own folder.
    environment.pop("NUMBA_CACHE_DIR", None)
    done = subprocess.run(
        # In one process: two would each compile nearly everything.
        [sys.executable, "-m", "pytest", "-x", "-p", "no:cacheprovider", "-k", which,
         "--numprocesses", "0",
         *(str(ROOT / "tests" / "layout" / name) for name in TESTED)],
        cwd=ROOT, env=environment, capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-1000:]
