"""The chart of a comparison as light SVG: what to buy, and what it costs, against the width.

It tells what `plans.compare.chart` draws: a panel for each set of roles and direction of nap, one
more for cost where it is known, a line and a mark for each fold, what needs least ringed.
"""

from __future__ import annotations

import math
from statistics import fmean
from typing import Any

from fabrics.fold_words import taught_name
from fabrics.spread import Fold
from pieces.lengths import INCH_MM, YARD_MM, System
from plans.compare.cells import Cell
from plans.compare.chart_marks import asides, told_together, widths_text
from plans.page.comparing.showing import group_title

WIDE, HIGH = 360.0, 266.0
LEFT, RIGHT, TOP, LOW = 44.0, 12.0, 28.0, 40.0
"""Of a panel and the room around its axes, in units of its picture."""

MARK = 4.2
"""Radius of a mark."""

MARKS = (
    "M{x},{t}A{r},{r},0,1,1,{x},{b}A{r},{r},0,1,1,{x},{t}Z",
    "M{l},{t}L{m},{t}L{m},{b}L{l},{b}Z",
    "M{x},{t}L{m},{b}L{l},{b}Z",
    "M{x},{t}L{m},{y}L{x},{b}L{l},{y}Z",
    "M{x},{b}L{m},{t}L{l},{t}Z",
    "M{l},{y}L{m},{t}L{m},{b}Z",
    "M{m},{y}L{l},{t}L{l},{b}Z",
)
"""Shapes of marks: a fold is told by line, mark and hue, each by itself enough."""

LONGEST_NAME = 22
"""Letters of a fabric's name beside its mark."""

SAMPLE = 27.0, 8.0
"""Where the mark of a fold stands in its line of the legend."""

LEAST_GAP = 34.0
"""Two figures below an axis stand no nearer; nearer ones stand together."""

ASIDE = 2.0 * MARK + 1.0
"""From mark to mark where they would lie on one another."""


def chart_of(cells: tuple[Cell, ...], system: System) -> list[dict[str, Any]]:
    """Panels with all that is to be drawn, ready to be put into a picture."""
    found = [cell for cell in cells if cell.buy is not None]
    panels = []
    for roles, one_way in dict.fromkeys((cell.roles, cell.one_way) for cell in found):
        mine = [cell for cell in found if (cell.roles, cell.one_way) == (roles, one_way)]
        title = group_title(roles, one_way)
        panels.append(_panel(mine, title, False, system))
        priced = [cell for cell in mine if cell.cost is not None]
        if priced:
            panels.append(_panel(priced, title, True, system))
    return panels


def _panel(cells: list[Cell], title: str, cost: bool, system: System) -> dict[str, Any]:
    imperial = system is System.IMPERIAL
    wide = INCH_MM if imperial else 10.0
    long = YARD_MM if imperial else 1000.0
    values = [_value(cell, cost, long) for cell in cells]
    step = nice_step(max(values))
    top = step * max(1, math.ceil(max(values) / step - 1e-9))
    widths = sorted({round(cell.width / wide, 1) for cell in cells})
    spread = widths[-1] - widths[0] or 10.0
    low, high = widths[0] - 0.13 * spread, widths[-1] + 0.13 * spread

    def x(cell: Cell) -> float:
        return _at(LEFT, WIDE - RIGHT, (cell.width / wide - low) / (high - low))

    def y(value: float) -> float:
        return _at(HIGH - LOW, TOP, value / top)

    by_fold = sorted(cells, key=lambda cell: tuple(Fold).index(cell.fold))
    beside = asides([(x(cell), _value(cell, cost, long)) for cell in by_fold], ASIDE)
    marked = {
        id(cell): (x(cell) + aside, y(_value(cell, cost, long)))
        for cell, aside in zip(by_fold, beside, strict=True)
    }

    currency = next((cell.currency for cell in cells if cell.currency), "")
    money = f"cost ({currency})" if currency else "cost"
    what = money if cost else f"to buy ({'yd' if imperial else 'm'})"
    lines: list[dict[str, Any]] = []
    for n, fold in enumerate(Fold):
        mine = [cell for cell in cells if cell.fold is fold]
        if not mine:
            continue
        # Plain widths make a line; a fabric of the shelf is a mark of its own.
        points = sorted((x(cell), y(_value(cell, cost, long))) for cell in mine if cell.plain)
        line = " ".join(f"{px:.1f},{py:.1f}" for px, py in points)
        lines.append(
            {
                "fold": n % len(MARKS),
                "name": taught_name(fold),
                "line": f"M{line}" if line else "",
                "sample": mark(n, *SAMPLE),
                "marks": "".join(mark(n, *marked[id(cell)]) for cell in mine),
            }
        )
    names = []
    for name in dict.fromkeys(cell.cloth for cell in cells if not cell.plain):
        mine = [cell for cell in cells if cell.cloth == name]
        lowest = min(mine, key=lambda cell: _value(cell, cost, long))
        at = x(lowest)
        side = "begin" if at < WIDE / 3.0 else "end" if at > WIDE / 1.5 else "middle"
        short = name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 3]}..."
        place = {"x": round(at, 1), "y": round(y(_value(lowest, cost, long)) + 19.0, 1)}
        names.append({**place, "text": short, "side": side})
    best = [marked[id(cell)] for cell in cells if cell.best]
    ticks = [k * step for k in range(round(top / step) + 1)]
    return {
        "title": title,
        "what": what,
        "across": f"width ({'in' if imperial else 'cm'})",
        "view": f"0 0 {WIDE:g} {HIGH:g}",
        "axes": f"M{LEFT},{TOP}V{HIGH - LOW}H{WIDE - RIGHT}",
        "grid": "".join(f"M{LEFT},{y(tick):.1f}H{WIDE - RIGHT}" for tick in ticks[1:]),
        "ticks": [
            *({"x": LEFT - 5, "y": round(y(tick) + 4, 1), "text": f"{tick:g}", "end": True}
              for tick in ticks),
            *_below(widths, low, high),
        ],
        "names": names,
        "lines": lines,
        "rings": "".join(mark(0, px, py, 1.7) for px, py in best),
        "words": (
            f"{title}. {what} against width: {', '.join(line['name'] for line in lines)}; least "
            f"{min(values):.2f}, most {max(values):.2f}. The table has every figure."
        ),
    }  # fmt: skip


def mark(kind: int, x: float, y: float, times: float = 1.0) -> str:
    """Path data of a mark at a place."""
    r = MARK * times
    shape = MARKS[kind % len(MARKS)]
    return shape.format(
        x=round(x, 1), y=round(y, 1), r=round(r, 1), l=round(x - r, 1), m=round(x + r, 1),
        t=round(y - r, 1), b=round(y + r, 1),
    )  # fmt: skip


def nice_step(most: float) -> float:
    """A step of 1, 2 or 5 times a power of ten that parts an axis into three to six."""
    if not 0.0 < most < math.inf:
        return 1.0
    power = 10.0 ** math.floor(math.log10(most / 3.0))
    return next(power * k for k in (1.0, 2.0, 5.0, 10.0) if most / (power * k) <= 6.0)


def _below(widths: list[float], low: float, high: float) -> list[dict[str, Any]]:
    """Widths that are named below the axis, in the middle of those that they name."""
    per_width = (WIDE - RIGHT - LEFT) / (high - low)
    return [
        {
            "x": round(LEFT + (fmean(near) - low) * per_width, 1), "y": HIGH - LOW + 16,
            "text": widths_text(near), "end": False,
        }
        for near in told_together(widths, LEAST_GAP / per_width)
    ]  # fmt: skip


def _at(begin: float, end: float, share: float) -> float:
    return begin + (end - begin) * share


def _value(cell: Cell, cost: bool, unit: float) -> float:
    return (cell.cost or 0.0) if cost else (cell.buy or 0.0) / unit
