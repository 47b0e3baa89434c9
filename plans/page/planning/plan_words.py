"""What is said of a plan: the words of the report, as tables that a template sets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pieces.lengths import System
from plans.drawing.fills import told_by_fill
from plans.page.planning.lay_view import ShownLay, lays_of, leftover_lay
from plans.page.planning.titles import titled
from plans.plan import FabricPlan, LeftoverCopy, LeftoverCut, PieceAllowance, PlacedPiece, Plan
from plans.words import cutting_list, facts, leftover_lines, pinning
from plans.words.account_lines import account, account_words
from plans.words.allowance_table import HEADS as ALLOWANCE_HEADS
from plans.words.allowance_table import allowance_rows
from plans.words.at_table import arrow_on_paper
from plans.words.changed_words import changed_title, changed_words
from plans.words.key_figures import key_figures
from plans.words.purchase_words import shopping_line

Row = tuple[str, ...]


CHANGED = ", changed by hand"


@dataclass(frozen=True)
class Table:
    """A table with a caption; `figures` are the columns that are set right."""

    caption: str
    heads: Row
    rows: tuple[Row, ...]
    figures: tuple[int, ...] = ()
    before: str = ""
    after: str = ""


@dataclass(frozen=True)
class OtherFold:
    """Another fold: what it needs, and its machine name where it can be laid."""

    cells: Row
    fold: str


@dataclass(frozen=True)
class ShownFabric:
    """All about one cloth."""

    number: int
    title: str
    roles: str
    warnings: Row
    figures: tuple[tuple[str, str], ...]
    lays: tuple[ShownLay, ...]
    fills: Row
    notes: Row
    changed: str
    """What was done to it by hand, and what that comes to; empty for nothing."""
    tables: tuple[Table, ...]
    fold_heads: Row
    folds: tuple[OtherFold, ...]


@dataclass(frozen=True)
class ShownLeftover:
    """All about one leftover that is cut from."""

    title: str
    line: str
    frame: str
    lay: ShownLay
    tables: tuple[Table, ...]
    rest: str


@dataclass(frozen=True)
class ShownPlan:
    """All that the view of a plan says."""

    title: str
    """With what marks it, if it was changed by hand."""
    missing: str
    interrupted: bool
    shared: Row
    shopping: Row
    savings: Row
    cautions: Row
    fabrics: tuple[ShownFabric, ...]
    leftovers: tuple[ShownLeftover, ...]


def shown_plan(plan: Plan, system: System) -> ShownPlan:
    """Say all about a plan in the units of a person."""
    return ShownPlan(
        title=titled(plan.title, plan.makes) + (CHANGED if _is_changed(plan) else ""),
        missing=", ".join(plan.missing_roles),
        interrupted=plan.interrupted,
        shared=facts.shared_words(plan),
        shopping=tuple(shopping_line(entry, system) for entry in plan.fabrics),
        savings=tuple(leftover_lines.saving_line(saving, system) for saving in plan.savings),
        cautions=plan.cautions,
        fabrics=tuple(_fabric(entry, k, system) for k, entry in enumerate(plan.fabrics)),
        leftovers=tuple(_leftover(cut, k, system) for k, cut in enumerate(plan.on_leftovers)),
    )


def _is_changed(plan: Plan) -> bool:
    return any(entry.changed is not None for entry in plan.fabrics)


def _fabric(entry: FabricPlan, number: int, system: System) -> ShownFabric:
    tables = [
        Table(
            "Pinning table", pinning.HEADS, pinning.pin_rows(entry, system), pinning.FIGURES,
            before=pinning.pin_words(entry, system),
        ),
        _arrows(entry.placements, system),
        Table("Cutting list", cutting_list.HEADS, cutting_list.cutting_rows(entry)),
        *_allowances(entry.allowances, system),
        Table(
            "How the purchase comes about", ("step", "from", "result"),
            facts.arithmetic(entry, system), (2,),
        ),
        Table(
            "Where the cloth goes", ("part", "what it is", "share"), account(entry, system), (2,),
            after=account_words(entry),
        ),
    ]  # fmt: skip
    told = told_by_fill(entry)
    return ShownFabric(
        number=number,
        title=entry.fabric.title,
        roles=", ".join(entry.roles),
        warnings=entry.warnings,
        figures=key_figures(entry, system).rows(),
        lays=lays_of(entry, f"f{number}s", system),
        fills=told if len(told) > 1 else (),
        notes=tuple(note for note in (*entry.notes, facts.ended_words(entry)) if note),
        changed=_changed(entry, system),
        tables=tuple(tables),
        fold_heads=facts.fold_heads(entry),
        folds=_folds(entry, system),
    )


def _changed(entry: FabricPlan, system: System) -> str:
    title = changed_title(entry)
    return f"{title.capitalize()}: {changed_words(entry, system)}." if title else ""


def _folds(entry: FabricPlan, system: System) -> tuple[OtherFold, ...]:
    """Other folds with what they need, the one of this plan first."""
    if not entry.other_folds:
        return ()
    first, *rows = facts.fold_rows(entry, system)
    others = [
        OtherFold(cells, "" if report.buy is None else report.fold.value)
        for cells, report in zip(rows, facts.other_folds(entry), strict=True)
    ]
    return (OtherFold(first, ""), *others)


def _leftover(cut: LeftoverCut, number: int, system: System) -> ShownLeftover:
    rows = leftover_lines.pin_rows(cut, system)
    return ShownLeftover(
        title=f"Leftover {cut.tag}: {cut.fabric.title}",
        line=leftover_lines.cut_line(cut),
        frame=leftover_lines.FRAME_WORDS,
        lay=leftover_lay(cut, f"l{number}s", system),
        tables=(
            Table("Pinning table", leftover_lines.HEADS, rows, (4, 5, 6, 7)),
            _arrows(cut.copies, system),
            *_allowances(cut.allowances, system),
        ),
        rest=leftover_lines.remaining_words(cut, system),
    )


def _arrows(lying: Sequence[PlacedPiece | LeftoverCopy], system: System) -> Table:
    return Table(
        "Grain arrows on the paper", arrow_on_paper.HEADS,
        arrow_on_paper.arrow_rows(lying, system), arrow_on_paper.FIGURES,
        before=arrow_on_paper.arrow_words(system),
    )  # fmt: skip


def _allowances(allowances: tuple[PieceAllowance, ...], system: System) -> tuple[Table, ...]:
    if not allowances:
        return ()
    return (Table("Seam and hem allowances", ALLOWANCE_HEADS, allowance_rows(allowances, system)),)
