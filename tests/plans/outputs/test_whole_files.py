"""Files that take their place whole: where the disk knows no links, and what a kill left aside."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from plans import whole_files
from plans.outputs.folder import whole_folder
from plans.outputs.keeping import put_file
from plans.page.asking import AskedError
from plans.page.taken_away import FOLDER, bring_back, take_away, taken_away
from plans.whole_files import LEFT_S, clear_leavings, write_whole

ROOT = Path(__file__).parents[3]
DAY_AND_MORE = LEFT_S + 3600.0


@pytest.fixture(params=[errno.EPERM, errno.ENOTSUP, errno.EINVAL])
def no_links(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk that knows no hard links, as exFAT does not."""

    def refuse(*_: object) -> None:
        raise OSError(request.param, os.strerror(request.param))

    monkeypatch.setattr(os, "link", refuse)


@pytest.mark.usefixtures("no_links")
def test_a_file_is_put_on_a_shelf_without_links(tmp_path: Path) -> None:
    """Whole, and never over another; nothing is left beside it."""
    target = tmp_path / "shelf" / "bag.toml"
    assert put_file(b"first", target, replace=False)
    assert not put_file(b"second", target, replace=False)
    assert target.read_bytes() == b"first"
    assert [path.name for path in target.parent.iterdir()] == ["bag.toml"]


@pytest.mark.usefixtures("no_links")
def test_what_was_taken_away_comes_back_without_links(tmp_path: Path) -> None:
    """Not over what has its name now."""
    path = tmp_path / "bag.toml"
    path.write_text("mine")
    aside = take_away(path)
    path.write_text("another")
    with pytest.raises(AskedError, match="take that one away first"):
        bring_back(tmp_path, aside, "garment")
    assert (path.read_text(), taken_away(tmp_path)) == ("another", ["bag"])
    path.unlink()
    assert bring_back(tmp_path, aside, "garment") == "bag"
    assert (path.read_text(), list((tmp_path / FOLDER).iterdir())) == ("mine", [])


@pytest.mark.usefixtures("no_links")
def test_a_place_that_could_not_be_filled_is_free_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No empty file keeps it, and what was to come there is where it was."""

    def refuse(*_: object) -> None:
        raise OSError(errno.EIO, "disk")

    path = tmp_path / "bag.toml"
    path.write_text("mine")
    aside = take_away(path)
    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", refuse)
        with pytest.raises(Exception, match="cannot be brought back"):
            bring_back(tmp_path, aside, "garment")
    assert not path.exists()
    assert taken_away(tmp_path) == ["bag"]


@pytest.fixture
def begun_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program that has written nothing yet."""
    monkeypatch.setattr(whole_files, "_cleared", set())


def left(path: Path, seconds: float) -> Path:
    """A file, or (if its name ends so) a folder with a file, last touched so long ago."""
    if path.suffix == ".folder":
        path = path.with_suffix("")
        path.mkdir()
        (path / "plan.json").write_text("{")
    else:
        path.write_text("half")
    for one in (*path.glob("*"), path):
        os.utime(one, times=(path.lstat().st_atime, os.stat(path).st_ctime - seconds))
    return path


@pytest.mark.usefixtures("begun_anew")
def test_old_leavings_of_a_kill_are_cleared_away(tmp_path: Path) -> None:
    """Files and folders aside; never what may still be written, nor what is not ours."""
    gone = [
        left(tmp_path / ".laywright-abcd_123.aside", DAY_AND_MORE),
        left(tmp_path / ".laywright-bbbb2222.aside.folder", DAY_AND_MORE),
    ]
    kept = [
        left(tmp_path / ".laywright-cccc3333.aside", 3600.0),
        left(tmp_path / ".laywright-dddd4444.aside.folder", 3600.0),
        left(tmp_path / ".laywright-notes", DAY_AND_MORE),
        left(tmp_path / ".laywright-settings", DAY_AND_MORE),
        left(tmp_path / ".laywright-patterns.folder", DAY_AND_MORE),
        left(tmp_path / "laywright-eeee5555", DAY_AND_MORE),
    ]
    busy = left(tmp_path / ".laywright-ffff6666.aside.folder", DAY_AND_MORE)
    (busy / "plan.json").write_text("{}")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    link = tmp_path / ".laywright-gggg7777.aside"
    link.symlink_to(elsewhere)
    os.utime(elsewhere, times=(0.0, 0.0))
    write_whole(tmp_path / "new.svg", b"whole")
    assert not [path for path in gone if path.exists()]
    assert all(path.exists() for path in (*kept, busy, link, elsewhere))


@pytest.mark.usefixtures("begun_anew")
def test_a_former_plan_that_nothing_replaced_is_never_cleared_away(tmp_path: Path) -> None:
    """Killed between moving it out of the way and putting the new one there."""
    for name, former in (
        (".laywright-aaaa1111.aside", "lost-plan"),
        (".laywright-bbbb2222.aside", "hare-plan"),
        (".laywright-cccc3333.aside", "top-plan"),
    ):
        (tmp_path / name / former).mkdir(parents=True)
        (tmp_path / name / former / "leftovers-cut-1.pdf").write_bytes(b"drawn")
        for path in (
            tmp_path / name / former / "leftovers-cut-1.pdf",
            tmp_path / name / former,
            tmp_path / name,
        ):
            os.utime(path, times=(0.0, 0.0))
    for name in ("hare-plan", "top-plan"):
        (tmp_path / name).mkdir()
    (tmp_path / "hare-plan" / "leftovers-cut-1.pdf").write_bytes(b"drawn")
    with whole_folder(tmp_path / "skirt-plan") as aside:
        (aside / "plan.json").write_text("{}")
    assert (tmp_path / ".laywright-aaaa1111.aside" / "lost-plan").exists()
    # The folder in its place has not what was drawn of a cut.
    assert (tmp_path / ".laywright-cccc3333.aside" / "top-plan").exists()
    assert not (tmp_path / ".laywright-bbbb2222.aside").exists()


WRITER = """
import sys, time
from pathlib import Path
from plans.outputs.folder import whole_folder
from plans.whole_files import written_aside
with whole_folder(Path(sys.argv[1]) / "plan"), written_aside(Path(sys.argv[1]) / "a", b"new"):
    print("written", flush=True)
    time.sleep(600)
"""


def aged(folder: Path) -> list[Path]:
    """What was set aside in a folder, as though it had not been touched for long."""
    found = sorted(folder.glob(".laywright-*.aside"))
    for path in found:
        os.utime(path, times=(0.0, 0.0))
    return found


@pytest.mark.skipif(os.name != "posix", reason="nothing is held elsewhere")
def test_a_writer_that_sleeps_for_days_keeps_what_it_set_aside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file and a folder, as long as it lives; killed, it left them behind."""
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(tmp_path)], cwd=ROOT, stdout=subprocess.PIPE, text=True
    ) as writer:
        try:
            assert writer.stdout is not None
            assert writer.stdout.readline() == "written\n"
            aside = aged(tmp_path)
            assert len(aside) == 2
            for left_s in (LEFT_S, 0.0):
                monkeypatch.setattr(whole_files, "_cleared", set())
                clear_leavings(tmp_path, left_s)
                assert aged(tmp_path) == aside
        finally:
            writer.kill()
    monkeypatch.setattr(whole_files, "_cleared", set())
    clear_leavings(tmp_path)
    assert not aged(tmp_path)


@pytest.mark.usefixtures("begun_anew")
def test_without_locks_only_the_age_decides(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Writing and clearing go on as they would."""

    def refuse(*_: object) -> None:
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr(whole_files, "_lock", refuse)
    old = left(tmp_path / ".laywright-abcd_123.aside", DAY_AND_MORE)
    young = left(tmp_path / ".laywright-cccc3333.aside", 3600.0)
    write_whole(tmp_path / "new.svg", b"whole")
    assert (tmp_path / "new.svg").read_bytes() == b"whole"
    assert (old.exists(), young.exists()) == (False, True)
