"""DXF files that are broken or meant to do harm: a clear error, little time, little memory.

Limits are those of a machine that is busy with other things, far above what is needed.
"""

from __future__ import annotations

import resource
import subprocess
import sys
from pathlib import Path

import pytest

from pieces.drawings.dxf.reader import read_dxf
from pieces.findings import InputError
from tests.pieces.drawings.dxf.documents import (
    SQUARE,
    block,
    document,
    insert,
    line,
    piece,
    polyline,
    saved,
    tags,
    text,
)  # fmt: skip

METRIC = text("Units: METRIC")
SECONDS, MEGABYTES = 30, 1000

SCRIPT = """
import sys
from pathlib import Path
from pieces.drawings.dxf.reader import read_dxf
from pieces.findings import InputError
try:
    drawing = read_dxf(Path(sys.argv[1]))
    print(*drawing.findings, sep="\\n")
except InputError as error:
    print(error)
"""


def answer(folder: Path, content: str) -> str:
    """What a process of its own says of a file, within limits of time and memory."""

    def limits() -> None:
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
        resource.setrlimit(resource.RLIMIT_AS, (MEGABYTES << 20, MEGABYTES << 20))

    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, str(saved(folder, content))],
        capture_output=True, text=True, preexec_fn=limits, check=False,
        cwd=Path(__file__).parents[4],
        env={"OPENBLAS_NUM_THREADS": "1", "PATH": "/usr/bin:/bin"},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout


def bomb(levels: int, wide: int, core: str | None = None) -> str:
    blocks = [block("B0", polyline(SQUARE, "cut") if core is None else core)]
    for level in range(1, levels):
        blocks.append(block(f"B{level}", *[insert(f"B{level - 1}")] * wide))
    return document(blocks, [insert(f"B{levels - 1}"), METRIC])


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (bomb(10, 10), "150,000 points; that is no drawing"),
        (bomb(10, 10, text("here")), "draws its blocks so often"),
        (bomb(40, 1), "blocks in one another"),
        (document([block("A", insert("A"))], [insert("A"), METRIC]), "contain themselves"),
        (
            document([block("A", insert("B")), block("B", insert("A"))], [insert("A"), METRIC]),
            "contain themselves",
        ),
        (document([], [polyline([(i, 1) for i in range(1_000_000)])]), "too large to be a drawing"),
        (document([], [polyline([(1, 1)] * 100_000)]), "entities; that is no drawing"),
        (
            document([], ["  0\nLWPOLYLINE\n  8\n1\n" + "10\n1\n20\n1\n" * 200_000]),
            "points; that is no drawing",
        ),
        (document([], [insert("A", (70, 30000), (71, 30000)), METRIC]), "no closed outline"),
    ],
    ids=[
        "fan-out", "fan-out of texts", "depth", "cycle", "longer cycle", "million", "entities",
        "points", "rows",
    ],
)  # fmt: skip
def test_what_would_fill_time_or_memory_is_refused(
    content: str, words: str, tmp_path: Path
) -> None:
    """A process with limits answers."""
    assert words in answer(tmp_path, content)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (document([piece("A").replace(" 20\n500", " 20\nnan", 1)], [METRIC]), "endless"),
        (document([piece("A").replace(" 20\n500", " 20\ninf", 1)], [METRIC]), "endless"),
        (document([piece("A").replace(" 20\n500", " 20\n1e300", 1)], [METRIC]), "100 m"),
        (document([piece("A")], [insert("A", (41, "1e308")), METRIC]), "endless"),
        (document([piece("A")], [insert("A", (41, "nan")), METRIC]), "endless"),
        (
            document([], [tags((0, "CIRCLE"), (8, "1"), (10, 0), (20, 0), (40, "1e12")), METRIC]),
            "100 m",
        ),
        (document([piece("A")], [METRIC])[:-60], "ends in the middle"),
        (document([piece("A")], [METRIC])[:200], "ends in the middle"),
        ("AutoCAD Binary DXF\r\n\x1a\x00", "is a binary DXF"),
        ("hello", "is no DXF"),
        ("", "is no DXF"),
    ],
    ids=["nan", "inf", "huge", "huge scale", "nan scale", "huge circle", "cut off", "cut short",
         "binary", "words", "nothing"],
)  # fmt: skip
def test_broken_files_are_told_for_what_they_are(content: str, words: str, tmp_path: Path) -> None:
    """Every message names the file."""
    with pytest.raises(InputError, match=words) as caught:
        read_dxf(saved(tmp_path, content))
    assert "pattern.dxf" in str(caught.value)


def test_a_file_cut_off_anywhere_is_an_error_and_never_fewer_pieces(tmp_path: Path) -> None:
    """Half a pattern that reads well would be the worst of all."""
    content = document([piece("A"), piece("B")], [METRIC])
    for end in range(50, len(content) - 20, 97):
        with pytest.raises(InputError):
            read_dxf(saved(tmp_path, content[:end]))


def test_blocks_from_other_files_are_not_fetched(tmp_path: Path) -> None:
    """They are told."""
    outer = (
        tags((0, "BLOCK"), (8, "0"), (2, "X"), (70, 4), (10, 0), (20, 0), (1, "/etc/other.dxf"))
        + tags((0, "ENDBLK"), (8, "0"))
    )  # fmt: skip
    drawing = read_dxf(saved(tmp_path, document([outer, piece()], [insert("X"), METRIC])))
    assert len(drawing.pieces) == 1
    assert any("'X', which lies in another file" in told for told in drawing.ignored)


def test_a_vertex_without_a_place_is_told_with_its_line(tmp_path: Path) -> None:
    """It is never taken to lie at the origin."""
    broken = document([piece("A").replace(" 10\n300\n 20\n500\n", "", 1)], [METRIC])
    with pytest.raises(InputError, match=r"POLYLINE .* on layer 1 .* is broken"):
        read_dxf(saved(tmp_path, broken))


def test_kinds_that_nobody_knows_are_left_out_and_told(tmp_path: Path) -> None:
    """They may have no layer."""
    strange = tags((0, "STRANGE"), (5, "77"), (1, "?"))
    drawing = read_dxf(saved(tmp_path, document([piece("A", strange)], [METRIC])))
    assert len(drawing.pieces) == 1
    assert any("STRANGE" in told for told in drawing.ignored)


def test_a_drawing_of_countless_loose_lines_is_refused(tmp_path: Path) -> None:
    """They would all have to be joined with one another."""
    strokes = [line((i * 10, 0), (i * 10 + 5, 9), "cut") for i in range(3001)]
    drawing = read_dxf(saved(tmp_path, document([], [*strokes, METRIC])))
    assert "more than 3,000 lines" in str(drawing.findings[0])
