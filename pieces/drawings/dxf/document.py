"""A DXF file as a document, read with limits, audited, and recovered where it is untidy.

Before it is parsed, the pairs of group codes and values are looked over: how many entities and
points there are, whether the file ends where it should, whether numbers carry decimal commas.
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from pieces.drawings.dxf.library import silent
from pieces.files.text_file import read_bytes
from pieces.findings import Finding, InputError

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document

MOST_ENTITIES = 80_000
MOST_POINTS = 150_000
"""A pattern of thirty pieces in ten sizes stays below."""

BLOCK_CYCLE = 104
"""Number of the audit's error for blocks that contain themselves."""

_COMMA = re.compile(rb"^[ \t]*[+-]?\d*,\d+[ \t]*\r?$", re.MULTILINE)
_ENTITY = re.compile(rb"^[ \t]*0[ \t]*\r?\n[ \t]*[A-Z]", re.MULTILINE)
_POINT = re.compile(rb"^[ \t]*1[01][ \t]*\r?\n[ \t]*[-+.,\d]", re.MULTILINE)
_END = re.compile(rb"(?:^|\n)[ \t]*0[ \t]*\r?\n[ \t]*EOF\s*\Z")
_CODE_PAGE = re.compile(rb"\$DWGCODEPAGE[ \t]*\r?\n[ \t]*3[ \t]*\r?\n[ \t]*([A-Za-z0-9_]+)")
_UNIT = re.compile(rb"\$INSUNITS[ \t]*\r?\n[ \t]*70[ \t]*\r?\n[ \t]*(\d+)")


@dataclass(frozen=True)
class Loaded:
    """A document, the number of its unit in the header (0 if unsaid), and what was mended.

    `removed` names what the audit took out because it is not sound, or not known.
    """

    document: Document
    unit_number: int
    findings: list[Finding] = field(default_factory=list)
    removed: tuple[str, ...] = ()


def read_document(path: Path) -> Loaded:
    """Read a DXF file.

    Raises
    ------
    InputError
        If it is no DXF file, is cut off, holds absurdly much, or cannot be mended.
    """
    file = str(path)
    content = _points_for_commas(_looked_over(read_bytes(path, "a drawing"), file))
    unit = _UNIT.search(content[: content.find(b"ENTITIES")])
    with silent():
        document, findings, removed = _parsed(content, file)
    return Loaded(document, int(unit[1]) if unit else 0, findings, removed)


def _looked_over(content: bytes, file: str) -> bytes:
    if content[:18].startswith(b"AutoCAD Binary DXF"):
        _refuse(file, "is a binary DXF file", "save it as a text DXF file (ASCII)")
    if b"\x00" in content[:4096] or b"SECTION" not in content[:100_000]:
        _refuse(file, "is no DXF file")
    if _END.search(content[-200:]) is None:
        _refuse(
            file, "ends in the middle: there is no EOF at its end",
            "it was cut off when it was saved or sent; get it again",
        )  # fmt: skip
    for pattern, most, what in (
        (_ENTITY, MOST_ENTITIES, "entities"), (_POINT, MOST_POINTS, "points")
    ):  # fmt: skip
        if sum(1 for _ in pattern.finditer(content)) > most:
            _refuse(file, f"has more than {most:,} {what}; that is no drawing of a pattern")
    return content


def _points_for_commas(content: bytes) -> bytes:
    """Write numbers that carry a decimal comma with a point; texts stay as they are."""
    if _COMMA.search(content) is None:
        return content
    lines = content.split(b"\n")
    for at in range(0, len(lines) - 1, 2):
        code = lines[at].strip()
        if code.isdigit() and _is_real(int(code)) and _COMMA.fullmatch(lines[at + 1]):
            lines[at + 1] = lines[at + 1].replace(b",", b".")
    return b"\n".join(lines)


def _is_real(code: int) -> bool:
    return 10 <= code <= 59 or 140 <= code <= 149 or 210 <= code <= 239 or 460 <= code <= 469


def _parsed(content: bytes, file: str) -> tuple[Document, list[Finding], tuple[str, ...]]:
    """Parse strictly and audit; what cannot be parsed so is recovered."""
    from ezdxf import recover
    from ezdxf.filemanagement import read
    from ezdxf.lldxf.const import DXFError

    findings: list[Finding] = []
    try:
        document = read(io.StringIO(_text(content)))
        auditor = document.audit()
    except Exception:  # Whatever a broken file does to the strict reader, the other one decides.
        try:
            document, auditor = recover.read(io.BytesIO(content))
        except (DXFError, ValueError, TypeError, KeyError, IndexError, AttributeError) as error:
            reason = str(error).strip().partition("\n")[0][:120] or type(error).__name__
            _refuse(file, f"cannot be read as DXF: {reason}")
        words = "is untidy and was mended while it was read; compare the pieces with your pattern"
        findings.append(Finding(file, words, fatal=False))
    if any(error.code == BLOCK_CYCLE for error in auditor.errors):
        _refuse(file, "has blocks that contain themselves", "save it again without such blocks")
    if auditor.errors:
        words = f"has {len(auditor.errors)} faults that could not be mended: "
        findings.append(Finding(file, words + str(auditor.errors[0].message)[:120], fatal=False))
    fixes = [str(fix.message).rstrip(".") for fix in auditor.fixes]
    removed = tuple(dict.fromkeys(fix for fix in fixes if fix.startswith(("Removed", "Deleted"))))
    return document, findings, tuple(fix[0].lower() + fix[1:] for fix in removed)


def _text(content: bytes) -> str:
    """The text of a file: in UTF-8, else in the code page that its header names."""
    from ezdxf.tools.codepage import toencoding

    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        page = _CODE_PAGE.search(content[:20_000])
        coding = toencoding(page[1].decode("ascii")) if page else "cp1252"
        text = content.decode(coding, errors="replace")
    return text.replace("\r\n", "\n")


def _refuse(file: str, words: str, fix: str | None = None) -> None:
    raise InputError([Finding(file, words, fix=fix)])
