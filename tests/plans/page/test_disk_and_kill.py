"""A full disk, a kill in the middle, two programs at once: nothing is lost, and all is told."""

from __future__ import annotations

import os
import re
import resource
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from fabrics.stash.store import Stash
from pieces.lengths import System
from plans.outputs.folder import FolderError, read_plan, write_plan_file
from plans.page.planning.listing import kept_plans
from plans.page.planning.tasks.laying import Place, kept
from plans.page.planning.tasks.telling import Telling
from plans.whole_files import ASIDE
from tests.cli.programs import ROOT, started
from tests.page import Client, asked, at_home, client
from tests.plans.demo import demo_plan
from tests.plans.page.test_cutting import bolt, seen, stash
from tests.plans.page.test_drafting import Tab, mine

__all__ = ["client", "mine"]


@contextmanager
def no_room(most: int = 100) -> Iterator[None]:
    """No file grows larger than so many bytes, as on a disk that is full."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


def files(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, and what it holds."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def changed(tab: Tab) -> dict[str, Any]:
    """What a tab sends once its title was typed anew."""
    tab.data["title"] = "Another blouse"
    return tab.body()


CHANGES: dict[str, Callable[[Client, Tab], Any]] = {
    "draft": lambda client, tab: client.send(f"{tab.at}/keep", **changed(tab)),
    "shelf": lambda client, tab: client.send(f"{tab.at}/put", **changed(tab)),
    "copy": lambda client, tab: client.send("/garments/mine/copy", to="two"),
    "name": lambda client, tab: client.send("/garments/mine/rename", to="two"),
    "photograph": lambda client, tab: client.hand_in(
        "/new/garment/files/photograph/a.jpg", b"x" * 9000
    ),
    "drawing": lambda client, tab: client.hand_in("/new/garment/files/a.svg", b"<svg>" * 900),
    "bolt": lambda client, tab: client.send(
        "/cloth/bolt", fabric="demo-linen", length="3 m", washed="washed"
    ),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_full_disk_is_told_and_changes_nothing(
    client: Client, mine: Path, tmp_path: Path, change: str
) -> None:
    """Once there is room, the same works."""
    bolt(tmp_path)
    tab = Tab(client, "a")
    tab.keep()
    before = files(tmp_path)
    with no_room():
        answer = CHANGES[change](client, tab)
    assert answer.status_code == 422
    assert str(tmp_path) in answer.json()["lines"][0]
    assert "try again" in answer.json()["lines"][0]
    assert files(tmp_path) == before
    assert CHANGES[change](client, tab).status_code == 200


def test_a_plan_on_a_full_disk_is_told_and_leaves_nothing(tmp_path: Path) -> None:
    """Neither half a folder nor one that keeps its name; PDFs do not hide what is wrong."""
    plan = demo_plan("wrap-skirt", "open")
    place = Place(tmp_path / "plans", tmp_path / "stash.db", "a4")
    for most in (0, 100, 20_000):
        with no_room(most), pytest.raises(FolderError, match="skirt-plan: cannot be written: "):
            kept(Telling(lambda said: None), plan, "skirt-plan", System.METRIC, place)
        assert list(place.plans.iterdir()) == []


KILLED = """
import os, signal, sys
from contextlib import contextmanager
from pathlib import Path
from fabrics.stash.connection import Connection
from tests.page import asked
from tests.plans.page.test_disk_and_kill import CHANGES
from tests.plans.page.test_drafting import Tab

def killed(*_, **__):
    os.kill(os.getpid(), signal.SIGKILL)

inner = Connection._change

@contextmanager
def killed_inside(self):
    with inner(self):
        yield
        killed()

with asked(Path(sys.argv[1])) as client:
    tab = Tab(client, "b")
    Connection._change = killed_inside
    os.replace = os.link = killed
    CHANGES[sys.argv[2]](client, tab)
"""
"""Kills itself where a file is to take its place, or a change of the stash is to be committed."""


@pytest.mark.parametrize("change", ["draft", "shelf", "photograph", "bolt"])
def test_a_kill_in_the_middle_loses_nothing(
    client: Client, mine: Path, tmp_path: Path, change: str
) -> None:
    """What was there is there, whole; begun anew, the same works."""
    tag = bolt(tmp_path)
    tab = Tab(client, "a")
    tab.keep()
    before = {path: text for path, text in files(tmp_path).items() if path != "stash.db"}
    ended = subprocess.run(
        [sys.executable, "-c", KILLED, str(tmp_path / "plans"), change],
        env={**os.environ, **at_home(tmp_path), "PYTHONPATH": str(ROOT)},
        check=False,
    )
    assert ended.returncode == -signal.SIGKILL
    after = files(tmp_path)
    assert {path: after[path] for path in before} == before
    others = [Path(path).name for path in after if path not in before and "stash.db" not in path]
    assert all(name.startswith(ASIDE) for name in others)
    assert stash(tmp_path) == ([(tag, 4000.0)], [], 0)
    with asked(tmp_path / "plans") as anew:
        assert "mine" in anew.get("/garments").text
        assert CHANGES[change](anew, Tab(anew, "c")).status_code == 200


KILLED_PLAN = """
import os, signal, sys
from pathlib import Path
from pieces.lengths import System
from plans.outputs.folder import read_plan
from plans.page.planning.tasks.laying import Place, kept
from plans.page.planning.tasks.telling import Telling

def killed(*_):
    os.kill(os.getpid(), signal.SIGKILL)

folder = Path(sys.argv[1])
os.rename = killed
place = Place(folder / "plans", folder / "stash.db", "a4")
kept(Telling(lambda said: None), read_plan(folder), "skirt-plan", System.METRIC, place)
"""


def test_a_kill_while_a_plan_is_written_leaves_no_half_plan(tmp_path: Path) -> None:
    """It is no plan yet; the next one is whole, and those that were there stay."""
    plan = demo_plan("wrap-skirt", "open")
    write_plan_file(plan, tmp_path)
    place = Place(tmp_path / "plans", tmp_path / "stash.db", "a4")
    kept(Telling(lambda said: None), plan, "skirt-plan", System.METRIC, place)
    before = files(place.plans)
    ended = subprocess.run(
        [sys.executable, "-c", KILLED_PLAN, str(tmp_path)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=False,
    )
    assert ended.returncode == -signal.SIGKILL
    assert [one.name for one in kept_plans(place.plans)] == ["skirt-plan"]
    assert {path: files(place.plans)[path] for path in before} == before
    told = kept(Telling(lambda said: None), plan, "skirt-plan", System.METRIC, place)
    assert [one.finding for one in kept_plans(place.plans)] == ["", ""]
    assert read_plan(place.plans / told["name"]).fabrics


def test_the_page_and_the_command_line_record_in_one_stash_at_once(
    client: Client, tmp_path: Path
) -> None:
    """Each cut is recorded whole or refused; no length is taken twice or forgotten."""
    plan = demo_plan("toy-hare")
    (tmp_path / "plans" / "hare").mkdir()
    write_plan_file(plan, tmp_path / "plans" / "hare")
    tag = bolt(tmp_path, 1300.0)
    options = ("--from", f"plush={tag}", "--again", "--no-leftovers")
    known = seen(client)

    def on_the_page(_: int) -> Any:
        fields = {"seen": known, "keep": True, "again": True, "bolt-0": tag}
        return client.send("/plans/hare/cut", **fields)

    with (
        started(tmp_path, "cut", "plans/hare", *options, variables=at_home(tmp_path)) as one,
        started(tmp_path, "cut", "plans/hare", *options, variables=at_home(tmp_path)) as other,
        ThreadPoolExecutor(2) as threads,
    ):
        answers = list(threads.map(on_the_page, range(2)))
        spoken = [process.communicate()[1] for process in (one, other)]
        codes = [process.returncode for process in (one, other)]
    well = codes.count(0) + sum(answer.status_code == 200 for answer in answers)
    refused = [answer.text for answer in answers if answer.status_code == 422]
    refused += [said for said, code in zip(spoken, codes, strict=True) if code == 2]
    assert (well, len(refused)) == (3, 1)
    assert re.search(r"it has 10(\.0)? cm \(unwashed\)", refused[0])
    bolts, left, cuts = stash(tmp_path)
    assert (bolts, cuts) == ([(tag, 100.0)], 3)
    assert len(set(left)) == len(left)
    with Stash(tmp_path / "stash.db") as base:
        base.undo_cut(1)
        assert base.bolt(tag).length == 500.0
