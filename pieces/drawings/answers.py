"""What the user adds to a drawing: by options, or in a small file beside it.

The file has the drawing's name and the ending `.toml` behind it (`skirt.svg.toml`). At its head
may stand `title`, `description`, `caution`, `units`, `sew` and `shorter` as in a garment file,
`lengths` (what a line measures, by its id), `drawing_unit` (what one unit of a DXF drawing is) and
`leave_out`; `[all]` holds what goes for every
piece and `[pieces.ID]` for one, both in the keys of a piece of a garment file:

    units = "cm"
    lengths = { hem = 26.5 }
    [all]
    allowance = 1.5
    [pieces.front]
    cut = { base = "1 on fold" }
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pieces.files.toml_file import Table, read_toml
from pieces.findings import Finding, InputError
from pieces.readers.piece_table import PIECE_KEYS

HEAD_KEYS = ("title", "description", "caution", "sew", "shorter")
"""Keys of a garment file that go into the garment as they are."""

DRAWING_UNITS = ("mm", "cm", "in")

DRAWN_KEYS = ("start", "edges", "path", "path_unit", "strip", "like", "sizes")
"""Keys of a piece that the drawing itself answers."""


@dataclass(frozen=True)
class Answers:
    """What is known besides the drawing.

    Attributes
    ----------
    lengths : dict of str to float
        What a path measures by its id, mm.
    head, every, pieces : dict
        Keys of a garment file: at its head, for every piece, and by the id or name of one.
    unit : str or None
        Unit of bare numbers in them; those of the drawing are written in it too.
    source : str
        The file that they came from; empty for options.
    left_out : tuple of str
        Ids of what in the drawing is no part of the pattern.
    drawing_unit : str or None
        "mm", "cm" or "in": what one unit of a drawing is that has no physical size of its own.
    """

    lengths: dict[str, float] = field(default_factory=dict)
    head: dict[str, Any] = field(default_factory=dict)
    every: dict[str, Any] = field(default_factory=dict)
    pieces: dict[str, dict[str, Any]] = field(default_factory=dict)
    unit: str | None = None
    source: str = ""
    left_out: tuple[str, ...] = ()
    drawing_unit: str | None = None

    def over(self, other: Answers) -> Answers:
        """Put these answers over others: where both say something, these count."""
        names = dict.fromkeys([*other.pieces, *self.pieces])
        return Answers(
            {**other.lengths, **self.lengths},
            {**other.head, **self.head},
            merged(other.every, self.every),
            {name: merged(other.pieces.get(name, {}), self.pieces.get(name, {})) for name in names},
            self.unit or other.unit,
            self.source or other.source,
            tuple(dict.fromkeys([*other.left_out, *self.left_out])),
            self.drawing_unit or other.drawing_unit,
        )


def merged(under: dict[str, Any], over: dict[str, Any]) -> dict[str, Any]:
    """Lay one piece's keys over another's; an allowance in either settles how it is drawn."""
    kept = dict(under)
    if "allowance" in over or "drawn" in over:
        kept = {k: v for k, v in kept.items() if k not in ("drawn", "allowance")}
    return {**kept, **over}


def file_beside(drawing: Path) -> Path:
    """Where the answers for a drawing are looked for: `skirt.svg.toml` beside `skirt.svg`."""
    return drawing.with_name(f"{drawing.name}.toml")


def answers_beside(drawing: Path) -> Answers:
    """Read the answers beside a drawing; none if there is no such file.

    Raises
    ------
    InputError
        With every fault of that file.
    """
    path = file_beside(drawing)
    return read_answers(path) if path.is_file() else Answers()


def read_answers(path: Path) -> Answers:
    """Read a file of answers.

    Raises
    ------
    InputError
        With every fault of the file.
    """
    findings: list[Finding] = []
    table = Table(read_toml(path, findings), str(path), findings)
    table.known((*HEAD_KEYS, "units", "lengths", "drawing_unit", "leave_out", "all", "pieces"))
    table.unit_field()
    drawing_unit = table.text("drawing_unit", "", DRAWING_UNITS) or None
    lengths: dict[str, float] = {}
    measured = table.table("lengths")
    for name in measured.data if measured is not None else ():
        length = measured.length(name, positive=True) if measured is not None else None
        if length is not None:
            lengths[name] = length
    left_out = table.data.get("leave_out", [])
    if not isinstance(left_out, list) or not all(isinstance(name, str) for name in left_out):
        table.fault("leave_out", "is not a list of ids", 'write leave_out = ["frame"]')
        left_out = []
    every = _piece_keys(table.table("all"))
    listed = table.table("pieces")
    pieces: dict[str, dict[str, Any]] = {}
    for name in listed.data if listed is not None else ():
        pieces[name] = _piece_keys(listed.table(name) if listed is not None else None)
    if any(finding.fatal for finding in findings):
        raise InputError(findings)
    head = {key: table.data[key] for key in HEAD_KEYS if table.has(key)}
    return Answers(
        lengths, head, every, pieces, table.unit, str(path), tuple(left_out), drawing_unit
    )


def _piece_keys(table: Table | None) -> dict[str, Any]:
    if table is None:
        return {}
    table.known([key for key in PIECE_KEYS if key not in DRAWN_KEYS])
    return dict(table.data)
