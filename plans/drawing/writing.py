"""Writing text on drawings: any text is only text, in whatever script it is written.

Names come from files of users, so that nothing in them may be taken for a formula, break a file,
or stop a drawing. What the drawing font lacks is drawn from another installed font, and what no
font has becomes a box.
"""

from __future__ import annotations

import io
import re
import unicodedata
import warnings
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from plans.whole_files import write_whole

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.text import Text

FAMILY = "DejaVu Sans"
"""The drawing font; it comes with matplotlib."""

BOX = "\u25a1"
"""Stands for a letter that no installed font has."""

UNKNOWN = "\ufffd"

NO_BREAK = "\u00a0"

_UNITS = r"mm|cm|m|in|yd|sq|%|m²"
_BEFORE_UNIT = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w²]))")
_BEFORE_FRACTION = re.compile(r"(?<=\d) (?=\d+/\d+(?!\d))")


class Canvas(Protocol):
    """What text can be written on: axes or a figure."""

    def text(self, x: float, y: float, s: str, **style: Any) -> Text:
        """Write at a place."""


def say(canvas: Canvas, x: float, y: float, text: str, **style: Any) -> Text:
    """Write text on axes or a figure as it stands: no formulas, other scripts from other fonts."""
    lines = shown(text)
    return canvas.text(x, y, lines, parse_math=False, fontfamily=families(lines), **style)


@contextmanager
def saving() -> Iterator[None]:
    """Save figures repeatably; a glyph that no font has is a box, never a warning or an error."""
    import matplotlib as mpl

    fixed: dict[Any, Any] = {
        "svg.hashsalt": "laywright", "svg.fonttype": "path", "pdf.fonttype": 3,
    }  # fmt: skip
    with mpl.rc_context(fixed), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        warnings.filterwarnings("ignore", message="Matplotlib currently does not support")
        yield


def write_pages(pages: Iterable[Figure], path: Path, title: str) -> None:
    """Bind pages to a PDF and write it whole.

    They are bound in memory: what binds pages takes a full disk for a fault of its own.

    Raises
    ------
    OSError
        If the disk refuses.
    """
    from matplotlib.backends.backend_pdf import PdfPages

    bound = io.BytesIO()
    with saving(), PdfPages(bound, metadata={"Title": clean(title), "CreationDate": None}) as pdf:
        for page in pages:
            pdf.savefig(page)
    write_whole(path, bound.getvalue())


def write_figure(figure: Figure, path: Path, **options: Any) -> None:
    """Write a figure whole, in the format that the ending of its path names.

    Raises
    ------
    OSError
        If the disk refuses.
    """
    drawn = io.BytesIO()
    with saving():
        figure.savefig(drawn, format=path.suffix[1:].lower(), **options)
    write_whole(path, drawn.getvalue())


def clean(text: str) -> str:
    """Replace what no page can show: control characters, halves of letters, no letters at all."""
    return "".join(
        letter if letter == "\n" or _harmless(letter) else (" " if letter in "\t\r" else UNKNOWN)
        for letter in text
    )


def _harmless(letter: str) -> bool:
    return unicodedata.category(letter) not in ("Cc", "Cs") and ord(letter) & 0xFFFE != 0xFFFE


def shown(text: str) -> str:
    """Return a text as it can be drawn: clean, with a box for each letter that no font has."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(
        letter if letter == "\n" or font_with(letter) is not None else BOX for letter in clean(text)
    )


def tied(text: str) -> str:
    """Tie figures to their units and fractions by no-break spaces."""
    return _BEFORE_UNIT.sub(NO_BREAK, _BEFORE_FRACTION.sub(NO_BREAK, text))


def families(text: str) -> list[str]:
    """Families that draw a text: the drawing font, then those that have what it lacks."""
    if text.isascii():
        return [FAMILY]
    found = (font_with(letter) for letter in text)
    return list(dict.fromkeys([FAMILY, *(font[0] for font in found if font is not None)]))


@lru_cache(maxsize=4096)
def text_width(text: str) -> float:
    """Width of a text at size 1, in sizes."""
    return sum(_advance(letter) for letter in shown(text))


@lru_cache(maxsize=4096)
def font_with(letter: str) -> tuple[str, str] | None:
    """Family and file of a font that has a letter: the drawing font if it can be."""
    if ord(letter) in _letters(_file_of(FAMILY)):
        return FAMILY, _file_of(FAMILY)
    for family, file in _others():
        if ord(letter) in _letters(file):
            return family, file
    return None


@lru_cache(maxsize=1024)
def _advance(letter: str) -> float:
    """Advance of one letter at size 1; a full size for one that no font has."""
    font = font_with(letter)
    if font is None:
        return 1.0
    glyph = _font(font[1]).load_char(ord(letter))
    return float(glyph.linearHoriAdvance) / 65536.0 / 100.0


@lru_cache(maxsize=8)
def _file_of(family: str) -> str:
    from matplotlib.font_manager import findfont

    return str(findfont(family))


@lru_cache(maxsize=1)
def _others() -> tuple[tuple[str, str], ...]:
    """Families and files of all installed upright fonts, in an order of their own.

    Fonts of last resort have a frame for every script there is, and no letters.
    """
    from matplotlib.font_manager import fontManager

    fonts = {
        entry.name: entry.fname
        for entry in sorted(fontManager.ttflist, key=lambda e: (e.name, e.fname), reverse=True)
        if entry.style == "normal" and "LastResort" not in entry.name.replace(" ", "")
    }
    return tuple(sorted((name, str(file)) for name, file in fonts.items()))


@lru_cache(maxsize=256)
def _letters(file: str) -> frozenset[int]:
    """Code points that a font can draw; none if it is damaged or made of pictures."""
    try:
        font = _font(file)
        return frozenset(font.get_charmap()) if font.scalable else frozenset()
    except (OSError, RuntimeError, ValueError):
        return frozenset()


@lru_cache(maxsize=256)
def _font(file: str) -> Any:
    from matplotlib.ft2font import FT2Font

    font = FT2Font(file)
    font.set_size(100.0, 72.0)
    return font
