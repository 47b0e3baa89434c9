"""At the cutting table: the plan step by step, in large type, each step a card.

Without a script all cards stand one below the other; the script shows one at a time and remembers
what is ticked.
"""

from __future__ import annotations

import hashlib

from pieces.lengths import System
from plans.outputs.report.markup import escape, heading, way
from plans.outputs.report.table_cards import CUT, Card, Lay, fabric_lay, leftover_lay
from plans.plan import Plan

MANY = 60
"""With more pieces than this on one cloth, cards are printed without their pictures."""


def table_view(plan: Plan, system: System) -> str:
    """Return the view for the cutting table, drawings included."""
    missing = ""
    if plan.missing_roles:
        roles = escape(", ".join(plan.missing_roles))
        missing = f'<p class="warning">Not planned: {roles}</p>'
    cautions = "".join(f"<p>{escape(caution)}</p>" for caution in plan.cautions)
    before = Card("Before you begin", missing + cautions, ("Read",))
    lays = (
        *(fabric_lay(entry, f"t{k}x", system) for k, entry in enumerate(plan.fabrics)),
        *(leftover_lay(cut, f"u{k}x", system) for k, cut in enumerate(plan.on_leftovers)),
    )
    parts = [f'<div class="lay">{_card(before, 1, 3)}</div>']
    titles = [before.title]
    for lay in lays:
        parts.append(_lay(lay, len(titles) + 1))
        titles += [card.title for card in lay.cards]
    steps = "".join(
        f'<li><a href="#step-{number}"{way(title)}>{escape(title)}</a></li>'
        for number, title in enumerate(titles, start=1)
    )
    inside = "\n".join(parts)
    # What was ticked belongs to this very plan, wherever its file lies.
    mark = hashlib.sha256(f"{escape(plan.title)}{inside}".encode()).hexdigest()[:16]
    drawings = "".join(drawing for lay in lays for drawing in lay.drawings)
    return (
        f'<section id="table" aria-labelledby="table-title" data-plan="{mark}">\n'
        '<h2 id="table-title">At the cutting table</h2>\n'
        '<p class="leading scripted" hidden=""><a href="#plan">Back to the plan</a></p>\n'
        f'<svg class="drawings" width="0" height="0" aria-hidden="true"><defs>{drawings}</defs>'
        f"</svg>\n{inside}\n"
        f'<details class="all"><summary>All {len(titles)} steps</summary><ol>{steps}</ol>'
        '<p class="scripted" hidden=""><button type="button" id="clear">Take all ticks away'
        "</button></p></details>\n"
        '<nav class="bar scripted" aria-label="Steps" hidden="">'
        '<button type="button" id="previous"><span aria-hidden="true">\u2190</span> Previous'
        '</button><p role="status"><span id="progress"></span><span class="unseen" id="spoken">'
        '</span><small id="counted"></small></p>'
        '<button type="button" id="next">Next <span aria-hidden="true">\u2192</span></button>'
        "</nav>\n</section>"
    )


def _lay(lay: Lay, first: int) -> str:
    """All cards of one cloth under its name; `first` is the number of the first."""
    cards = "\n".join(_card(card, number, 4) for number, card in enumerate(lay.cards, start=first))
    pieces = sum(bool(card.piece) for card in lay.cards)
    stop = (
        '<p class="warning stop" hidden="">Stop: this cloth was measured and is narrower than '
        "planned. Plan again before you fold or cut it.</p>"
    )
    kind = "lay many" if pieces > MANY else "lay"
    return f'<div class="{kind}">{heading(3, lay.title)}{stop}\n{cards}\n</div>'


def _card(card: Card, number: int, level: int) -> str:
    ticks = "".join(
        f'<label class="tick"><input type="checkbox" id="tick-{number}-{k}"'
        + (f' data-cuts="{card.piece}"' if card.piece and word == CUT else "")
        + f"/> {word}</label>"
        for k, word in enumerate(card.ticks)
    )
    ident = f"step-{number}-title"
    kind = "card piece" if card.piece else "card"
    return (
        f'<article class="{kind}" id="step-{number}" aria-labelledby="{ident}">'
        f'{heading(level, card.title, ident)}{card.body}<div class="ticks">{ticks}</div></article>'
    )
