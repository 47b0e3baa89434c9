"""Folders of the user: the platform's, whatever the environment says of them."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from pieces.files import user_folders
from pieces.files.user_folders import passing_folder, user_cache_folder, user_data_folder
from pieces.findings import InputError

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="folders of the XDG specification")


@pytest.fixture(autouse=True)
def _home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    for name in ("XDG_DATA_HOME", "XDG_CACHE_HOME", "LAYWRIGHT_CACHE"):
        monkeypatch.delenv(name, raising=False)


@pytest.mark.parametrize("said", [None, "", "  ", "relative/folder"])
def test_what_names_no_folder_counts_as_not_set(
    said: str | None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """An empty variable made folders in the one that one happened to work in."""
    if said is not None:
        monkeypatch.setenv("XDG_DATA_HOME", said)
        monkeypatch.setenv("XDG_CACHE_HOME", said)
    assert user_data_folder() == tmp_path / ".local/share/laywright"
    assert user_cache_folder() == tmp_path / ".cache/laywright"


def test_the_variables_of_the_standard_are_heard(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """As before: a folder of that name inside."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "d"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "c"))
    assert user_data_folder() == tmp_path / "d" / "laywright"
    assert user_cache_folder() == tmp_path / "c" / "laywright"


def test_our_own_variable_names_the_cache_itself(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """It goes before the standard's; an empty one is none."""
    monkeypatch.setenv("LAYWRIGHT_CACHE", str(tmp_path / "mine"))
    assert user_cache_folder() == tmp_path / "mine"
    monkeypatch.setenv("LAYWRIGHT_CACHE", "")
    assert user_cache_folder() == tmp_path / ".cache/laywright"


@pytest.mark.parametrize("said", ["~/kept", "kept"])
def test_data_stay_where_they_are_found(
    said: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A path that the standard ignores was taken at its word once: what lies there is kept to."""
    monkeypatch.setenv("XDG_DATA_HOME", said)
    assert user_data_folder() == tmp_path / ".local/share/laywright"
    former = tmp_path / "kept" / "laywright"
    former.mkdir(parents=True)
    assert user_data_folder().resolve() == former


def test_without_a_home_caches_are_passing_and_data_are_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Somebody whom the system does not know: no folder called ~ appears."""

    class Homeless:
        @property
        def user_data_dir(self) -> str:
            raise RuntimeError

        user_cache_dir = user_data_dir

    monkeypatch.setattr(user_folders, "_platform", Homeless)
    assert user_cache_folder() == passing_folder()
    with pytest.raises(InputError, match="set HOME"):
        user_data_folder()
