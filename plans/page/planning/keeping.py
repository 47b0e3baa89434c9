"""Files of a plan to keep: those that stand in its folder, under their names, and nothing else."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from plans.page.names import NotThereError, plan_folder
from plans.page.surroundings import surroundings

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
    """Hand over one file of a plan."""
    path = _file(request)
    kind = KINDS[path.suffix][1]
    return FileResponse(path, media_type=kind, filename=path.name)


def report(request: Request) -> Response:
    """Show the report as a page of its own, which may do nothing but run its own script.

    It lies in a sandbox: what it holds cannot reach the page, whoever wrote it there.
    """
    folder = plan_folder(surroundings(request).plans, request.path_params["name"])
    path = folder / REPORT
    if path.is_symlink() or not path.is_file():
        raise NotThereError(f"the plan '{folder.name}' has no report; make it again")
    content = path.read_bytes()
    headers = {"content-security-policy": report_policy(content)}
    return Response(content, media_type="text/html; charset=utf-8", headers=headers)


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
