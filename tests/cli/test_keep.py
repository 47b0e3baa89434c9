"""The user's own shelf: kept under a name, found before the demo one, never lost unasked."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click
import pytest

from fabrics.shelf import find_fabric
from pieces.readers.shelf import SHELF, find_garment
from plans.cli.main import _code

Run = Callable[..., tuple[int, str, str]]

SKIRT = (SHELF / "wrap-skirt.toml").read_text(encoding="utf-8")
LINEN = 'title = "My linen"\nwidth = "1.5 m"\nselvage = "1 cm"\n'


@pytest.fixture(name="run")
def _run(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> Run:
    monkeypatch.setenv("LAYWRIGHT_SHELF", str(tmp_path / "shelf"))

    def run(*arguments: str | Path) -> tuple[int, str, str]:
        code = _code([str(argument) for argument in arguments])
        told = capsys.readouterr()
        return code, click.unstyle(told.out), click.unstyle(told.err)

    return run


def written(folder: Path, name: str, text: str) -> Path:
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return file


def shelf_of(listed: str, name: str) -> str:
    """What a list says of the shelf that a name is on."""
    (line,) = [line for line in listed.splitlines() if line.startswith(f"{name} ")]
    return line.split()[1]


def test_a_name_that_is_too_long_is_refused_with_how_long_it_may_be(
    run: Run, tmp_path: Path
) -> None:
    """As it was said, or as the file is called; nothing is kept."""
    code, _, told = run("keep", written(tmp_path, "skirt.toml", SKIRT), "--as", "n" * 230)
    assert code == 2
    assert "skirt.toml, --as: the name 'nnnn" in told
    assert "is too long: 230 letters, at most 200" in told
    code, _, told = run("keep", written(tmp_path, f"{'m' * 230}.toml", SKIRT))
    assert code == 2
    assert "is too long: 230 letters, at most 200 (say --as NAME)" in told
    assert not (tmp_path / "shelf").exists()


def test_what_is_kept_is_found_by_name_and_listed(run: Run, tmp_path: Path) -> None:
    assert run("keep", written(tmp_path, "my-skirt.toml", SKIRT))[0] == 0
    assert run("keep", written(tmp_path, "linen.toml", LINEN))[0] == 0
    assert find_garment("my-skirt").read_text(encoding="utf-8") == SKIRT
    assert find_fabric("linen").width == 1500.0
    _, garments, _ = run("pieces")
    assert "my-skirt" in garments
    listed = {
        line.split()[0]: line.split()[1] for line in garments.splitlines()[1:] if line[0] != " "
    }
    assert listed["my-skirt"] == "yours"
    assert listed["wrap-skirt"] == "demo"
    _, fabrics, _ = run("fabrics")
    assert [line.split()[1] for line in fabrics.splitlines() if line.startswith("linen")] == [
        "yours"
    ]
    assert run("check", "my-skirt")[0] == 0
    assert run("check", "linen")[0] == 0
    assert run("fabrics", "linen")[0] == 0


def test_nothing_is_written_over_unasked(run: Run, tmp_path: Path) -> None:
    file = written(tmp_path, "my-skirt.toml", SKIRT)
    assert run("keep", file)[0] == 0
    file.write_text(SKIRT + "# changed\n", encoding="utf-8")
    code, _, errors = run("keep", file)
    assert code == 2
    assert "is on your shelf already" in errors
    assert find_garment("my-skirt").read_text(encoding="utf-8") == SKIRT
    assert run("keep", file, "--replace")[0] == 0
    assert find_garment("my-skirt").read_text(encoding="utf-8").endswith("# changed\n")
    assert sorted(path.name for path in (tmp_path / "shelf/garments").iterdir()) == [
        "my-skirt.toml"
    ]


def test_a_file_at_fault_is_not_kept(run: Run, tmp_path: Path) -> None:
    code, _, errors = run("keep", written(tmp_path, "bad.toml", 'title = "x"\n[[piece]]\n'))
    assert code == 2
    assert "name" in errors
    assert not (tmp_path / "shelf").exists()


def test_one_of_a_demo_name_hides_the_demo_and_says_so(run: Run, tmp_path: Path) -> None:
    text = SKIRT.replace('title = "', 'title = "Mine: ', 1)
    code, told, _ = run("keep", written(tmp_path, "mine.toml", text), "--as", "wrap-skirt")
    assert code == 0
    assert "The demo of that name is hidden by yours" in told
    assert "Mine: " in run("pieces")[1]
    assert find_garment("wrap-skirt").parent == tmp_path / "shelf" / "garments"


@pytest.mark.parametrize("name", ["140cm", "../up", "a b", "stash:x"])
def test_a_name_that_would_be_read_as_something_else_is_refused(
    run: Run, tmp_path: Path, name: str
) -> None:
    code, _, errors = run("keep", written(tmp_path, "linen.toml", LINEN), f"--as={name}")
    assert code == 2
    assert "cannot be a name on the shelf" in errors


def test_one_at_fault_on_the_shelf_does_not_stop_the_list(run: Run, tmp_path: Path) -> None:
    for kind in ("garments", "fabrics"):
        folder = tmp_path / "shelf" / kind
        folder.mkdir(parents=True)
        written(folder, "broken.toml", 'title = "x"\n')
    for command in ("pieces", "fabrics"):
        code, told, _ = run(command)
        assert code == 0
        assert "at fault; see laywright check broken" in told


def test_a_drawing_is_read_before_it_is_kept(run: Run, tmp_path: Path) -> None:
    code, _, errors = run("keep", written(tmp_path, "bag.svg", "<svg/>"))
    assert code == 2
    assert "laywright read" in errors
