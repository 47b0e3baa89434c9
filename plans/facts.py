"""The facts of a plan in words and figures, as rows that every output renders alike."""

from __future__ import annotations

import math
import textwrap

from fabrics.fold_words import explained_name, taught_name
from fabrics.spread import Fold
from pieces.lengths import INCH_MM, System, format_length, format_purchase
from plans.account_lines import account, account_words
from plans.columns import length_column
from plans.leftover_use.words import leftover_lines
from plans.on_hand import spare_words
from plans.plan import FabricPlan, Line, Plan

COLUMNS = 98

FOLD_HEADS = ("fold", "length", "to buy", "remark")


def purchase_text(entry: FabricPlan, length: float, system: System) -> str:
    """Write a purchase in the shop's own measure: eighths of a yard, or metres."""
    return format_purchase(length, System.IMPERIAL if entry.fabric.imperial else system)


def buy_words(entry: FabricPlan) -> str:
    """What is done with the length: bought, or taken of what there is."""
    return "to buy" if entry.fabric.on_hand is None else "to take"


def shopping_line(entry: FabricPlan, system: System) -> str:
    """Say what to ask for in the shop, or what to take of the cloth that there is."""
    if entry.fabric.on_hand is not None:
        tag = f" ({entry.fabric.bolt})" if entry.fabric.bolt else ""
        return (
            f"Take {purchase_text(entry, entry.purchase.bought, system)} of the "
            f"{entry.fabric.title} that you have{tag}."
        )
    text = (
        f"Ask for {purchase_text(entry, entry.purchase.bought, system)} of {entry.fabric.title}, "
        f"at least {_up_to_tape(entry.min_width, system)} wide"
    )
    if entry.purchase.cost is not None:
        text += f" ({entry.purchase.cost:.2f} {entry.purchase.currency})".replace(" )", ")")
    return text + "."


def _up_to_tape(width: float, system: System) -> str:
    """Round a least width up to what a tape shows."""
    step = INCH_MM / 8.0 if system is System.IMPERIAL else 10.0
    return format_length(math.ceil(width / step - 1e-6) * step, system)


def arithmetic(entry: FabricPlan, system: System) -> tuple[Line, ...]:
    """Follow the purchase line by line, from the lay to the till."""

    def tape(length: float) -> str:
        return format_length(length, system)

    fabric, bought = entry.fabric, entry.purchase
    extent = entry.length - entry.ends
    lines = [Line("pieces, along the washed cloth", "from the layout", tape(extent))]
    if entry.ends:
        lines.append(
            Line("squared-off ends", f"{tape(extent)} + {tape(entry.ends)}", tape(entry.length))
        )
    if fabric.washed:
        lines.append(Line("shrinkage", "the cloth is washed already", tape(bought.unwashed)))
    elif fabric.shrink_along:
        kept = 1.0 - fabric.shrink_along
        lines.append(
            Line(
                f"before washing ({fabric.shrink_along * 100:g} % shrinks away)",
                f"{tape(entry.length)} / {kept:g}",
                tape(bought.unwashed),
            )
        )
    if bought.margin:
        lines.append(
            Line(
                "safety margin",
                f"{tape(bought.unwashed)} + {tape(bought.margin)}",
                tape(bought.unwashed + bought.margin),
            )
        )
    step = purchase_text(entry, fabric.step, system)
    least = f", at least {purchase_text(entry, fabric.minimum, system)}" if fabric.minimum else ""
    lines.append(
        Line(
            buy_words(entry),
            f"rounded up to steps of {step}{least}",
            purchase_text(entry, bought.bought, system),
        )
    )
    if fabric.on_hand is not None:
        how, rest = spare_words(fabric.on_hand, bought.bought, fabric.washed, system)
        lines.append(Line("left of what is on hand", how, rest))
    if bought.cost is not None and fabric.price is not None:
        unit = purchase_text(entry, fabric.price_unit, system)
        lines.append(
            Line(
                "cost",
                f"{bought.bought / fabric.price_unit:g} x {fabric.price:.2f} for {unit}",
                f"{bought.cost:.2f} {bought.currency}".strip(),
            )
        )
    usable = fabric.width_cut - 2.0 * fabric.selvage_cut
    how = f"{tape(fabric.width)} - 2 x {tape(fabric.selvage)} selvage"
    if not fabric.washed and fabric.shrink_across:
        how = f"({how}) x {1.0 - fabric.shrink_across:g} after washing"
    lines.append(Line("usable width", how, tape(usable)))
    return tuple(lines)


def key_figures(entry: FabricPlan, system: System) -> tuple[tuple[str, str], ...]:
    """Name the figures that stand at the head of a fabric's plan."""
    above = 100.0 * (entry.length / entry.bound - 1.0) if entry.bound > 0.0 else 0.0
    return (
        ("fabric", entry.fabric.title),
        ("for", ", ".join(entry.roles)),
        ("fold", explained_name(Fold(entry.fold))),
        (buy_words(entry), purchase_text(entry, entry.purchase.bought, system)),
        ("exact length", format_length(entry.length, system)),
        (
            "no layout is shorter than",
            f"{format_length(entry.bound, system)} ({entry.bound_kind}); this one is "
            f"{above:.1f} % above",
        ),
        ("if each piece were a rectangle", f"{format_length(entry.boxes, system)} would be needed"),
        ("utilisation", f"{100.0 * entry.utilisation:.1f} % of exact length x full width"),
        ("narrowest width for this layout", _up_to_tape(entry.min_width, system)),
    )


def ended_words(entry: FabricPlan) -> str:
    """Say if the search was cut short; empty otherwise."""
    return {
        "time": "The search ended on its time limit; another run may differ.",
        "interrupt": "The search was interrupted; a full run may find a shorter layout.",
    }.get(entry.ended_by, "")


def fold_rows(entry: FabricPlan, system: System) -> tuple[tuple[str, ...], ...]:
    """What every fold would have needed, the chosen one first."""
    rows = [
        (
            taught_name(Fold(entry.fold)),
            length_column([entry.length, *(r.length for r in entry.other_folds)], system)[0],
            purchase_text(entry, entry.purchase.bought, system),
            "this plan",
        )
    ]
    others = sorted(
        entry.other_folds,
        key=lambda r: (r.buy is None, round(r.buy or 0.0), round(r.length or 0.0), r.fold),
    )
    lengths = length_column([entry.length, *(report.length for report in others)], system)[1:]
    for report, length in zip(others, lengths, strict=True):
        name = taught_name(Fold(report.fold))
        if report.buy is None or report.length is None:
            rows.append((name, "-", "-", report.reason))
            continue
        saving = entry.purchase.bought - report.buy
        remark = report.reason
        if Fold(report.fold) is Fold.SECTIONED and not remark:
            remark = "cut across, each part folded in its own way"
        if saving > 0.01:
            remark = f"would save {purchase_text(entry, saving, system)}"
        rows.append(
            (
                name,
                length,
                purchase_text(entry, report.buy, system),
                remark,
            )
        )
    return tuple(rows)


def plan_text(plan: Plan, system: System) -> str:
    """Write a plan for a terminal, 98 columns at most."""
    makes = f", {plan.makes} of them" if plan.makes > 1 else ""
    lines = [f"{plan.title}{makes}", ""]
    for entry in plan.fabrics:
        lines += [*_fabric_text(entry, system), ""]
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


def _fabric_text(entry: FabricPlan, system: System) -> list[str]:
    lines: list[str] = []
    figures = key_figures(entry, system)
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
        for name, length, buy, remark in fold_rows(entry, system)[1:]:
            lines += _wrapped(f"{name:<26} {length:>10} {buy:>10}  {remark}", " " * 53, "    ")
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
