"""The facts of a plan in words and figures, as rows that every output renders alike."""

from __future__ import annotations

import textwrap
from collections.abc import Callable

from fabrics.fold_words import taught_name
from fabrics.price import money
from layout.layout import EndedBy
from pieces.lengths import YARD_MM, System, format_length, shown_rest
from plans.plan import FabricPlan, FoldReport, Plan
from plans.words.account_lines import account, account_words
from plans.words.columns import length_column, per_words
from plans.words.key_figures import SEEN_MM, key_figures
from plans.words.leftover_lines import leftover_lines
from plans.words.line import Line
from plans.words.purchase_words import (
    about_text,
    buy_words,
    shopping_line,
    shown_ends,
    sold_by,
    sold_text,
    step_text,
)

COLUMNS = 98


def arithmetic(entry: FabricPlan, system: System) -> tuple[Line, ...]:
    """Follow the purchase line by line, from the lay to the till."""

    def tape(length: float) -> str:
        return format_length(length, system)

    def result(length: float) -> str:
        # One unit down the column: cloth is bought in metres, so that all of it is in metres.
        metric = system is System.METRIC
        return f"{length / 1000.0:.3f} m" if metric else format_length(length, system)

    fabric, bought = entry.fabric, entry.purchase
    before_slide = shown_rest(system, entry.length, entry.slide)
    extent = entry.length - entry.ends - entry.slide if entry.ends else before_slide
    lines = [Line("pieces, along the washed cloth", _layout_words(entry, system), result(extent))]
    if entry.ends:
        how = f"{tape(extent)} + {tape(shown_ends(entry, system))} for both together"
        lines.append(Line("squared-off ends", how, result(before_slide)))
    if entry.slide:
        how = f"{tape(before_slide)} + up to one repeat, {tape(entry.slide)}"
        lines.append(Line("to begin where you want in the design", how, result(entry.length)))
    total = bought.unwashed + bought.margin
    if fabric.washed:
        lines.append(Line("shrinkage", "the cloth is washed already", result(bought.unwashed)))
    elif fabric.shrink_along:
        kept = 1.0 - fabric.shrink_along
        lines.append(
            Line(
                f"before washing ({fabric.shrink_along * 100:g} % shrinks away)",
                f"{tape(entry.length)} / {kept:g}",
                result(bought.unwashed),
            )
        )
    if bought.margin:
        margin = shown_rest(system, total, bought.unwashed)
        lines.append(
            Line(
                "safety margin",
                f"{tape(bought.unwashed)} + {tape(margin)}",
                result(total),
            )
        )
    least = f", at least {sold_text(entry, fabric.minimum, system)}" if fabric.minimum else ""
    lines.append(
        Line(
            buy_words(entry),
            f"rounded up to steps of {step_text(entry)}{least}"
            f"{_beside(entry, bought.bought, system)}",
            sold_text(entry, bought.bought, system),
        )
    )
    if fabric.on_hand is not None:
        how = _spare_words(fabric.on_hand, bought.bought, fabric.washed, system)
        rest = max(0.0, shown_rest(system, fabric.on_hand, bought.bought))
        lines.append(Line("left of what is on hand", how, result(rest)))
    if bought.cost is not None and fabric.price is not None:
        lines.append(
            Line(
                "cost",
                _cost_words(entry, system),
                f"{money(bought.cost)} {bought.currency}".strip(),
            )
        )
    usable = fabric.width_cut - 2.0 * fabric.selvage_cut
    both = shown_rest(system, fabric.width, fabric.width - 2.0 * fabric.selvage)
    how = f"{tape(fabric.width)} - {tape(both)} for both selvages"
    if not fabric.washed and fabric.shrink_across:
        how = f"({how}) x {1.0 - fabric.shrink_across:g} after washing"
    lines.append(Line("usable width", how, result(usable)))
    return tuple(lines)


def _beside(entry: FabricPlan, length: float, system: System) -> str:
    """A purchase in the units of the column that it closes, where those are not the shop's."""
    if entry.fabric.on_hand is None and sold_by(entry, system) is system is System.IMPERIAL:
        return f"; that is {format_length(length, system)}"
    return about_text(entry, length, system)


def _layout_words(entry: FabricPlan, system: System) -> str:
    if entry.laid <= entry.length + SEEN_MM:
        return "from the layout"
    laid = format_length(entry.laid - entry.ends - entry.slide, system)
    return f"shortest layout found (drawn over {laid}: see below)"


def _cost_words(entry: FabricPlan, system: System) -> str:
    fabric, length = entry.fabric, entry.purchase.bought
    price = f"{fabric.price:.2f}"
    per = per_words(fabric.price_unit, sold_by(entry, system))
    own = {System.METRIC: 1000.0, System.IMPERIAL: YARD_MM}[sold_by(entry, system)]
    if abs(fabric.price_unit - own) < 1e-6:
        return f"{sold_text(entry, length, system)} x {price} {per}"
    amount = length / fabric.price_unit
    names = {1000.0: " m", YARD_MM: " yd"}
    name = next((n for unit, n in names.items() if abs(fabric.price_unit - unit) < 1e-6), "")
    return f"{amount:.3f}{name} x {price} {per}"


def _spare_words(on_hand: float, taken: float, washed: bool, system: System) -> str:
    """How it is computed what is left of cloth on hand: for a line of arithmetic."""
    state = "washed" if washed else "unwashed"
    return f"{format_length(on_hand, system)} {state} - {format_length(taken, system)}"


def titled(entry: FabricPlan) -> str:
    """The fabric and what it is for; the title of plain cloth says that already."""
    title = entry.fabric.title
    return title if entry.fabric.lot else f"{title} for {', '.join(entry.roles)}"


def spread_words(entry: FabricPlan, index: int, system: System) -> str:
    """Say how a section is spread, and of several first where it is cut off."""
    section = entry.sections[index]
    if len(entry.sections) == 1:
        return section.how
    return (
        f"Section {section.name}: cut the washed cloth off from "
        f"{format_length(section.cloth_from, system)} to "
        f"{format_length(section.cloth_to, system)}. {section.how}"
    )


def ended_words(entry: FabricPlan) -> str:
    """Say why the search ended, if not because its work was done."""
    if entry.changed is not None and entry.ended_by in (EndedBy.BOUND, EndedBy.TARGET):
        # No search ended with what was put down by hand.
        return ""
    return {
        EndedBy.BOUND: "The search ended: no layout on cloth spread so is shorter.",
        EndedBy.TARGET: "The search ended: nothing shorter on cloth spread so would buy less.",
        EndedBy.NEAR: "The search ended: no layout on cloth spread so is 0.1 % shorter.",
        EndedBy.TIME: "The search ended on its time limit; another run may differ.",
        EndedBy.INTERRUPT: "The search was interrupted; a full run may find a shorter layout.",
    }.get(entry.ended_by, "")


def other_folds(entry: FabricPlan) -> list[FoldReport]:
    """The folds that were not chosen, those that buy least first."""
    return sorted(
        entry.other_folds,
        key=lambda r: (r.buy is None, round(r.buy or 0.0), round(r.length or 0.0), r.fold.value),
    )


def fold_heads(entry: FabricPlan) -> tuple[str, str, str, str]:
    """Head the columns of `fold_rows`: cloth on hand is not bought, but taken."""
    return ("fold", "length", buy_words(entry), "remark")


def fold_rows(entry: FabricPlan, system: System) -> tuple[tuple[str, ...], ...]:
    """What every fold would have needed, the chosen one first."""
    rows = [
        (
            taught_name(entry.fold),
            length_column([entry.length, *(r.length for r in entry.other_folds)], system)[0],
            sold_text(entry, entry.purchase.bought, system),
            "this plan",
        )
    ]
    others = other_folds(entry)
    lengths = length_column([entry.length, *(report.length for report in others)], system)[1:]
    for report, length in zip(others, lengths, strict=True):
        name = taught_name(report.fold)
        if report.buy is None or report.length is None:
            rows.append((name, "-", "-", report.reason))
            continue
        saving = entry.purchase.bought - report.buy
        remark = report.reason or report.fold.remark
        if saving > 0.01:
            remark = f"would save {sold_text(entry, saving, system)}"
        rows.append(
            (
                name,
                length,
                sold_text(entry, report.buy, system),
                remark,
            )
        )
    return tuple(rows)


def plan_text(plan: Plan, system: System, strong: Callable[[str], str] = lambda text: text) -> str:
    """Write a plan for a terminal, 98 columns at most; `strong` marks what is not to be missed."""
    makes = f", {plan.makes} of them" if plan.makes > 1 else ""
    lines = [
        f"{plan.title}{makes}",
        *(line for text in shared_words(plan) for line in _wrapped(text, "")),
        "",
    ]
    for entry in plan.fabrics:
        lines += [*_fabric_text(entry, system, strong), ""]
    if plan.missing_roles:
        lines += [f"Not planned: {', '.join(plan.missing_roles)}", ""]
    lines.append("Shopping list" if plan.fabrics else "Nothing to buy.")
    lines += [
        line for entry in plan.fabrics for line in _wrapped(shopping_line(entry, system), "  ")
    ]
    lines.append("")
    for line in leftover_lines(plan, system):
        lines += line.split("\n") if "\n" in line else _wrapped(line, "  ", "") or [""]
    for caution in plan.cautions:
        lines += _wrapped(caution, "")
    return "\n".join(lines) + "\n"


def shared_words(plan: Plan) -> tuple[str, ...]:
    """Say which roles are cut from one length of cloth; it stands in a plan's first lines."""
    return tuple(
        f"{' and '.join(entry.roles)} are cut together from one length of {entry.fabric.title}."
        for entry in plan.fabrics
        if len(entry.roles) > 1
    )


def _fabric_text(entry: FabricPlan, system: System, strong: Callable[[str], str]) -> list[str]:
    lines = [strong(line) for text in entry.warnings for line in _wrapped(f"! {text}", "  ", "")]
    figures = key_figures(entry, system).rows()
    width = max(len(name) for name, _ in figures)
    for name, value in figures:
        lines += _wrapped(f"{name.ljust(width)}  {value}", " " * (width + 2), "")
    for section in entry.sections:
        if section.extent > 0.0:
            prefix = f"Section {section.name}: " if len(entry.sections) > 1 else ""
            lines += _wrapped(prefix + section.how, "  ", "")
    for line in (*arithmetic(entry, system), *account(entry, system)):
        lines += _three(line)
    lines += _wrapped(account_words(entry), "  ")
    if len(entry.other_folds):
        lines.append("  other folds:")
        rows = fold_rows(entry, system)[1:]
        long, buys = (max(10, *(len(row[column]) for row in rows)) for column in (1, 2))
        indent = " " * (33 + long + buys)
        for name, length, buy, remark in rows:
            text = f"{name:<26} {length:>{long}} {buy:>{buys}}  {remark}"
            lines += _wrapped(text, indent, "    ")
    for note in (*entry.notes, ended_words(entry)):
        if note:
            lines += _wrapped(f"* {note}", "    ", "  ")
    return lines


def _three(line: Line) -> list[str]:
    """Three columns: what, how (wrapped), result."""
    hows = textwrap.wrap(line.how, 46) or [""]
    whats = textwrap.wrap(line.what, 34) or [""]
    rows = []
    for k in range(max(len(hows), len(whats))):
        what = whats[k] if k < len(whats) else ""
        how = hows[k] if k < len(hows) else ""
        rows.append(f"  {what:<35} {how:<47}{line.result if k == 0 else '':>13}".rstrip())
    return rows


def _wrapped(text: str, indent: str, first: str | None = None) -> list[str]:
    return textwrap.wrap(
        text, COLUMNS, initial_indent=indent if first is None else first, subsequent_indent=indent
    )
