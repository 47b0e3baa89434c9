"""The chart for the back of a pattern: what each size needs, by width and nap, in both systems."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fabrics.buying import purchase, sold_in
from fabrics.fabric import Fabric
from fabrics.plain import properties_of
from pieces.files.kinds import EXACT, FLAG, TEXT, WORKED_OUT, told
from pieces.files.record import WHOLE, Entry, Record
from pieces.lengths import (
    INCH_MM,
    YARD_MM,
    System,
    format_length,
    format_purchase,
)
from pieces.system_words import system_words
from plans.compare.cells import Cell
from plans.drawing.pages.paper import PAPERS, Pages
from plans.drawing.writing import write_figure, write_pages
from plans.errors import PlanError
from plans.words.lists.tables import COLUMNS, grid_table, rows_csv

if TYPE_CHECKING:
    from matplotlib.figure import Figure

NOTE = (
    "Lengths of plain cloth with selvages of 1 cm that does not shrink, unless its column says "
    "otherwise; {ends} for squaring off both ends included, before any allowance for checks, "
    "stripes or one's own margin. With nap: all pieces one way. {effort}"
)
"""What a chart's figures stand on."""

EFFORTS = {
    "quick": "Quick effort, a first look: a longer search may need less.",
    "normal": "The best fold of each width was searched at normal effort.",
    "thorough": "The best fold of each width was searched at thorough effort.",
}


def note(ends: float, effort: str) -> str:
    """Say what the figures of a chart stand on; `ends` is the length for squaring off, mm."""
    both = f"{format_length(ends, System.METRIC)} ({format_length(ends, System.IMPERIAL)})"
    return NOTE.format(ends=both, effort=EFFORTS[effort])


KINDS = (".pdf", ".png", ".svg")


@dataclass(frozen=True)
class SizeNeed:
    """What one size of one role needs of one cloth.

    `length` is the exact washed length (mm), None if nothing fits.
    """

    size: str
    role: str
    cloth: Fabric
    one_way: bool
    length: float | None
    fold: str

    def bought(self, system: System) -> float | None:
        """What to ask for (mm) in shops of either kind, before washing."""
        if self.length is None:
            return None
        shop = replace(self.cloth, own_step=False, on_hand=None)
        return purchase(self.length, sold_in(shop, system)).bought

    def text(self, system: System) -> str:
        """What to ask for."""
        bought = self.bought(system)
        return "-" if bought is None else format_purchase(bought, system)


def needs_of(size: str, cells: tuple[Cell, ...], cloths: list[Fabric]) -> list[SizeNeed]:
    """Take the shortest fold of each role, cloth and direction of nap."""
    by_name = {cloth.name: replace(cloth, one_way=False) for cloth in cloths}
    groups: dict[tuple[str, str, bool], list[Cell]] = {}
    for cell in cells:
        groups.setdefault((", ".join(cell.roles), cell.cloth, cell.one_way), []).append(cell)
    needs = []
    for (role, name, one_way), group in groups.items():
        found = [(cell.length, cell.fold.value) for cell in group if cell.length is not None]
        length, fold = min(found) if found else (None, "")
        needs.append(SizeNeed(size, role, by_name[name], one_way, length, fold))
    return needs


def width_name(cloth: Fabric) -> str:
    """A width as both kinds of shop call it, whole centimetres and inches, and what is stated."""
    width = f"{cloth.width / 10:.0f} cm ({cloth.width / INCH_MM:.0f} in)"
    return ", ".join(part for part in (width, properties_of(cloth.name)) if part)


def chart_rows(needs: list[SizeNeed], role: str) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Heads and rows of the table of one role."""
    mine = [need for need in needs if need.role == role]
    cloths = sorted(dict.fromkeys(need.cloth for need in mine), key=lambda cloth: cloth.width)
    heads = ("size", "nap", "", *(width_name(cloth) for cloth in cloths))
    known = {(need.size, need.one_way, need.cloth): need for need in mine}
    rows: list[tuple[str, ...]] = []
    for size, one_way in dict.fromkeys((need.size, need.one_way) for need in mine):
        line = [known.get((size, one_way, cloth)) for cloth in cloths]
        for system in System:
            rows.append(
                (
                    (size or "one size") if system is System.METRIC else "",
                    ("with" if one_way else "without") if system is System.METRIC else "",
                    "m" if system is System.METRIC else "yd",
                    *(_bare(need.text(system)) if need else "-" for need in line),
                )
            )
    return heads, rows


def _bare(text: str) -> str:
    """A length without its unit: that stands in a column of its own."""
    return text.removesuffix(" m").removesuffix(" yd")


def chart_text(needs: list[SizeNeed], title: str, basis: str) -> str:
    """Print the chart for a terminal, a table for each role, and what it stands on."""
    parts = [title]
    for role in dict.fromkeys(need.role for need in needs):
        heads, rows = chart_rows(needs, role)
        parts.append(f"{role}\n{grid_table(heads, rows)}")
    return "\n\n".join([*parts, textwrap.fill(basis, COLUMNS)]) + "\n"


def _in(system: System, unit: float) -> Entry:
    """What to ask for in shops of one kind, in their unit (mm)."""

    def asked(need: SizeNeed) -> float | None:
        bought = need.bought(system)
        return None if bought is None else WORKED_OUT.figure(bought / unit)

    name = "buy_m" if system is System.METRIC else "buy_yd"
    return Entry(name, told(asked), WHOLE)


NEED = Record(
    SizeNeed,
    (
        Entry("size", TEXT),
        Entry("role", TEXT),
        Entry("cloth", TEXT, "cloth.name"),
        Entry("width_mm", EXACT.number(), "cloth.width"),
        Entry("one_way", FLAG),
        Entry("length_mm", EXACT.optional(), "length"),
        Entry("fold", told(lambda fold: fold or None)),
        _in(System.METRIC, 1000.0),
        _in(System.IMPERIAL, YARD_MM),
    ),
)


def chart_data(needs: list[SizeNeed]) -> dict[str, Any]:
    """Return the chart as plain data."""
    return {"needs": [NEED.write(need) for need in needs]}


def chart_csv(needs: list[SizeNeed]) -> str:
    """Return the chart as CSV, a line for each size, role, width and direction of nap."""
    rows = chart_data(needs)["needs"]
    return rows_csv(list(rows[0]) if rows else [], [list(row.values()) for row in rows])


def write_size_chart(needs: list[SizeNeed], title: str, basis: str, path: Path, paper: str) -> None:
    """Write the chart as a PDF, or as PNG or SVG if it has one page.

    Raises
    ------
    PlanError
        As `check_pages`, or if the file cannot be written.
    """
    pages = _pages_for(needs, title, basis, path, paper)
    try:
        if path.suffix.lower() == ".pdf":
            write_pages(pages, path, title)
        else:
            write_figure(pages[0], path, dpi=130)
    except OSError as error:
        raise PlanError(f"{path}: cannot be written: {system_words(error)}") from error


def check_pages(needs: list[SizeNeed], title: str, basis: str, path: Path, paper: str) -> None:
    """Refuse a file that does not hold the pages of a chart, before its lengths are known.

    Raises
    ------
    PlanError
        If the ending names none of the kinds, or one of a single page for a chart of several.
    """
    if path.suffix.lower() != ".pdf":
        _pages_for(needs, title, basis, path, paper)


def _pages_for(
    needs: list[SizeNeed], title: str, basis: str, path: Path, paper: str
) -> list[Figure]:
    if path.suffix.lower() not in KINDS:
        raise PlanError(f"{path}: the ending must be one of {', '.join(KINDS)}")
    pages = _pages(needs, title, basis, paper)
    if path.suffix.lower() != ".pdf" and len(pages) > 1:
        raise PlanError(f"{path}: the chart has {len(pages)} pages; name a .pdf")
    return pages


def _pages(needs: list[SizeNeed], title: str, basis: str, paper: str) -> list[Figure]:
    pages = Pages(PAPERS[paper], f"{title} - laywright")
    pages.heading(title, 14.0)
    for role in dict.fromkeys(need.role for need in needs):
        heads, rows = chart_rows(needs, role)
        pages.heading(f"Cloth for {role}")
        count = len(heads) - 3
        pages.table(
            heads, tuple(rows), (1.2, 1.0, 0.5, *(1.4,) * count), 9.0, tuple(range(3, 3 + count))
        )
    pages.paragraph(basis, 8.0)
    return pages.figures
