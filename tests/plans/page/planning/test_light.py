"""The server itself draws and searches nothing: what is heavy is loaded by tasks alone."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[4]

SCRIPT = """
import os, sys
from pathlib import Path
from tests.page import asked, at_home
from tests.plans.page.planning.small import FIELDS, begun, news, shelved

def main():
    folder = Path(sys.argv[1])
    os.environ.update(at_home(folder))
    shelved(folder)
    (folder / "plans").mkdir()
    with asked(folder / "plans") as client:
        work = begun(client)
        assert news(client, work)[-1][0] == "done"
        for view in ("/plans", "/new/plan", f"/plans?work={work}", "/plans/bag-plan",
                     "/plans/bag-plan/report", "/plans/bag-plan/keep/90cm.pdf"):
            assert client.get(view).status_code in (200, 303), view
        print(*(name for name in ("matplotlib", "numba", "highspy") if name in sys.modules))

if __name__ == "__main__":
    main()
"""


def test_no_view_of_plans_loads_what_draws_or_searches(tmp_path: Path) -> None:
    """A plan is laid and every view of it read; the modules are those of the server's process."""
    (tmp_path / "visit.py").write_text(SCRIPT)
    done = subprocess.run(
        [sys.executable, str(tmp_path / "visit.py"), str(tmp_path)],
        cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == ""
