"""Writing a plan's folder: aside first, then renamed; never half a folder."""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from pieces.files.json_text import read_json
from pieces.findings import InputError
from pieces.lengths import System
from pieces.name_length import MOST_MADE_BYTES, cut_to_length, name_too_long, numbered
from pieces.system_words import system_words
from plans.data.plan_json import FORMAT, PlanFileError, plan_from_json, plan_to_json
from plans.errors import PlanError
from plans.plan import FabricPlan, Plan
from plans.whole_files import ASIDE, ASIDE_END, clear_leavings, held, written_aside

PLAN_FILE = "plan.json"
SHORTAGE_PREFIX = "shortage"
"""Names of what `plans.rescue` writes begin with this; it may be there without a plan."""

CUT_SHEETS = "leftovers-cut-"
"""Names of sheets that tell what a cut left begin with this: records, which a new plan keeps."""


Writer = Callable[[Path, System, str], None]
"""Writes something of a plan to a path, in units, for a paper ("a4" or "letter")."""


class FolderError(PlanError):
    """A folder that cannot be written; the message names it and the way out."""


def check_target(target: Path) -> None:
    """Refuse a target that cannot or should not be written, before any search.

    Raises
    ------
    FolderError
        If it is a file, or a folder that holds something other than a plan, or its parent is
        missing or not writable.
    """
    parent = target.absolute().parent
    too_long = name_too_long(target.name, MOST_MADE_BYTES)
    if too_long:
        raise FolderError(
            f"--out {target.name[:40]}...: the name of the folder {too_long}; name another"
        )
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        raise FolderError(f"--out {target}: is a file; name a folder")
    if target.is_dir() and not _is_plan(target) and any(map(_is_foreign, target.iterdir())):
        raise FolderError(
            f"--out {target}: holds other files and no plan, so it is not written over; name "
            "another folder or empty it"
        )
    _check_parent(parent, f"--out {target}")


def check_file(target: Path, option: str) -> None:
    """Refuse a file that cannot be written where an option names it, before any search.

    Raises
    ------
    FolderError
        If its name is too long, or its folder is missing or not writable.
    """
    too_long = name_too_long(target.name, MOST_MADE_BYTES)
    if too_long:
        raise FolderError(
            f"{option} {target.name[:40]}...: the name of the file {too_long}; name another"
        )
    real = Path(os.path.realpath(target))
    # A pipe is written as it is, wherever it lies.
    if real.is_file() or not real.exists():
        _check_parent(real.parent, f"{option} {target}")


def _check_parent(parent: Path, what: str) -> None:
    if not parent.is_dir():
        raise FolderError(f"{what}: the folder {parent} does not exist; make it first")
    try:
        with tempfile.TemporaryDirectory(dir=parent, prefix=ASIDE, suffix=ASIDE_END):
            pass
    except OSError as error:
        raise FolderError(f"{what}: {parent} cannot be written: {system_words(error)}") from error


def _is_foreign(path: Path) -> bool:
    return not path.name.startswith(SHORTAGE_PREFIX)


def _is_plan(target: Path) -> bool:
    try:
        data = json.loads((target / PLAN_FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    return isinstance(data, dict) and data.get("format") == FORMAT


def write_folder(plan: Plan, target: Path, system: System, paper: str) -> None:
    """Write every output of a plan into a folder, replacing a former plan there.

    Raises
    ------
    FolderError
        If the disk refuses; the former folder is then as it was.
    """
    with whole_folder(target) as aside:
        write_outputs(plan, aside, system, paper)


def write_outputs(plan: Plan, folder: Path, system: System, paper: str) -> None:
    """Write every output of a plan into a folder that is there and empty."""
    for name, write in drawn_outputs(plan).items():
        write(folder / name, system, paper)
    write_plan_file(plan, folder)


def drawn_outputs(plan: Plan) -> dict[str, Writer]:
    """What writes each file that is drawn of a plan, by its name; it may raise OSError."""
    from plans.drawing.picture import LayPicture
    from plans.outputs.leftover_pdf import write_leftover_pdf
    from plans.outputs.pdf import write_pdf
    from plans.outputs.report.page import write_html

    found: dict[str, Writer] = {}
    for entry, stem in zip(plan.fabrics, file_stems(plan.fabrics), strict=True):
        found[f"{stem}.pdf"] = partial(write_pdf, plan, entry)
        picture = LayPicture(entry)
        found[f"{stem}.svg"] = _on_no_paper(picture.write_svg)
        found[f"{stem}.png"] = _on_no_paper(picture.write_png)
    if plan.on_leftovers:
        found["leftovers.pdf"] = partial(write_leftover_pdf, plan)
    found["report.html"] = _on_no_paper(partial(write_html, plan))
    return found


def _on_no_paper(write: Callable[[Path, System], None]) -> Writer:
    """What is the same on any paper."""
    return lambda path, system, paper: write(path, system)


def write_plan_file(plan: Plan, folder: Path) -> None:
    """Write a plan as JSON into a folder, from which all else can be written again."""
    text = json.dumps(plan_to_json(plan), indent=1) + "\n"
    (folder / PLAN_FILE).write_text(text, encoding="utf-8")


@contextmanager
def whole_folder(target: Path) -> Iterator[Path]:
    """Give an empty folder that takes a plan's place at the end, complete; what is left is removed.

    Raises
    ------
    FolderError
        If the disk refuses; a former folder is then as it was.
    """
    check_target(target)
    aside: Path | None = None
    try:
        parent = target.absolute().parent
        clear_leavings(parent)
        aside = Path(tempfile.mkdtemp(dir=parent, prefix=ASIDE, suffix=ASIDE_END))
        with held(aside):
            yield aside
            _keep_records(target, aside)
            aside.chmod(0o755)
            _swap(aside, target)
    except OSError as error:
        raise FolderError(f"{target}: cannot be written: {system_words(error)}") from error
    finally:
        if aside is not None and aside.exists():
            shutil.rmtree(aside, ignore_errors=True)


def write_text(path: Path, text: str) -> None:
    """Write a text file whole; see `write_bytes`.

    Raises
    ------
    FolderError
        If the disk refuses.
    """
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, content: bytes) -> None:
    """Write a file whole: it is there complete, or the former one is as it was.

    Raises
    ------
    FolderError
        If the disk refuses.
    """
    with whole_file(path, content) as aside:
        os.replace(aside, path)


@contextmanager
def whole_file(path: Path, content: bytes) -> Iterator[str]:
    """Give a complete file beside `path`, to be put in its place; what is left of it is removed.

    Raises
    ------
    FolderError
        If the disk refuses, also while it is put in its place.
    """
    try:
        with written_aside(path, content) as aside:
            yield aside
    except FileExistsError:
        raise
    except OSError as error:
        raise FolderError(f"{path}: cannot be written: {system_words(error)}") from error


def cut_sheet(plan: Path, number: int) -> Path:
    """Where the leftovers of a cut are drawn: in the folder of its plan (or of its JSON)."""
    return (plan if plan.is_dir() else plan.parent) / f"{CUT_SHEETS}{number}.pdf"


def _keep_records(old: Path, new: Path) -> None:
    """Copy what a former plan's folder holds that no plan can write again."""
    for sheet in old.glob(f"{CUT_SHEETS}*"):
        shutil.copy2(sheet, new / sheet.name)


def _swap(aside: Path, target: Path) -> None:
    """Put the new folder in place; an old one is moved out of the way first and back on failure."""
    try:
        # In one step where there is none yet, or an empty one that was made to keep the name.
        os.rename(aside, target)
        return
    except OSError:
        if not target.exists():
            raise
    old = Path(tempfile.mkdtemp(dir=target.absolute().parent, prefix=ASIDE, suffix=ASIDE_END))
    try:
        with held(old):
            # By its name: what clears leavings away sees by it whether the new took its place.
            os.rename(target, old / target.name)
            os.rename(aside, target)
    except BaseException:
        # An interrupt, too: it may come before either is moved, between, or after both.
        if not target.exists():
            os.rename(old / target.name, target)
        raise
    finally:
        shutil.rmtree(old, ignore_errors=True)


def file_stems(fabrics: tuple[FabricPlan, ...]) -> list[str]:
    """File names (without ending) for the fabrics of a plan; each once."""
    stems: list[str] = []
    for entry in fabrics:
        stem = name = file_stem(entry.fabric.name)
        number = 1
        while stem in stems:
            number += 1
            stem = numbered(name, number)
        stems.append(stem)
    return stems


def file_stem(name: str) -> str:
    """A fabric's name as part of a file name; what stands for other signs never ends it.

    A longer one is cut to what a name of a file may hold.
    """
    name = cut_to_length(name)
    plain = name.replace("%", "")
    stem = "".join(c if c.isalnum() or c in "-_." else "-" for c in plain)
    return (stem if stem == name else stem.rstrip("-")) or "fabric"


def read_plan(path: Path) -> Plan:
    """Read a plan from its JSON file or its folder.

    Raises
    ------
    PlanFileError
        If it cannot be read or is no plan.
    """
    file = path / PLAN_FILE if path.is_dir() else path
    try:
        data = read_json(file, "a plan")
    except InputError as error:
        raise PlanFileError(str(error)) from error
    return plan_from_json(data, str(file))
