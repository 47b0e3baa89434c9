"""Photographs of paper pieces, where the extra that measures them is installed.

They are measured in a process of their own; what comes of it is a draft, for what no picture tells
is still to be typed.
"""

from __future__ import annotations

import os
from dataclasses import replace
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route

from pieces.findings import InputError
from pieces.lengths import System
from plans.outputs.keeping import put_file
from plans.page.asking import Asked, AskedError, sent, sent_bytes
from plans.page.garments import drafts
from plans.page.garments.drawn import clear_old, drawn_path
from plans.page.garments.shelf import address, new_name
from plans.page.names import NameRefusedError, NotThereError, sound_name
from plans.page.settings import units
from plans.page.work.process import Tell
from plans.page.work.streams import address as news_of
from plans.page.work.streams import jobs

if TYPE_CHECKING:
    from plans.traced.request import TraceRequest

LIBRARY = "cv2"

ENDINGS = (".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".bmp")

PAPERS = ("A4", "Letter")

MOST_PHOTOGRAPHS = 12


def photographs_offered() -> bool:
    """Whether the extra is installed."""
    return find_spec(LIBRARY) is not None


def hand_in(request: Request) -> Response:
    """Take one photograph."""
    name = new_name(str(request.path_params["file"]), "photo")
    if Path(name).suffix.lower() not in ENDINGS:
        raise AskedError("photo", f"'{name}' is no picture by its ending")
    content = sent_bytes(request)
    if not content:
        raise AskedError("photo", f"'{name}' is empty")
    clear_old()
    put_file(content, drawn_path(name), replace=True)
    return JSONResponse({"kept": name})


def begin(request: Request) -> Response:
    """Begin to measure photographs that were handed in."""
    asked = sent(request)
    name = new_name(asked.text("name"))
    photos = _photos(asked)
    paper = asked.one_of("paper", PAPERS, "") or None
    names = [" ".join(part.split()) for part in asked.text("names", "").split(",")]
    asked.finished()
    if not photographs_offered():
        raise AskedError("photo", "photographs are measured where laywright[trace] is installed")
    drafts.refuse_taken(name)
    job = jobs(request).begin(
        f"Photographs of {name}", "/new/garment", measure, photos, name, paper,
        [one for one in names if one], units(request),
    )  # fmt: skip
    return JSONResponse(news_of(job))


def _photos(asked: Asked) -> list[Path]:
    listed = asked.raw("photos")
    if not isinstance(listed, list) or not 0 < len(listed) <= MOST_PHOTOGRAPHS:
        raise AskedError("photo", f"hand in one photograph at least, {MOST_PHOTOGRAPHS} at most")
    return [_handed_in(str(name)) for name in listed]


def _handed_in(name: str) -> Path:
    try:
        path = drawn_path(sound_name(name, "photograph"))
    except NameRefusedError as error:
        raise NotThereError(str(error)) from error
    if not path.is_file() or path.is_symlink() or path.suffix.lower() not in ENDINGS:
        raise NotThereError(f"the picture '{name}' is not here any more; hand it in again")
    return path


def measure(
    tell: Tell, photos: list[Path], name: str, paper: str | None, names: list[str], system: System
) -> dict[str, Any]:
    """Measure photographs and begin a draft; the task of a process."""
    from pieces.tracing.result.garment_text import TO_FILL_IN
    from plans.traced.request import TraceRequest

    tell({"kind": "progress", "words": "measuring; this takes some seconds a photograph"})
    request = TraceRequest(
        tuple(photos), drawn_path(f"{name}.toml"), paper, tuple(names), over=True, system=system
    )
    lines = _traced(request)
    text = request.out.read_text(encoding="utf-8")
    for line in TO_FILL_IN.values():
        text = text.replace(f"{line}\n", "")
    if not drafts.begin(name, drafts.data_of(text), text):
        raise drafts.taken_by("garment or a draft", name)
    for path in (request.out, *photos):
        path.unlink(missing_ok=True)
    found = [request.overlay(k).name for k in range(len(photos))]
    return {
        "go": address(name, "draft"),
        "lines": [line for line in lines if str(request.out.parent) not in line],
        "found": [f"/new/garment/found/{quote(one, safe='')}" for one in found],
    }


def _traced(request: TraceRequest) -> list[str]:
    """Trace; what is refused is called by the file's own name, not by where it was laid."""
    from pieces.tracing.refusal import UntraceableError
    from plans.traced.running import trace

    try:
        return trace(request)
    except InputError as error:
        raise InputError([replace(f, file=Path(f.file).name) for f in error.findings]) from error
    except UntraceableError as error:
        plain = str(error).replace(f"{request.out.parent}{os.sep}", "")
        raise UntraceableError(plain, error.places) from error


def found(request: Request) -> Response:
    """Show what was found in a photograph."""
    return FileResponse(_handed_in(str(request.path_params["file"])))


ROUTES = [
    Route("/new/garment/files/photograph/{file}", hand_in, methods=["POST"]),
    Route("/new/garment/photographs", begin, methods=["POST"]),
    Route("/new/garment/found/{file}", found),
]
