"""The parts of the report that tell of one fabric, and of one leftover."""

from __future__ import annotations

from collections.abc import Sequence

from fabrics.fold_words import taught_name
from pieces.lengths import System, format_length
from plans.drawing.fills import told_by_fill
from plans.drawing.leftovers.leftover_picture import svg_of
from plans.drawing.look import role_fill
from plans.drawing.pages.legend import legend_words
from plans.drawing.picture import sheet_svgs
from plans.outputs.report.markup import (
    escape,
    heading,
    name,
    named_figures,
    picture,
    scrolling,
    table,
)
from plans.plan import FabricPlan, LeftoverCopy, LeftoverCut, PieceAllowance, PlacedPiece
from plans.words import cutting_list, facts, pinning
from plans.words import leftover_lines as words
from plans.words.account_lines import account, account_words
from plans.words.allowance_table import HEADS as ALLOWANCE_HEADS
from plans.words.allowance_table import allowance_rows
from plans.words.at_table.arrow_on_paper import FIGURES as ARROW_FIGURES
from plans.words.at_table.arrow_on_paper import HEADS as ARROW_HEADS
from plans.words.at_table.arrow_on_paper import arrow_rows, arrow_words
from plans.words.key_figures import key_figures
from plans.words.piece_names import counted


def fabric_part(entry: FabricPlan, key: str, system: System) -> str:
    """Return all about one fabric; `key` begins the ids of its drawings."""
    title = entry.fabric.title
    parts = [heading(2, title)]
    parts += [f"<p><strong>{escape(text)}</strong></p>" for text in entry.warnings]
    parts.append(named_figures(f"Figures of {title}", key_figures(entry, system).rows()))
    for k, (caption, svg) in enumerate(sheet_svgs(entry, system)):
        said = f"<figcaption>{escape(caption)}</figcaption>" if caption else ""
        told = _lay_words(entry, caption, system)
        drawn = scrolling(f"Drawing: {told}", picture(svg, f"{key}s{k}", told))
        parts.append(f'<figure class="sheet">{said}{drawn}</figure>')
    parts.append(f'<p class="legend">{escape(legend_words(entry, system))}</p>')
    told_apart = told_by_fill(entry)
    if len(told_apart) > 1:
        swatches = ", ".join(
            f'<span class="swatch" style="background:{role_fill(told_apart, one)}"></span> '
            f"{name(one)}"
            for one in told_apart
        )
        parts.append(f'<p class="legend">Fills: {swatches}</p>')
    for note in (*entry.notes, facts.ended_words(entry)):
        if note:
            parts.append(f"<p>{escape(note)}</p>")
    parts.append("<h3>Pinning table</h3>")
    parts.append(f"<p>{escape(pinning.pin_words(entry, system))}</p>")
    rows = pinning.pin_rows(entry, system)
    parts.append(table(f"Pinning table of {title}", pinning.HEADS, rows, pinning.FIGURES))
    parts += _arrows(entry.placements, title, system)
    parts.append("<h3>Cutting list</h3>")
    rows = cutting_list.cutting_rows(entry)
    parts.append(table(f"Cutting list of {title}", cutting_list.HEADS, rows))
    parts += _allowances(entry.allowances, title, system)
    parts.append("<h3>How the purchase comes about</h3>")
    heads = ("step", "from", "result")
    parts.append(table(f"Purchase of {title}", heads, facts.arithmetic(entry, system), (2,)))
    parts.append("<h3>Where the cloth goes</h3>")
    heads = ("part", "what it is", "share")
    parts.append(table(f"Where {title} goes", heads, account(entry, system), (2,)))
    parts.append(f"<p>{escape(account_words(entry))}</p>")
    if entry.other_folds:
        parts.append("<h3>Other folds</h3>")
        rows = facts.fold_rows(entry, system)
        parts.append(table(f"Other folds of {title}", facts.fold_heads(entry), rows))
    return "<section>\n" + "\n".join(parts) + "\n</section>"


def leftover_part(cut: LeftoverCut, key: str, system: System) -> str:
    """Return all about what is cut from one leftover."""
    told = f"leftover {cut.tag} with {counted(len(cut.copies))}, to scale"
    where = f"Pinning table of leftover {cut.tag}"
    parts = [
        heading(2, f"Leftover {cut.tag}: {cut.fabric.title}"),
        f"<p>{escape(words.cut_line(cut))}</p>",
        f'<figure class="leftover">{picture(svg_of(cut, system), key, told)}</figure>',
        f"<p>{escape(words.FRAME_WORDS)}</p>",
        table(where, words.HEADS, words.pin_rows(cut, system), (4, 5, 6, 7)),
        *_arrows(cut.copies, f"leftover {cut.tag}", system),
        f"<p>{escape(words.remaining_words(cut, system))}</p>",
        *_allowances(cut.allowances, f"leftover {cut.tag}", system),
    ]
    return "<section>\n" + "\n".join(parts) + "\n</section>"


def _arrows(
    lying: Sequence[PlacedPiece | LeftoverCopy], of: str, system: System
) -> tuple[str, str]:
    """Where the grain arrows are drawn on the paper."""
    rows = arrow_rows(lying, system)
    return (
        f"<p>{escape(arrow_words(system))}</p>",
        table(f"Grain arrows of {of}", ARROW_HEADS, rows, ARROW_FIGURES),
    )


def _allowances(allowances: tuple[PieceAllowance, ...], of: str, system: System) -> list[str]:
    if not allowances:
        return []
    rows = allowance_rows(allowances, system)
    return [
        "<h3>Seam and hem allowances</h3>",
        table(f"Seam and hem allowances, {of}", ALLOWANCE_HEADS, rows),
    ]


def _lay_words(entry: FabricPlan, caption: str, system: System) -> str:
    """What a drawing shows, for those who do not see it: the tables tell the rest."""
    part = f", {caption[0].lower()}{caption[1:]}" if caption else ""
    return (
        f"{entry.fabric.title}, {taught_name(entry.fold)}, {format_length(entry.laid, system)} "
        f"long, with {counted(len(entry.placements))}{part}; the pinning table tells where each "
        "lies"
    )
