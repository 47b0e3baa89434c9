"""`plan` where there is too little cloth: what it says, writes, and how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from plans.cli.common.exit_codes import ExitCode
from plans.cli.main import _code
from plans.rescue import trial

SKIRT = """
units = "cm"
[[piece]]
name = "panel"
cut = "2"
drawn = "with allowance"
strip = { length = 60, width = 40 }
[[piece]]
name = "waistband"
cut = "1"
drawn = "with allowance"
strip = { length = 69, width = 8 }
"""
"""On cloth 98 cm wide, selvages and gaps included, all lie abreast: 69 cm; joined, 60 cm."""

CLOTH = ("--cloth", "main=99cm", "--gap", "0mm", "--ends", "0cm", "--effort", "quick")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder and a stash of its own, and no longer search than is needed."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("LAYWRIGHT_STASH", str(tmp_path / "stash.sqlite"))
    monkeypatch.setattr(trial, "MOST_COPIES", 0)
    (tmp_path / "skirt.toml").write_text(SKIRT, encoding="utf-8")
    return tmp_path


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    code = _code(list(arguments))
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_a_short_cloth_is_answered_with_ideas_and_a_picture(
    capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    """Exit code 3; on standard error what would help; in the folder picture and data."""
    code, out, err = run(capsys, "plan", "skirt.toml", *CLOTH, "--on-hand", "main=62cm")
    assert (code, out) == (ExitCode.NO_LAYOUT, "")
    text = " ".join(err.split())
    assert "no layout fits: fabric '99cm' (main): 62 cm on hand (unwashed)" in text
    assert "'waistband' in two, joined with 1 cm of allowance: needs 60 cm, you have 62 cm" in text
    assert "(see skirt-plan/shortage-99cm.png); left out: 'waistband'" in text
    assert (folder / "skirt-plan/shortage-99cm.png").read_bytes()[:4] == b"\x89PNG"
    data = json.loads((folder / "skirt-plan/shortage.json").read_text(encoding="utf-8"))
    assert (data["format"], data["garment"]) == ("laywright-shortage", "skirt")
    assert sorted(path.name for path in (folder / "skirt-plan").iterdir()) == [
        "shortage-99cm.png",
        "shortage.json",
    ]


def test_json_is_printed_and_nothing_written(
    capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    """As with a plan: the folder only where --out names it."""
    code, out, _ = run(capsys, "plan", "skirt.toml", *CLOTH, "--on-hand", "main=62cm", "--json")
    assert code == ExitCode.NO_LAYOUT
    (fabric,) = json.loads(out)["fabrics"]
    assert fabric["missing_mm"] == 70.0
    assert fabric["fits"] == {
        "laid": {"panel": 2},
        "left_out": {"waistband": 1},
        "picture": None,
    }
    assert not (folder / "skirt-plan").exists()


def test_a_plan_that_is_there_stays_and_a_later_one_replaces_the_answer(
    capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    """The answer lies beside the former plan; a new plan takes the whole folder."""
    assert run(capsys, "plan", "skirt.toml", *CLOTH)[0] == ExitCode.DONE
    plan = (folder / "skirt-plan/plan.json").read_bytes()
    assert run(capsys, "plan", "skirt.toml", *CLOTH, "--on-hand", "main=62cm")[0] == 3
    assert (folder / "skirt-plan/plan.json").read_bytes() == plan
    assert (folder / "skirt-plan/shortage.json").exists()
    assert run(capsys, "plan", "skirt.toml", *CLOTH)[0] == ExitCode.DONE
    assert not (folder / "skirt-plan/shortage.json").exists()


def test_an_answer_alone_does_not_bar_its_folder(
    capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    """No plan is there, but nothing foreign either."""
    assert run(capsys, "plan", "skirt.toml", *CLOTH, "--on-hand", "main=62cm")[0] == 3
    assert run(capsys, "plan", "skirt.toml", *CLOTH, "--on-hand", "main=70cm")[0] == 0
    assert sorted(p.suffix for p in (folder / "skirt-plan").glob("shortage*")) == []


def test_a_bolt_of_the_stash_is_answered_alike(
    capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    """A bolt that is too short, of washed cloth."""
    (folder / "cloth.toml").write_text(
        'title = "Blue cloth"\nunits = "cm"\nwidth = 99\nselvage = 1\n',
        encoding="utf-8",
    )
    code, _, err = run(capsys, "stash", "bolt", "cloth.toml", "--length", "62cm", "--washed")
    assert code == 0, err
    code, _, err = run(
        capsys, "plan", "skirt.toml", "--cloth", "main=stash:B1", *CLOTH[2:], "--out", "short"
    )
    assert code == ExitCode.NO_LAYOUT
    assert "62 cm on hand (washed)" in " ".join(err.split())
    assert "'waistband' in two" in err
    assert list((folder / "short").glob("shortage-*.png"))


def test_stopping_it_ends_with_the_code_of_an_interrupt(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was tried is told, and that it was stopped."""

    def stopped(*arguments: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("plans.rescue.rescue.lay_what_fits", stopped)
    code, _, err = run(capsys, "plan", "skirt.toml", *CLOTH, "--on-hand", "main=62cm")
    assert code == ExitCode.INTERRUPTED
    assert "stopped by you" in " ".join(err.split())
