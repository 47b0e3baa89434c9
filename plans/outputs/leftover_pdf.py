"""The leftovers that a plan uses as a PDF: picture, then table."""

from __future__ import annotations

from pathlib import Path

from pieces.lengths import System
from plans.drawing.leftovers.leftover_picture import draw_leftover, size_on_paper
from plans.drawing.pages.paper import EDGE_MM, PAPERS, Pages
from plans.outputs.pdf import save_pages
from plans.plan import Plan
from plans.words.allowance_table import HEADS as ALLOWANCE_HEADS
from plans.words.allowance_table import allowance_rows
from plans.words.leftover_lines import FRAME_WORDS, HEADS, cut_line, pin_rows, remaining_words


def write_leftover_pdf(plan: Plan, path: Path, system: System, paper: str) -> None:
    """Write a page or more for each leftover that a plan uses: picture, then table."""
    pages = Pages(PAPERS[paper], f"{plan.title} - leftovers - laywright")
    for cut in plan.on_leftovers:
        pages.new_page()
        pages.heading(f"Leftover {cut.tag}: {cut.fabric.title}", 13.0)
        pages.paragraph(cut_line(cut))
        wide, high, scale = size_on_paper(cut)
        page_wide, page_high = pages.paper
        axes = pages.figures[-1].add_axes(
            (
                EDGE_MM / page_wide,
                1.0 - (pages.at + high + 2.0) / page_high,
                wide / page_wide,
                high / page_high,
            )
        )
        draw_leftover(axes, cut, scale, system)
        pages.at += high + 6.0
        pages.paragraph(f"Scale 1 : {scale:.3g}. {FRAME_WORDS}", 8.0)
        pages.table(
            HEADS,
            pin_rows(cut, system),
            (0.5, 2.0, 1.4, 1.0, 1.1, 1.1, 1.1, 1.1),
            8.0,
            (4, 5, 6, 7),
        )
        rest = remaining_words(cut, system)
        if rest:
            pages.paragraph(rest)
        if cut.allowances:
            pages.heading("Seam and hem allowances")
            rows = allowance_rows(cut.allowances, system)
            pages.table(ALLOWANCE_HEADS, rows, (20, 16, 46, 24))
    save_pages(pages, path, plan.title)
