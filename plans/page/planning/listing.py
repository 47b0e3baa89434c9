"""The plans in the plans folder, and taking one away."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from fabrics.fold_words import taught_name
from fabrics.spread import Fold
from pieces.system_words import system_words
from plans.data.plan_json import FORMAT
from plans.outputs.folder import PLAN_FILE, FolderError, file_stem
from plans.page.asking import AskedError, sent
from plans.page.names import NotThereError, plan_folder
from plans.page.planning.searching import at_work
from plans.page.planning.titles import titled
from plans.page.rendering import page
from plans.page.surroundings import surroundings
from plans.page.work.streams import jobs

ALWAYS = re.compile(r"plan\.json|report\.html|leftovers\.pdf|shortage[^/]*\.(png|json)")
"""Files that plans have, whatever their cloth; what else is taken away bears a cloth's name."""

DAMAGED = "cannot be read as a plan"


@dataclass(frozen=True)
class Cloth:
    """One cloth of a plan in the list; length in mm."""

    name: str
    roles: str
    fold: str
    length: float
    changed: bool
    """Whether it was changed after a search had found it."""


@dataclass(frozen=True)
class Kept:
    """A plan in the list; when it was made is not known of one that cannot be read."""

    name: str
    title: str
    made: datetime | None = None
    cloths: tuple[Cloth, ...] = ()
    missing: str = ""
    finding: str = ""

    @property
    def changed(self) -> bool:
        """Whether any of it was changed by hand."""
        return any(cloth.changed for cloth in self.cloths)


def plans(request: Request) -> Response:
    """List the plans, or show a search that goes on (`work`)."""
    work = request.query_params.get("work")
    if work:
        return at_work(request, work)
    place = surroundings(request)
    return page(
        request, "plans.html", "Plans", "plans", scripts=("plans.js",),
        plans=kept_plans(place.plans), folder=str(place.plans),
        at_work=[
            job for job in jobs(request).all()
            if job.subject == "/plans" and not job.state.is_over
        ],
    )  # fmt: skip


def kept_plans(folder: Path) -> list[Kept]:
    """What is kept in a folder, the latest first."""
    try:
        inside = list(folder.iterdir())
    except OSError:
        return []
    found = [_kept(one) for one in inside if _is_ours(one)]
    return sorted(found, key=lambda plan: (plan.made or _LONG_AGO, plan.name), reverse=True)


_LONG_AGO = datetime.fromtimestamp(0)


def _is_ours(folder: Path) -> bool:
    try:
        plan_folder(folder.parent, folder.name)
    except (NotThereError, OSError):
        return False
    return True


def _kept(folder: Path) -> Kept:
    file = folder / PLAN_FILE
    try:
        stat = file.stat()
        return _read(folder.name, str(file), stat.st_mtime_ns, stat.st_size)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return Kept(folder.name, folder.name, finding=DAMAGED)


@lru_cache(maxsize=500)
def _read(name: str, file: str, mtime_ns: int, _: int) -> Kept:
    """Take what the list shows; whether all of a plan is sound is seen when it is opened."""
    data: dict[str, Any] = json.loads(Path(file).read_text(encoding="utf-8"))
    if data["format"] != FORMAT:
        raise ValueError
    return Kept(
        name,
        titled(str(data["title"]), int(data["makes"])),
        datetime.fromtimestamp(mtime_ns / 1e9),
        tuple(
            Cloth(
                str(entry["fabric"]),
                ", ".join(map(str, entry["roles"])),
                taught_name(Fold.named(entry["fold"])),
                float(entry["length_mm"]),
                entry.get("changed") is not None,
            )
            for entry in data["fabrics"]
        ),
        ", ".join(map(str, data["missing_roles"])),
    )


def take_away(request: Request) -> Response:
    """Take a plan away for good, if whoever asks is sure.

    Raises
    ------
    AskedError, NotThereError, FolderError
    """
    folder = plan_folder(surroundings(request).plans, request.path_params["name"])
    asked = sent(request)
    if not asked.flag("sure"):
        raise AskedError("sure", "is this plan to be taken away for good?")
    asked.finished()
    left = emptied(folder)
    said = f"'{folder.name}' is taken away."
    if left:
        said += f" What is not of the plan stays in its folder: {', '.join(left)}."
    return JSONResponse({"said": said})


def emptied(folder: Path) -> list[str]:
    """Remove the files of a plan, and its folder unless something else is in it: its names.

    Raises
    ------
    FolderError
        If the disk refuses.
    """
    try:
        ours = _names_of(folder)
        inside = sorted(folder.iterdir())
        # The plan itself goes last: until then what is left can be taken away once more.
        inside.sort(key=lambda path: path.name == PLAN_FILE)
        left = []
        for path in inside:
            if ours.fullmatch(path.name) and path.is_file() and not path.is_symlink():
                path.unlink()
            else:
                left.append(path.name)
        if not left:
            folder.rmdir()
    except OSError as error:
        raise FolderError(f"{folder}: cannot be taken away: {system_words(error)}") from error
    return left


def _names_of(folder: Path) -> re.Pattern[str]:
    """Names of the files that were written with a plan."""
    # Former versions wrote a '-' for every sign, also where there is none now.
    stems = "|".join(
        re.escape(file_stem(cloth.name)).replace(r"\-", "-+") + "-*"
        for cloth in _kept(folder).cloths
    )
    drawn = rf"|({stems})(-\d+)?\.(pdf|svg|png)" if stems else ""
    return re.compile(ALWAYS.pattern + drawn)


ROUTES = [
    Route("/plans", plans),
    Route("/plans/{name}/away", take_away, methods=["POST"]),
]
