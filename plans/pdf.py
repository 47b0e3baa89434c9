"""The PDF of one fabric: drawing over as many pages as it needs, then the tables."""

from __future__ import annotations

import math
from pathlib import Path

from pieces.lengths import System, format_length
from plans import facts, look
from plans.diagram import MARGIN_MM, draw_section
from plans.facts import buy_words
from plans.paper import EDGE_MM, PAPERS, Pages, wrap
from plans.plan import FabricPlan, Plan

TITLE_MM = 30.0
"""Height of the title block on the first page."""

SCALES = (4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0)
"""Cloth mm shown by one mm of paper."""

SMALLEST_READABLE = 12.0
"""Scale from which a long lay is rather continued on another page."""


def write_pdf(plan: Plan, entry: FabricPlan, path: Path, system: System, paper: str) -> None:
    """Write the PDF of one fabric of a plan.

    Parameters
    ----------
    plan : Plan
    entry : FabricPlan
        One of its fabrics.
    path : Path
    system : System
    paper : str
        "a4" or "letter".
    """
    import matplotlib as mpl
    from matplotlib.backends.backend_pdf import PdfPages

    pages = Pages(_turned(entry, PAPERS[paper]), f"{plan.title} - {entry.fabric.title} - laywright")
    for index, section in enumerate(entry.sections):
        if section.extent > 0.0:
            _lay_pages(pages, plan, entry, index, system)
    _tables(pages, plan, entry, system)
    with (
        mpl.rc_context({"pdf.fonttype": 3}),
        PdfPages(path, metadata={"Title": plan.title, "CreationDate": None}) as pdf,
    ):
        for number, figure in enumerate(pages.figures, start=1):
            figure.text(
                1.0 - EDGE_MM / pages.paper[0], 6.0 / pages.paper[1],
                f"page {number} of {len(pages.figures)}", fontsize=6.5, ha="right", va="center",
                color=look.QUIET,
            )  # fmt: skip
            pdf.savefig(figure)


def _turned(entry: FabricPlan, paper: tuple[float, float]) -> tuple[float, float]:
    """Landscape, or upright where the lay is much wider than long."""
    longest = max(section.extent for section in entry.sections)
    highest = entry.sections[0].spread.lay_height
    return paper if longest > 0.75 * highest else (paper[1], paper[0])


def _lay_pages(pages: Pages, plan: Plan, entry: FabricPlan, index: int, system: System) -> None:
    """Draw one section on as many pages as its length needs, at one scale."""
    section = entry.sections[index]
    wide, high = pages.paper
    room_x = wide - 2 * EDGE_MM - 2 * MARGIN_MM
    room_y = high - 2 * EDGE_MM - TITLE_MM - 2 * MARGIN_MM
    scale = _scale(section.extent, section.spread.lay_height, room_x, room_y)
    count = max(1, math.ceil(section.extent / (room_x * scale) - 1e-6))
    step = section.extent / count
    for page in range(count):
        figure = pages.new_page()
        _title(pages, plan, entry, index, system, scale, (page + 1, count))
        low, high_x = page * step, (page + 1) * step
        width = (high_x - low) / scale + 2 * MARGIN_MM
        height = section.spread.lay_height / scale + 2 * MARGIN_MM
        top = EDGE_MM + TITLE_MM
        axes = figure.add_axes(
            (EDGE_MM / wide, 1.0 - (top + height) / high, width / wide, height / high)
        )
        draw_section(entry, index, system, axes, scale, (low, high_x))
        for joint, at in ((page, low), (page + 1, high_x)):
            if 0 < joint < count:
                _joining_mark(axes, at, section.spread.lay_height, joint, scale, at == low)


def _scale(length: float, height: float, room_x: float, room_y: float) -> float:
    """Largest scale at which the width fits a page, and the length too unless it would be tiny."""
    fits = [scale for scale in SCALES if height / scale <= room_y]
    if not fits:
        return height / room_y
    whole = [scale for scale in fits if length / scale <= room_x]
    if whole and whole[0] <= max(SMALLEST_READABLE, fits[0]):
        return whole[0]
    return max(fits[0], 8.0)


def _joining_mark(
    axes: object, at: float, height: float, joint: int, scale: float, left: bool
) -> None:
    """Mark where the next sheet joins: a line, triangles and a letter on both sheets."""
    from matplotlib.axes import Axes

    if not isinstance(axes, Axes):
        raise TypeError("a joining mark needs axes")
    letter = chr(ord("A") + (joint - 1) % 26)
    axes.plot([at, at], [0.0, height], color=look.INK, linewidth=0.8, linestyle=":", zorder=12)
    side = -1.0 if left else 1.0
    for y in (0.12 * height, 0.5 * height, 0.88 * height):
        axes.plot([at], [y], marker=">" if left else "<", markersize=6, color=look.INK, zorder=12)
        axes.text(
            at + side * 2.6 * scale, y, letter, fontsize=9, weight="bold", ha="center",
            va="center", color=look.INK, zorder=12,
        )  # fmt: skip


def _title(
    pages: Pages,
    plan: Plan,
    entry: FabricPlan,
    index: int,
    system: System,
    scale: float,
    page: tuple[int, int],
) -> None:
    """Write the title block at the top of a drawing page."""
    section = entry.sections[index]
    wide = pages.paper[0]
    makes = f", {plan.makes} of them" if plan.makes > 1 else ""
    y = EDGE_MM + 2.0
    pages.write_at(EDGE_MM, y, f"{plan.title}{makes}", 12.0, bold=True)
    sheet = f"sheet {page[0]} of {page[1]}, " if page[1] > 1 else ""
    pages.write_at(wide - EDGE_MM, y, f"{sheet}scale 1 : {scale:g}", 8.0, right=True)
    y += 6.0
    figures = dict(facts.key_figures(entry, system))
    pages.write_at(EDGE_MM, y, f"{entry.fabric.title}  for {figures['for']}", 9.5, bold=True)
    pages.write_at(
        wide - EDGE_MM, y,
        f"{buy_words(entry)} {figures[buy_words(entry)]}, at least "
        f"{figures['narrowest width for this layout']} wide",
        9.5, bold=True, right=True,
    )  # fmt: skip
    y += 5.5
    where = ""
    if len(entry.sections) > 1:
        where = (
            f"Section {section.name}: cut the washed cloth off from "
            f"{format_length(section.cloth_from, system)} to "
            f"{format_length(section.cloth_to, system)}. "
        )
    words = f"{figures['fold'].capitalize()}. {where}{section.how}"
    size = 8.5 if len(wrap(words, wide - 2 * EDGE_MM, 8.5)) < 3 else 7.0
    for line in wrap(words, wide - 2 * EDGE_MM, size):
        pages.write_at(EDGE_MM, y, line, size)
        y += 0.5 * size
    pages.write_at(
        EDGE_MM, y,
        f"Washed cloth {format_length(entry.length, system)} long. Thick broken line: fold edge. "
        "Hatched: face down. Crossed out: selvage or covered strip.",
        7.0, color=look.QUIET,
    )  # fmt: skip


def _tables(pages: Pages, plan: Plan, entry: FabricPlan, system: System) -> None:
    pages.new_page()
    pages.heading(f"{entry.fabric.title}: pinning table")
    pages.paragraph(facts.pin_words(entry, system), 8.0)
    pages.table(
        facts.PIN_HEADS, facts.pin_rows(entry, system),
        (5, 20, 14, 12, 11, 12, 12, 13, 13), numeric=(4, 5, 6, 7),
    )  # fmt: skip
    pages.heading("Cutting list")
    pages.table(facts.CUT_HEADS, facts.cutting_rows(entry), (7, 20, 12, 26, 15, 34))
    pages.heading("Shopping list")
    for other in plan.fabrics:
        pages.paragraph(facts.shopping_line(other, system), 9.0)
    pages.heading("How the purchase comes about")
    rows = tuple((line.what, line.how, line.result) for line in facts.arithmetic(entry, system))
    pages.table(("step", "from", "result"), rows, (30, 46, 16), numeric=(2,))
    pages.heading("Where the cloth goes")
    rows = tuple((line.what, line.how, line.result) for line in facts.account(entry))
    pages.table(("part", "what it is", "share"), rows, (30, 46, 16), numeric=(2,))
    figures = dict(facts.key_figures(entry, system))
    pages.paragraph(
        f"No layout is shorter than {figures['no layout is shorter than']}. Packing boxes would "
        f"have needed {figures['packing boxes would have needed']}."
    )
    if entry.other_folds:
        pages.heading("Other folds")
        pages.table(facts.FOLD_HEADS, facts.fold_rows(entry, system), (24, 12, 12, 52))
    pages.heading("Notes and cautions")
    for note in (*entry.notes, facts.ended_words(entry), *plan.cautions):
        if note:
            pages.paragraph(note)
