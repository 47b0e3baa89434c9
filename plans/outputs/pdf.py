"""The PDF of one fabric: drawing over as many pages as it needs, then the tables."""

from __future__ import annotations

from pathlib import Path

from fabrics.fold_words import taught_name
from pieces.lengths import System, format_length
from plans.drawing import look
from plans.drawing.diagram import draw_section
from plans.drawing.fills import told_by_fill
from plans.drawing.fold_marks import SIZE_MM
from plans.drawing.fold_sketch import draw_fold_sketch
from plans.drawing.pages.joining import mark_joints
from plans.drawing.pages.legend import draw_fills, legend_words
from plans.drawing.pages.paper import BOLD_SHARE, EDGE_MM, PAPERS, Pages, shortened, wrap
from plans.drawing.sheets import MARGIN_MM, Sheet, sheets_of, shown_range
from plans.drawing.writing import say, write_pages
from plans.plan import FabricPlan, Plan
from plans.words import cutting_list, facts, pinning
from plans.words.account_lines import account, account_words
from plans.words.allowance_table import HEADS as ALLOWANCE_HEADS
from plans.words.allowance_table import allowance_rows
from plans.words.at_table.arrow_on_paper import FIGURES as ARROW_FIGURES
from plans.words.at_table.arrow_on_paper import HEADS as ARROW_HEADS
from plans.words.at_table.arrow_on_paper import SHARES as ARROW_SHARES
from plans.words.at_table.arrow_on_paper import arrow_rows, arrow_words
from plans.words.changed_words import changed_title
from plans.words.key_figures import key_figures
from plans.words.purchase_words import shopping_line, width_words

TITLE_MM = 34.0
"""Height of the title block on a page with a drawing."""


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
    pages = Pages(_turned(entry, PAPERS[paper]), f"{plan.title} - {entry.fabric.title} - laywright")
    for index, section in enumerate(entry.sections):
        if section.extent > 0.0:
            _lay_pages(pages, plan, entry, index, system)
    _tables(pages, plan, entry, system)
    save_pages(pages, path, plan.title)


def save_pages(pages: Pages, path: Path, title: str) -> None:
    """Number pages and write them as a PDF."""
    for number, figure in enumerate(pages.figures, start=1):
        say(
            figure, 1.0 - EDGE_MM / pages.paper[0], 6.0 / pages.paper[1],
            f"page {number} of {len(pages.figures)}", fontsize=6.5, ha="right", va="center",
            color=look.QUIET,
        )  # fmt: skip
    write_pages(pages.figures, path, title)


def _turned(entry: FabricPlan, paper: tuple[float, float]) -> tuple[float, float]:
    """Landscape, or upright where the lay is much wider than long."""
    ranges = [shown_range(entry, k) for k in range(len(entry.sections))]
    longest = max(high - low for low, high in ranges)
    highest = entry.sections[0].spread.lay_height
    return paper if longest > 0.75 * highest else (paper[1], paper[0])


SCALE_MM = 50.0
"""Kept for the scale beside the title of a page with a drawing."""


def _lay_pages(pages: Pages, plan: Plan, entry: FabricPlan, index: int, system: System) -> None:
    """Draw one section on as many pages as its length needs, at one scale."""
    section = entry.sections[index]
    wide, high = pages.paper
    room_x = wide - 2 * EDGE_MM - 2 * MARGIN_MM
    room_y = high - 2 * EDGE_MM - TITLE_MM - 2 * MARGIN_MM
    for sheet in sheets_of(entry, index, room_x, room_y):
        figure = pages.new_page()
        _title(pages, plan, entry, index, system, sheet)
        width = (sheet.high - sheet.low) / sheet.scale + 2 * MARGIN_MM
        height = section.spread.lay_height / sheet.scale + 2 * MARGIN_MM
        top = EDGE_MM + TITLE_MM
        axes = figure.add_axes(
            (EDGE_MM / wide, 1.0 - (top + height) / high, width / wide, height / high)
        )
        draw_section(entry, index, system, axes, sheet.scale, (sheet.low, sheet.high))
        mark_joints(axes, sheet, section.spread.lay_height)


def _title(
    pages: Pages, plan: Plan, entry: FabricPlan, index: int, system: System, sheet: Sheet
) -> None:
    """Write the title block of a page with a drawing: words at the left, the fold at the right."""
    section = entry.sections[index]
    wide = pages.paper[0]
    makes = f", {plan.makes} of them" if plan.makes > 1 else ""
    y = EDGE_MM + 2.0
    count = f"sheet {sheet.number} of {sheet.count}, " if sheet.count > 1 else ""
    pages.write_at(wide - EDGE_MM, y, f"{count}scale 1 : {sheet.scale:g}", 8.0, right=True)
    left_of_scale = (wide - 2 * EDGE_MM - SCALE_MM) * BOLD_SHARE
    title = shortened(f"{plan.title}{makes}", left_of_scale, 12.0)
    pages.write_at(EDGE_MM, y, title, 12.0, bold=True)
    y += 5.5
    figures = key_figures(entry, system)
    room = wide - 2 * EDGE_MM - SIZE_MM[0] - 4.0
    head = (
        f"{facts.titled(entry)}: {figures.doing} {figures.purchase}, {width_words(entry, system)}"
    )
    for line in wrap(head, room, 9.5)[:2]:
        pages.write_at(EDGE_MM, y, line, 9.5, bold=True)
        y += 4.4
    name = taught_name(entry.fold).capitalize()
    words = f"{name}. {facts.spread_words(entry, index, system)}"
    legend = (
        f"Washed cloth {format_length(entry.length, system)} long{_mark(entry)}. "
        f"{legend_words(entry, system)}"
    )
    left = EDGE_MM + TITLE_MM - y + 4.5
    size = next((s for s in (8.5, 7.5, 6.5) if _height(words, legend, room, s) <= left), 5.6)
    for text, shrink, color in ((words, 1.0, look.INK), (legend, 0.9, look.QUIET)):
        for line in wrap(text, room, size * shrink):
            pages.write_at(EDGE_MM, y, line, size * shrink, color=color)
            y += 0.46 * size * shrink
    width, height = SIZE_MM
    high = pages.paper[1]
    axes = pages.figures[-1].add_axes(
        (
            (wide - EDGE_MM - width) / wide,
            1.0 - (EDGE_MM + 8.0 + height) / high,
            width / wide,
            height / high,
        )
    )
    draw_fold_sketch(axes, section, system)
    draw_fills(pages.figures[-1], told_by_fill(entry), wide - EDGE_MM, EDGE_MM + 8.0 + height + 3.0)


def _mark(entry: FabricPlan) -> str:
    """Mark a lay that is not as a search found it."""
    title = changed_title(entry)
    return f", {title}" if title else ""


def _height(words: str, legend: str, room: float, size: float) -> float:
    """Height of the words of a title block, mm."""
    lines = len(wrap(words, room, size)) + 0.9 * len(wrap(legend, room, size * 0.9))
    return 0.46 * size * lines


def _tables(pages: Pages, plan: Plan, entry: FabricPlan, system: System) -> None:
    pages.new_page()
    pages.heading(f"{entry.fabric.title}: pinning table")
    pages.paragraph(pinning.pin_words(entry, system), 8.0)
    pages.table(
        pinning.HEADS, pinning.pin_rows(entry, system), pinning.SHARES, numeric=pinning.FIGURES
    )
    pages.heading("Grain arrows on the paper")
    pages.paragraph(arrow_words(system), 8.0)
    rows = arrow_rows(entry.placements, system)
    pages.table(ARROW_HEADS, rows, ARROW_SHARES, numeric=ARROW_FIGURES)
    pages.heading("Cutting list")
    pages.table(cutting_list.HEADS, cutting_list.cutting_rows(entry), cutting_list.SHARES)
    if entry.allowances:
        pages.heading("Seam and hem allowances")
        rows = allowance_rows(entry.allowances, system)
        pages.table(ALLOWANCE_HEADS, rows, (20, 16, 46, 24))
    pages.heading("Shopping list")
    for text in facts.shared_words(plan):
        pages.paragraph(text, 9.0)
    for other in plan.fabrics:
        pages.paragraph(shopping_line(other, system), 9.0)
    for text in entry.warnings:
        pages.paragraph(text, 9.0, bold=True)
    pages.heading("How the purchase comes about")
    rows = facts.arithmetic(entry, system)
    pages.table(("step", "from", "result"), rows, (30, 46, 16), numeric=(2,))
    pages.heading("Where the cloth goes")
    rows = account(entry, system)
    pages.table(("part", "what it is", "share"), rows, (30, 46, 16), numeric=(2,))
    pages.paragraph(account_words(entry))
    figures = key_figures(entry, system)
    text = f"No layout is shorter than {figures.bound}."
    if figures.proof:
        text += f" {figures.proof[0].upper()}{figures.proof[1:]}."
    if figures.rectangles:
        text += (
            " If a plain rectangle were drawn around every piece and these were laid instead, "
            f"{figures.rectangles}."
        )
    pages.paragraph(text)
    if entry.other_folds:
        pages.heading("Other folds")
        pages.table(facts.fold_heads(entry), facts.fold_rows(entry, system), (24, 12, 12, 52))
    pages.heading("Notes and cautions")
    if figures.changed:
        pages.paragraph(f"Changed by hand: {figures.changed}.")
    for note in (*entry.notes, facts.ended_words(entry), *plan.cautions):
        if note:
            pages.paragraph(note)
