"""One self-contained HTML report: inline SVG, no network, no scripts, prints well."""

from __future__ import annotations

import re
from html import escape as escape_markup
from pathlib import Path

from pieces.lengths import System
from plans.drawing.fills import told_by_fill
from plans.drawing.leftovers.leftover_picture import svg_of
from plans.drawing.legend import legend_words
from plans.drawing.look import role_fill
from plans.drawing.picture import sheet_svgs
from plans.drawing.writing import clean, tied
from plans.plan import FabricPlan, LeftoverCut, PieceAllowance, Plan
from plans.words import cutting_list, facts, pinning
from plans.words import leftover_lines as words
from plans.words.account_lines import account, account_words
from plans.words.allowance_table import HEADS as ALLOWANCE_HEADS
from plans.words.allowance_table import allowance_rows
from plans.words.key_figures import key_figures
from plans.words.purchase_words import shopping_line

STYLE = """
:root { color-scheme: light; }
body { font: 16px/1.45 Georgia, 'Times New Roman', serif; color: #1b1b1b; background: #fff;
  max-width: 72rem; margin: 1.5rem auto; padding: 0 1.2rem; }
h1 { font-size: 1.7rem; margin: 0 0 .3rem; }
h2 { font-size: 1.3rem; border-bottom: 2px solid #1b1b1b; padding-bottom: .15rem;
  margin-top: 2.2rem; }
h3 { font-size: 1.02rem; margin: 1.3rem 0 .4rem; }
table { border-collapse: collapse; width: 100%; font-size: .88rem; }
th, td { text-align: left; vertical-align: top; padding: .22rem .7rem .22rem 0;
  border-bottom: 1px solid #cfcfcf; }
th { border-bottom: 1.5px solid #1b1b1b; }
td.figure, th.figure { text-align: right; font-variant-numeric: tabular-nums; }
figure { margin: 1rem 0; overflow-x: auto; }
figure svg { width: 100%; height: auto; max-height: 60rem; }
figure.leftover svg { width: auto; max-width: 100%; max-height: 30rem; }
figcaption { font-size: .92rem; margin-bottom: .3rem; }
.legend { font-size: .88rem; color: #4a4a4a; }
.swatch { display: inline-block; width: 1.4em; height: .9em; border: 1px solid #1b1b1b;
  vertical-align: -.1em; }
.ask { font-size: 1.08rem; font-weight: bold; }
.caution { border-left: 4px solid #1b1b1b; padding-left: .8rem; }
@media print { body { margin: 0; max-width: none; font-size: 11pt; }
  section { break-before: page; } figure, tr, h3 { break-inside: avoid; }
  h3 { break-after: avoid; } }
"""


def escape(text: str) -> str:
    """Return a text as it may stand in the report: markup escaped, figures tied to units."""
    return escape_markup(tied(clean(text)))


def write_html(plan: Plan, path: Path, system: System) -> None:
    """Write the report of all fabrics of a plan."""
    path.write_text(html_text(plan, system), encoding="utf-8")


def html_text(plan: Plan, system: System) -> str:
    """Return the report as HTML text."""
    makes = f", {plan.makes} of them" if plan.makes > 1 else ""
    body = [f"<h1>{escape(plan.title)}{makes}</h1>"]
    if plan.missing_roles:
        body.append(f"<p><strong>Not planned: {escape(', '.join(plan.missing_roles))}</strong></p>")
    body += [f"<p>{escape(text)}</p>" for text in facts.shared_words(plan)]
    body.append(f"<h3>{'Shopping list' if plan.fabrics else 'Nothing to buy'}</h3>")
    body += [f'<p class="ask">{escape(shopping_line(entry, system))}</p>' for entry in plan.fabrics]
    body += [
        f'<p class="ask">{escape(words.saving_line(saving, system))}</p>' for saving in plan.savings
    ]
    body += [f'<p class="caution">{escape(caution)}</p>' for caution in plan.cautions]
    body += [_fabric(entry, f"f{k}", system) for k, entry in enumerate(plan.fabrics)]
    body += [_leftover(cut, f"l{k}", system) for k, cut in enumerate(plan.on_leftovers)]
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(plan.title)}: cutting plan</title>\n<style>{STYLE}</style>\n</head>\n"
        "<body>\n" + "\n".join(body) + "\n</body>\n</html>\n"
    )


def _fabric(entry: FabricPlan, index: str, system: System) -> str:
    parts = [f"<h2>{escape(entry.fabric.title)}</h2>"]
    parts += [f"<p><strong>{escape(text)}</strong></p>" for text in entry.warnings]
    parts.append(_table((), key_figures(entry, system).rows()))
    for k, (caption, svg) in enumerate(sheet_svgs(entry, system)):
        said = f"<figcaption>{escape(caption)}</figcaption>" if caption else ""
        parts.append(f"<figure>{said}{_inline(svg, f'{index}s{k}')}</figure>")
    parts.append(f'<p class="legend">{escape(legend_words(entry, system))}</p>')
    told = told_by_fill(entry)
    if len(told) > 1:
        swatches = ", ".join(
            f'<span class="swatch" style="background:{role_fill(told, name)}"></span> '
            f"{escape(name)}"
            for name in told
        )
        parts.append(f'<p class="legend">Fills: {swatches}</p>')
    for note in (*entry.notes, facts.ended_words(entry)):
        if note:
            parts.append(f"<p>{escape(note)}</p>")
    parts.append("<h3>Pinning table</h3>")
    parts.append(f"<p>{escape(pinning.pin_words(entry, system))}</p>")
    parts.append(_table(pinning.HEADS, pinning.pin_rows(entry, system), pinning.FIGURES))
    parts.append("<h3>Cutting list</h3>")
    parts.append(_table(cutting_list.HEADS, cutting_list.cutting_rows(entry)))
    parts += _allowances(entry.allowances, system)
    parts.append("<h3>How the purchase comes about</h3>")
    parts.append(_table(("step", "from", "result"), facts.arithmetic(entry, system), (2,)))
    parts.append("<h3>Where the cloth goes</h3>")
    parts.append(_table(("part", "what it is", "share"), account(entry, system), (2,)))
    parts.append(f"<p>{escape(account_words(entry))}</p>")
    if entry.other_folds:
        parts.append("<h3>Other folds</h3>")
        parts.append(_table(facts.FOLD_HEADS, facts.fold_rows(entry, system)))
    return "<section>\n" + "\n".join(parts) + "\n</section>"


def _allowances(allowances: tuple[PieceAllowance, ...], system: System) -> list[str]:
    if not allowances:
        return []
    return [
        "<h3>Seam and hem allowances</h3>",
        _table(ALLOWANCE_HEADS, allowance_rows(allowances, system)),
    ]


def _leftover(cut: LeftoverCut, index: str, system: System) -> str:
    parts = [
        f"<h2>Leftover {escape(cut.tag)}: {escape(cut.fabric.title)}</h2>",
        f"<p>{escape(words.cut_line(cut))}</p>",
        f'<figure class="leftover">{_inline(svg_of(cut, system), index)}</figure>',
        f"<p>{escape(words.FRAME_WORDS)}</p>",
        _table(words.HEADS, words.pin_rows(cut, system), (4, 5, 6, 7)),
        f"<p>{escape(words.remaining_words(cut, system))}</p>",
        *_allowances(cut.allowances, system),
    ]
    return "<section>\n" + "\n".join(parts) + "\n</section>"


def _table(
    heads: tuple[str, ...], rows: tuple[tuple[str, ...], ...], figures: tuple[int, ...] = ()
) -> str:
    def cells(row: tuple[str, ...], tag: str) -> str:
        return "".join(
            f"<{tag}{' class=figure' if k in figures else ''}>{escape(cell)}</{tag}>"
            for k, cell in enumerate(row)
        )

    head = f"<tr>{cells(heads, 'th')}</tr>" if heads else ""
    return "<table>" + head + "".join(f"<tr>{cells(row, 'td')}</tr>" for row in rows) + "</table>"


def _inline(svg: str, prefix: str) -> str:
    """Strip the XML head, and make ids unique among the pictures of one page."""
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r'\bid="', f'id="{prefix}-', svg)
    svg = re.sub(r'href="#', f'href="#{prefix}-', svg)
    return re.sub(r"url\(#", f"url(#{prefix}-", svg)
