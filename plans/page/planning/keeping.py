"""Files of a plan to keep: those that stand in its folder, under their names, and nothing else."""

from __future__ import annotations

import base64
import hashlib
import re
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import lru_cache
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from pieces.lengths import System
from plans.outputs.folder import PLAN_FILE, drawn_outputs, read_plan
from plans.page.names import NotThereError, plan_folder
from plans.page.settings import units
from plans.page.surroundings import surroundings
from plans.plan import Plan

KINDS = {
    ".pdf": ("PDF to print", "application/pdf"),
    ".svg": ("SVG drawing", "image/svg+xml"),
    ".png": ("PNG picture", "image/png"),
    ".html": ("report", "text/html"),
    ".json": ("JSON for programs", "application/json"),
}
"""What files of a plan are, by their ending, and their media type."""

REPORT = "report.html"

_SCRIPT = re.compile(rb"<script>(.*?)</script>", re.DOTALL)


@dataclass(frozen=True)
class KeptFile:
    """A file that can be kept."""

    name: str
    what: str
    kb: int


def files_of(folder: Path) -> list[KeptFile]:
    """What a plan's folder has to keep: PDFs first, the plan itself last."""
    order = list(KINDS)
    found = [
        KeptFile(path.name, KINDS[path.suffix][0], round(path.stat().st_size / 1000) or 1)
        for path in folder.iterdir()
        if path.suffix in KINDS and path.is_file() and not path.is_symlink()
        if not path.name.startswith(".")
    ]
    return sorted(found, key=lambda one: (order.index(Path(one.name).suffix), one.name))


def keep(request: Request) -> Response:
    """Hand over one file of a plan, its figures in the units that are shown."""
    path = _file(request)
    kind = KINDS[path.suffix][1]
    content = _in_units(request, path)
    if content is None:
        return FileResponse(path, media_type=kind, filename=path.name)
    named = f"attachment; filename*=UTF-8''{quote(path.name, safe='')}"
    return Response(content, media_type=kind, headers={"content-disposition": named})


def report(request: Request) -> Response:
    """Show the report as a page of its own, which may do nothing but run its own script.

    It lies in a sandbox: what it holds cannot reach the page, whoever wrote it there.
    """
    folder = plan_folder(surroundings(request).plans, request.path_params["name"])
    path = folder / REPORT
    if path.is_symlink() or not path.is_file():
        raise NotThereError(f"the plan '{folder.name}' has no report; make it again")
    content = _in_units(request, path) or path.read_bytes()
    headers = {"content-security-policy": report_policy(content)}
    return Response(content, media_type="text/html; charset=utf-8", headers=headers)


def made_in(plan: Plan) -> System | None:
    """Units that the files of a plan are written in; None where it does not say."""
    if plan.asked is None:
        return None
    try:
        return System(plan.asked.get("figures", System.METRIC.value))
    except ValueError:
        return None


def _in_units(request: Request, path: Path) -> bytes | None:
    """A file of a plan anew, where figures are shown in other units than it was written in.

    None where it is as it should be, or was not drawn of the plan. The file itself stays.
    """
    folder, system = path.parent, units(request)
    plan = read_plan(folder)
    if made_in(plan) is system or path.suffix == ".json":
        return None
    time = (folder / PLAN_FILE).stat().st_mtime_ns
    return _written(folder, path.name, system, surroundings(request).paper, time)


@lru_cache(maxsize=8)
def _written(folder: Path, name: str, system: System, paper: str, _: int) -> bytes | None:
    # What draws is never loaded by the page itself: it would stay.
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as beside:
        return beside.submit(_drawn, folder, name, system, paper).result()


def _drawn(folder: Path, name: str, system: System, paper: str) -> bytes | None:
    write = drawn_outputs(read_plan(folder)).get(name)
    if write is None:
        return None
    with TemporaryDirectory(prefix="laywright-") as aside:
        drawn = Path(aside) / name
        write(drawn, system, paper)
        return drawn.read_bytes()


def report_policy(content: bytes) -> str:
    """What a report may do (content security policy): its scripts are told by their hashes."""
    hashes = [
        f"'sha256-{base64.b64encode(hashlib.sha256(script).digest()).decode()}'"
        for script in _SCRIPT.findall(content)
    ]
    allowed = " ".join(hashes) or "'none'"
    return (
        "sandbox allow-scripts allow-modals; default-src 'none'; img-src data:; "
        f"style-src 'unsafe-inline'; script-src {allowed}; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )


def _file(request: Request) -> Path:
    """The file that is asked for: one of the list, by its name.

    Raises
    ------
    NotThereError
    """
    folder = plan_folder(surroundings(request).plans, request.path_params["name"])
    wanted: str = request.path_params["file"]
    if wanted not in {one.name for one in files_of(folder)}:
        raise NotThereError(f"the plan '{folder.name}' has no such file")
    return folder / wanted


ROUTES = [
    Route("/plans/{name}/report", report),
    Route("/plans/{name}/keep/{file}", keep),
]
