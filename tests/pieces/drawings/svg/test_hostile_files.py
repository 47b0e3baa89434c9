"""Files that would do harm or are broken: a clear error, little work, nothing fetched.

Each is read by a process of its own, whose memory and processor time are looked at: 200 MB at
most, and far less work than the limit of the system that would end it.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from pieces.drawings.loading import check_any
from tests.pieces.drawings.svg.documents import HEAD, document, sheet_of

MOST_MB = 200
MOST_SECONDS = 20
"""Of processor time; the aim is 2 s, and a slow or busy machine may take several times that."""

READ = f"""
import json, resource, socket, sys
from pathlib import Path
resource.setrlimit(resource.RLIMIT_CPU, ({MOST_SECONDS}, {MOST_SECONDS}))

def refused(*_args, **_more):
    print("FETCHED", file=sys.stderr)
    raise OSError("nothing is fetched")

socket.socket.connect = refused
socket.getaddrinfo = refused
from pieces.drawings.loading import check_any
told = [str(finding) for finding in check_any(Path(sys.argv[1])) if finding.fatal]
# The peak that getrusage knows is that of the parent, if that was higher.
status = Path("/proc/self/status")
words = status.read_text().split() if status.exists() else ["VmHWM:", "0"]
print(json.dumps([told, int(words[words.index("VmHWM:") + 1]) / 1024]))
"""

BOMB = "".join(f'<!ENTITY a{n + 1} "{f"&a{n};" * 10}">' for n in range(12))


def uses(levels: int, fan: int) -> str:
    """Groups that use the one below several times over."""
    body = '<defs><path id="u0" d="M0 0h9v9z"/>'
    for level in range(1, levels):
        inner = f'<use href="#u{level - 1}" x="1"/>' * fan
        body += f'<g id="u{level}">{inner}</g>'
    return document(f'{body}</defs><use href="#u{levels - 1}"/>')


HOSTILE: dict[str, tuple[Callable[[], str], str]] = {
    "entities": (
        lambda: f'<!DOCTYPE svg [<!ENTITY a0 "ha">{BOMB}]>{document("<text>&a12;</text>")}',
        "declares entities",
    ),
    "external entity": (
        lambda: (
            '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>'
            f"{document('<text>&x;</text>')}"
        ),
        "declares entities",
    ),
    "a million points": (
        lambda: document(f'<path d="M0 0{"L1 2" * 10**6}z"/>'),
        "more than 20,000 segments",
    ),
    "a million points of a polygon": (
        lambda: document(f'<polygon points="{"1 2 " * 10**6}"/>'),
        "more than 20,000 points",
    ),
    "many long paths": (
        lambda: document(f'<path d="M0 0{"L1 2 3 4" * 9_000}z"/>' * 60),
        "more than 60,000 segments together",
    ),
    "jagged": (
        lambda: document(
            f'<path d="M0 0{"".join(f"L{n % 300} {n % 7}" for n in range(19_000))}z"/>'
        ),
        "corners; no piece has so many",
    ),
    "fan-out of use": (lambda: uses(9, 30), "unfolds into more than 20,000 elements"),
    "a chain of uses": (lambda: uses(2000, 1), "go too deep"),
    "deep groups": (
        lambda: document(f"{'<g>' * 100_000}{'</g>' * 100_000}"),
        "more than 60 deep",
    ),
    "many elements": (lambda: document("<g/>" * 900_000), "more than 50,000 elements"),
    "many attributes": (
        lambda: document(f"<g {' '.join(f'a{n}=' + chr(34) * 2 for n in range(380_000))}/>"),
        "more than 500 attributes",
    ),
    "many outlines": (
        lambda: document("".join(f'<rect x="{n}" width="9" height="9"/>' for n in range(9_000))),
        "closed lines; more than 500",
    ),
    "many rules": (
        lambda: document(
            f"<style>{''.join(f'.a{n},.b{{display:inline}}' for n in range(90_000))}</style>"
            + "".join(f'<g class="b a{n}"/>' for n in range(19_000))
        ),
        "shows no closed outline",
    ),
    "many open lines": (
        lambda: document(("<g>" + "<path d='M0 0h9'/>" * 400 + "</g>") * 45),
        "shows no closed outline",
    ),
    "rings in rings, and lines": (
        lambda: document(
            "".join(f'<g><path d="M{n} {n}H-{n}V-{n}H{n}z"/></g>' for n in range(1, 480))
            + '<line x2="1"/>' * 15_000
        ),
        "nothing says how often",
    ),
    "many notches": (
        lambda: document(
            '<g><rect width="90" height="90"/>'
            + "".join(f'<line class="notch" x1="{n % 90}" y1="9"/>' for n in range(15_000))
            + "</g>"
        ),
        "no piece has so many",
    ),
    "endless texts": (
        lambda: document(
            f'<g id="{"_" * 400_000}x"><rect width="{"1" * 400_000}"/><title>{"a " * 200_000}'
            f'</title><polygon points="1 {"," * 400_000}x"/><circle r="{"9" * 300_000}q9"/>'
            f"<style>{'a' * 400_000}@@@{'@a' * 200_000}{'/*' * 200_000}</style>"
            f'<g transform="{"scale(1" * 100_000}"/><text>add {"1" * 400_000}x</text>'
            f'<path d="M0 0L{"," * 300_000}z"/><rect width="9" height="9"/></g>',
            f'width="9cm" viewBox="0 0 9 9" preserveAspectRatio="{" " * 300_000}x"',
        ),
        "is not understood",
    ),
    "many curves": (
        lambda: document(
            "".join(f'<path d="M0 0C{n} 0 0 3000 9 9zL9 9"/>' for n in range(1, 9_000))
        ),
        "more than 60,000 points",
    ),
}

BROKEN: dict[str, tuple[Callable[[], str], str]] = {
    "vast transforms": (
        lambda: document(f'<g transform="{"scale(9)" * 900}"><rect width="9" height="9"/></g>'),
        "is not understood",
    ),
    "huge coordinates": (
        lambda: document('<rect width="1e15" height="1e15"/>'),
        "farther than 100 m",
    ),
    "an endless curve": (
        lambda: document('<path d="M0 0C1e200 0 0 1e200 9 9z"/>'),
        "far larger than any piece",
    ),
    "no numbers": (lambda: document('<path d="M NaN 0 L 5 5 z"/>'), "'NaN'"),
    "no number at all": (lambda: document('<circle r="nan"/>'), "'nan' is no length"),
    "cut short": (lambda: document("<g>")[:-12], "no well-formed SVG"),
    "something else": (lambda: "<html><body/></html>", "is no SVG drawing"),
    "binary": (lambda: "\x89PNG\r\n\x1a\n" + "x" * 99, "no well-formed SVG"),
    "a flat box": (
        lambda: document("", 'width="9cm" viewBox="0 0 0 5"'),
        "viewBox '0 0 0 5' is not four numbers",
    ),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_in_words_with_little_work(tmp_path: Path, name: str) -> None:
    make, words = HOSTILE[name]
    file = tmp_path / "hostile.svg"
    file.write_text(make(), encoding="utf-8")
    run = subprocess.run(
        [sys.executable, "-c", READ, str(file)], capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr[-2000:]
    assert "FETCHED" not in run.stderr
    told, megabytes = json.loads(run.stdout)
    assert any(words in fault for fault in told), told
    assert megabytes < MOST_MB
    assert len(told) <= 2000


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_file_is_refused_in_words(tmp_path: Path, name: str) -> None:
    make, words = BROKEN[name]
    file = tmp_path / "broken.svg"
    file.write_text(make(), encoding="utf-8")
    told = [str(finding) for finding in check_any(file) if finding.fatal]
    assert any(words in fault for fault in told), told


def test_a_limit_is_told_once_and_with_its_line(tmp_path: Path) -> None:
    file = tmp_path / "deep.svg"
    file.write_text(document("<g>" * 70))
    told = [str(finding) for finding in check_any(file)]
    assert told == [
        f"{file}:2: has elements in one another, more than 60 deep; that is no drawing of a pattern"
    ]


def test_what_uses_itself_is_told(tmp_path: Path) -> None:
    body = '<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g><use id="c" href="#c"/>'
    sheet = sheet_of(tmp_path, document(body))
    assert sheet.strokes == []
    assert {str(f).split(": ", 1)[1] for f in sheet.findings} == {
        "use: 'a' uses itself", "use: 'b' uses itself", "use 'c': 'c' uses itself",
    }  # fmt: skip


def test_a_use_of_nothing_is_told(tmp_path: Path) -> None:
    sheet = sheet_of(tmp_path, document('<use href="#gone"/>'))
    assert "there is no element 'gone' to use" in str(sheet.findings[0])


def test_a_file_that_is_too_large_is_not_read(tmp_path: Path) -> None:
    file = tmp_path / "large.svg"
    file.write_text(f"{HEAD}>{' ' * 5_000_000}</svg>")
    assert [str(f) for f in check_any(file)] == [f"{file}: is too large to be a drawing"]


def test_after_many_faults_the_rest_is_counted(tmp_path: Path) -> None:
    sheet = sheet_of(tmp_path, document('<rect width="x"/>' * 500))
    assert len(sheet.findings) == 31
    assert "and 470 more faults" in str(sheet.findings[-1])
