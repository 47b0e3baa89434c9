"""The cards of the view for the cutting table, in working order: what each says and shows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pieces.lengths import System
from plans.drawing.lay_picture import (
    LayPicture,
    Lying,
    leftover_picture,
    section_picture,
)
from plans.outputs.report.fold_picture import fold_picture
from plans.outputs.report.markup import escape, name, table
from plans.plan import FabricPlan, LeftoverCut
from plans.words.at_table.arrow_on_paper import FIGURES, HEADS, arrow_words
from plans.words.at_table.steps import (
    PieceStep,
    Spreading,
    leftover_rest_words,
    leftover_steps,
    rest_words,
    section_steps,
)
from plans.words.at_table.width_check import width_check
from plans.words.piece_names import counted

PINNED, CUT = "Pinned", "Cut"


@dataclass(frozen=True)
class Card:
    """One step: its title, what stands under it (markup), what can be ticked there.

    `piece` is the id of its outline in the drawings, empty where it is not about one piece.
    """

    title: str
    body: str
    ticks: tuple[str, ...]
    piece: str = ""


@dataclass(frozen=True)
class Lay:
    """All cards about one cloth, and the drawings that they use."""

    title: str
    cards: tuple[Card, ...]
    drawings: tuple[str, ...]


def fabric_lay(entry: FabricPlan, key: str, system: System) -> Lay:
    """Make the cards of a fabric: its width, then each section, then what is left."""
    cards = [_width_card(entry, system)]
    drawings = []
    notes = entry.notes
    for index, section in enumerate(entry.sections):
        if section.extent <= 0.0:
            continue
        steps = section_steps(entry, index, system)
        drawn = section_picture(entry, index, f"{key}{index}")
        drawings.append(drawn.definition)
        placed = [one for one in entry.placements if one.section == index]
        sketch = fold_picture(section, system, "Sketch of the fold, edge on")
        body = f'<div class="sketch">{sketch}</div>{_texts(steps.lines)}'
        cards.append(Card(steps.title, body + _texts(notes), ("Spread",)))
        notes = ()
        flagged = tuple(one.number for one in placed if one.upper_only)
        cards.append(_pinning_card(steps, drawn, flagged, system))
        lying = {
            one.number: Lying(
                one.outline, one.grain, drawn.measured(one), tuple(m.at for m in one.match)
            )
            for one in placed
        }
        cards += _piece_cards(steps, drawn, lying)
    rest = rest_words(entry, system)
    if rest:
        cards.append(Card("What is left", _texts(rest), ("Put aside",)))
    return Lay(entry.fabric.title, tuple(cards), tuple(drawings))


def leftover_lay(cut: LeftoverCut, key: str, system: System) -> Lay:
    """Make the cards of a leftover."""
    steps = leftover_steps(cut, system)
    drawn = leftover_picture(cut, key)
    cards = [
        Card(
            steps.title,
            drawn.picture((), f"Leftover {cut.tag} with its pieces")
            + _texts(steps.lines)
            + _arrows(steps, system),
            ("Laid out",),
        ),
        *_piece_cards(
            steps,
            drawn,
            {
                one.number: Lying(one.outline, one.grain, drawn.measured_on_leftover(one))
                for one in cut.copies
            },
        ),
    ]
    rest = leftover_rest_words(cut, system)
    if rest:
        cards.append(Card("What is left", _texts(rest), ("Put aside",)))
    return Lay(f"Leftover {cut.tag}: {cut.fabric.title}", tuple(cards), (drawn.definition,))


def _width_card(entry: FabricPlan, system: System) -> Card:
    check = width_check(entry, system)
    answers = "".join(
        f'<p data-answer="{outcome}" hidden="">{escape(words)}</p>'
        for outcome, words in check.answers.items()
    )
    limits = " ".join(
        f'data-{limit}="{width:.1f}"'
        for limit, width in (
            ("narrowest", check.narrowest), ("enough", check.enough), ("wider", check.wider),
            ("far-wider", check.far_wider),
        )
    )  # fmt: skip
    body = (
        f"{_texts(entry.warnings, 'warning')}<p>{escape(check.what)}</p>"
        f'<p class="warning">{escape(check.if_narrower)}</p>'
        f'<div class="width scripted" hidden="" data-unit="{check.unit}" {limits}>'
        f"<label>Measured width, {'inches' if check.unit == 'in' else 'cm'} "
        '<input type="text" inputmode="decimal" autocomplete="off"/></label> '
        f'<button type="button">Check</button><div class="answers" role="status">{answers}</div>'
        "</div>"
    )
    return Card("Measure the width", body, ("Wide enough",))


def _pinning_card(
    steps: Spreading, drawn: LayPicture, flagged: tuple[int, ...], system: System
) -> Card:
    """Everything is pinned before the first cut (common practice, no source)."""
    lit = f", with no. {', '.join(map(str, flagged))} lit" if flagged else ""
    body = (
        drawn.picture(flagged, f"The lay with {counted(len(steps.pieces))}{lit}")
        + _texts(steps.before, "warning")
        + "<p>Go through the pieces and pin every one before you cut the first, so that you see "
        "that all of them have room. Then go through them again and cut.</p>"
        + _arrows(steps, system)
    )
    return Card("Pin everything first", body, ("All pinned",))


def _arrows(steps: Spreading, system: System) -> str:
    rows = table(f"Grain arrows: {steps.title}", HEADS, steps.arrows, FIGURES)
    return f"<p>{escape(arrow_words(system))}</p>{rows}"


def _piece_cards(
    steps: Spreading, drawn: LayPicture, lying: Mapping[int, Lying]
) -> tuple[Card, ...]:
    return tuple(
        _piece_card(step, steps.begins_at, drawn, lying[step.number]) for step in steps.pieces
    )


def _piece_card(step: PieceStep, begins_at: str, drawn: LayPicture, lying: Lying) -> Card:
    rows = "".join(
        f'<tr><th scope="row">{escape(pin.end)}</th><td>{escape(pin.along)}</td>'
        f"<td>{escape(pin.across)} <small>from {escape(pin.edge)}</small></td></tr>"
        for pin in step.pins
    )
    title = f"{step.number} {step.name}"
    words = f"The lay with {title} lit, its grain arrow, and the lines along which it is measured"
    shown = drawn.piece_picture(step.number, lying, words)
    body = (
        f'<div class="told"><p class="cut">{escape(step.cut)}</p>'
        f'{_texts(step.warnings, "warning")}</div><div class="shown">{shown}</div>'
        f'<div class="pinned"><table class="pins"><caption class="unseen">Where to pin '
        f'{name(title)}</caption><thead><tr><th scope="col">grain arrow</th>'
        f'<th scope="col">from {escape(begins_at)}</th><th scope="col">from the edge</th></tr>'
        f"</thead><tbody>{rows}</tbody></table>{_texts(step.handling)}</div>"
    )
    return Card(title, body, (PINNED, CUT), f"{drawn.key}-{step.number}")


def _texts(lines: tuple[str, ...], kind: str = "") -> str:
    of_kind = f' class="{kind}"' if kind else ""
    return "".join(f"<p{of_kind}>{escape(line)}</p>" for line in lines)
