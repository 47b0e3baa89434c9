"""`laywright trace`, from photographs to a garment file that only lacks what no picture tells."""

from __future__ import annotations

import importlib.util
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from click.testing import CliRunner, Result

from pieces.readers.garment_toml import check_garment, load_garment
from pieces.tracing.marks import BITS, CELLS
from pieces.tracing.picture.photo import Photo
from pieces.tracing.result.tracing import trace_photo
from plans.cli.paper.trace import command
from plans.traced import running
from plans.traced.overlay import FOLD, GRAIN
from tests.pieces.tracing.bad_scenes import bad
from tests.pieces.tracing.beside import foot, tape_measure
from tests.pieces.tracing.rendering import jpeg
from tests.pieces.tracing.scenes import good
from tests.pieces.tracing.test_arrows import with_arrow


def run(*words: object) -> Result:
    return CliRunner().invoke(command, [str(word) for word in words])


@pytest.fixture(scope="module", autouse=True)
def traced_once() -> Iterator[None]:
    """The same picture, asked about in the same way, is traced once: what comes of it is tested."""
    found: dict[tuple[object, ...], Any] = {}

    def once(photo: Photo, *asked: Any) -> Any:
        key = (photo.source, photo.pixels.tobytes(), *asked)
        if key not in found:
            found[key] = trace_photo(photo, *asked)
        return found[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(running, "trace_photo", once)
        yield


@pytest.fixture(scope="module")
def photo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("photos") / "floor.jpg"
    path.write_bytes(jpeg(good(103).scene))
    return path


def test_a_photograph_becomes_a_garment_file(photo: Path, tmp_path: Path) -> None:
    out = tmp_path / "skirt.toml"
    result = run(photo, "--out", out, "--names", "a, b, c")
    assert result.exit_code == 0, result.output
    assert "4 sheets of A4" in result.output
    assert [piece["name"] for piece in tomllib.loads(out.read_text())["piece"]] == ["a", "b", "c"]
    findings = check_garment(out)
    assert {finding.field for finding in findings if finding.fatal} == {"cut", "drawn", "grain"}
    assert (tmp_path / "skirt-found.png").read_bytes()[:4] == b"\x89PNG"


def test_a_filled_in_file_is_a_garment(photo: Path, tmp_path: Path) -> None:
    out = tmp_path / "skirt.toml"
    assert run(photo, "--out", out).exit_code == 0
    text = out.read_text()
    for line, told in (
        ('# cut = { main = "" }', 'cut = { main = "1" }'),
        ('# drawn = ""', 'drawn = "with allowance"'),
        ('# grain = ""', 'grain = "up"'),
    ):
        text = text.replace(line, told)
    out.write_text(text)
    assert len(load_garment(out).pieces) == 3


def test_a_fold_is_laid_upright_or_level(photo: Path, tmp_path: Path) -> None:
    out = tmp_path / "skirt.toml"
    result = run(photo, "--out", out, "--fold", "piece 1=edge 1", "--fold", "piece 2=edge 1")
    assert result.exit_code == 0, result.output
    for piece in tomllib.loads(out.read_text())["piece"][:2]:
        ends = [piece["start"]] + [e.get("to", e.get("smooth", [[0]])[-1]) for e in piece["edges"]]
        (x1, y1), (x2, y2) = ends[0], ends[1]
        assert x1 == x2 or y1 == y2
        assert piece["fold"] == "edge 1"


def test_what_nothing_in_the_picture_tells_is_said(photo: Path, tmp_path: Path) -> None:
    out = tmp_path / "skirt.toml"
    told = "nothing in it tells A5 or A3 from A4"
    assert told in run(photo, "--out", out).output
    assert told in out.read_text()


def test_the_picture_shows_grain_and_fold(tmp_path: Path) -> None:
    photo = tmp_path / "floor.jpg"
    photo.write_bytes(jpeg(with_arrow()[0]))
    seen = []
    for options in ((), ("--fold", "piece 2=edge 1", "--replace")):
        result = run(photo, "--out", tmp_path / "skirt.toml", *options)
        assert result.exit_code == 0, result.output
        picture = cv2.imread(str(tmp_path / "skirt-found.png"))
        assert picture is not None
        seen.append(picture)
    assert [shown(picture, GRAIN) for picture in seen] == [True, True]
    assert [shown(picture, FOLD) for picture in seen] == [False, True]


def shown(picture: np.ndarray, colour: str) -> bool:
    """Whether a colour is drawn over as much as a line of a centimetre takes."""
    blue_first = [int(colour[k : k + 2], 16) for k in (5, 3, 1)]
    return int((np.abs(picture - np.array(blue_first)).max(axis=2) <= 2).sum()) > 40


def test_a_piece_in_two_photographs_gives_the_mean(photo: Path, tmp_path: Path) -> None:
    other = tmp_path / "again.jpg"
    scene = good(103).scene
    scene.camera = type(scene.camera)(**{**scene.camera.__dict__, "roll": 3.0, "tilt": 5.0})
    scene.seed = 9
    other.write_bytes(jpeg(scene))
    out = tmp_path / "skirt.toml"
    asked = run(photo, other, "--out", out)
    assert asked.output.count("question: pieces") == 3
    result = run(photo, other, "--out", out, "--names", "a,b,c,a,b,c", "--replace")
    assert result.exit_code == 0, result.output
    assert "met again" in result.output
    assert len(tomllib.loads(out.read_text())["piece"]) == 3
    assert (tmp_path / "skirt-found-2.png").exists()


def test_other_pieces_of_one_name_are_refused(photo: Path, tmp_path: Path) -> None:
    result = run(photo, "--out", tmp_path / "skirt.toml", "--names", "a,a,b")
    assert type(result.exception).__name__ == "UntraceableError"
    assert "are they the same piece" in str(result.exception)


def test_a_refusal_leaves_a_picture_with_marks(tmp_path: Path) -> None:
    photo = tmp_path / "floor.jpg"
    photo.write_bytes(jpeg(bad(0, "touching").known.scene))
    result = run(photo, "--out", tmp_path / "skirt.toml")
    assert type(result.exception).__name__ == "UntraceableError"
    assert (tmp_path / "skirt-found.png").exists()
    assert not (tmp_path / "skirt.toml").exists()


def test_what_is_no_piece_is_asked_about_and_left_out(tmp_path: Path) -> None:
    scene = good(103).scene
    scene.papers.append(foot((-60.0, 0.0), 0.1))
    scene.papers = [*scene.papers[:4], *scene.papers[-1:]]
    photo, out = tmp_path / "floor.jpg", tmp_path / "skirt.toml"
    scene.papers.append(tape_measure((0.0, 300.0), 0.0, 300.0))
    photo.write_bytes(jpeg(scene))
    asked = run(photo, "--out", out).output
    assert asked.count("is of a colour that no other paper has") == 2
    assert run(photo, "--out", out, "--names", "front,-", "--replace").exit_code == 0
    assert [piece["name"] for piece in tomllib.loads(out.read_text())["piece"]] == ["front"]
    none = run(photo, "--out", out, "--names", "-,-", "--replace")
    assert "leaves out every piece" in str(none.exception)


def test_too_few_names_are_told(photo: Path, tmp_path: Path) -> None:
    result = run(photo, "--out", tmp_path / "skirt.toml", "--names", "a")
    assert "1 name for 3 pieces" in str(result.exception)


def test_nothing_is_written_over(photo: Path, tmp_path: Path) -> None:
    out = tmp_path / "skirt.toml"
    out.write_text("mine")
    assert "is there already" in str(run(photo, "--out", out).exception)
    assert out.read_text() == "mine"


def test_without_opencv_it_says_how_to_get_it(
    photo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = importlib.util.find_spec
    monkeypatch.setattr(
        importlib.util, "find_spec", lambda name: None if name == "cv2" else found(name)
    )
    result = run(photo, "--out", tmp_path / "skirt.toml")
    assert result.exit_code == 2
    assert "pip install 'laywright[trace]'" in result.output


def test_the_marks_are_those_of_the_dictionary() -> None:
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    for number, bits in enumerate(BITS):
        seen = dictionary.generateImageMarker(number, 60)[5::10, 5::10][1:-1, 1:-1]
        told = [bits >> (15 - k) & 1 for k in range(CELLS * CELLS)]
        assert np.array_equal(seen.ravel() > 0, np.array(told) > 0)
