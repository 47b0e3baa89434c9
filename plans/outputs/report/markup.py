"""Markup of the report: text, tables and pictures that any reader, eye or ear, finds its way in.

All of it is also sound XML.
"""

from __future__ import annotations

import re
from html import escape as escape_markup

from plans.drawing.writing import clean, tied


def escape(text: str) -> str:
    """Return a text as it may stand in the report: markup escaped, figures tied to units."""
    return escape_markup(tied(clean(text)))


def name(text: str) -> str:
    """Return a name inside a sentence, kept to itself where it may run from right to left."""
    return escape(text) if text.isascii() else f"<bdi>{escape(text)}</bdi>"


def heading(level: int, text: str, ident: str = "") -> str:
    """Return a heading; `ident` is what a link leads to."""
    named = f' id="{ident}"' if ident else ""
    return f"<h{level}{named}{way(text)}>{escape(text)}</h{level}>"


def way(text: str) -> str:
    """Return the attribute by which a text finds its own direction, where letters may ask for it.

    Sentences of ours go without: one that begins with a name would be turned round by it.
    """
    return "" if text.isascii() else ' dir="auto"'


def table(
    caption: str,
    heads: tuple[str, ...],
    rows: tuple[tuple[str, ...], ...],
    figures: tuple[int, ...] = (),
) -> str:
    """Return a table whose caption is for those who do not see the heading above it.

    Columns named in `figures` are set right. It scrolls in a box of its own where it is too wide.
    """
    head = "".join(
        f'<th scope="col"{_figure(k, figures)}>{escape(text)}</th>' for k, text in enumerate(heads)
    )
    body = "".join(
        "<tr>"
        + "".join(
            f"<td{_figure(k, figures)}{way(text)}>{escape(text)}</td>" for k, text in enumerate(row)
        )
        + "</tr>"
        for row in rows
    )
    return scrolling(
        caption,
        f'<table><caption class="unseen">{escape(caption)}</caption>'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>",
    )


def named_figures(caption: str, rows: tuple[tuple[str, str], ...]) -> str:
    """Return a table of two columns: a name at the head of each row, and its figure."""
    body = "".join(
        f'<tr><th scope="row">{escape(what)}</th><td{way(figure)}>{escape(figure)}</td></tr>'
        for what, figure in rows
    )
    return (
        f'<table class="named"><caption class="unseen">{escape(caption)}</caption>'
        f"<tbody>{body}</tbody></table>"
    )


def scrolling(words: str, inside: str) -> str:
    """Put what may be wider than the screen into a box that scrolls by itself, by keys, too."""
    return (
        f'<div class="scrolling" tabindex="0" role="group" aria-label="{escape(words)}">'
        f"{inside}</div>"
    )


def picture(svg: str, prefix: str, words: str) -> str:
    """Return a drawing for the page: no XML head, no metadata, ids of its own, told in words."""
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"\s*<metadata>.*?</metadata>", "", svg, flags=re.DOTALL)
    svg = re.sub(r'\bid="', f'id="{prefix}-', svg)
    svg = re.sub(r'href="#', f'href="#{prefix}-', svg)
    svg = re.sub(r"url\(#", f"url(#{prefix}-", svg)
    return svg.replace("<svg", f'<svg role="img" aria-label="{escape(words)}"', 1)


def _figure(column: int, figures: tuple[int, ...]) -> str:
    return ' class="figure"' if column in figures else ""
