"""The lays of a plan as a sheet: every section of every fabric, one below another."""

from __future__ import annotations

import textwrap

from pieces.geometry_types import Point
from plans.errors import PlanError
from plans.full_size.labels import fitted_label
from plans.full_size.marks import LINE_SPACING
from plans.full_size.sheet import Group, Label, Line, LineKind, Sheet, idents
from plans.plan import FabricPlan, PlacedPiece, Plan, SectionPlan
from plans.words.piece_names import piece_words
from plans.words.pinning import cut_shares

APART_MM = 150.0
"""Between one lay and the next; the words of a lay stand there."""

HEADING_MM = 11.0


def lays_sheet(plan: Plan) -> Sheet:
    """Put every lay of a plan on a sheet: pieces as placed, fold lines, limits of usable cloth."""
    if not plan.fabrics:
        raise PlanError(
            f"{plan.title}: nothing of it is cut from bought cloth; what lies on leftovers is "
            "drawn on the sheets of the plan"
        )
    groups: list[Group] = []
    top = 0.0
    for entry in plan.fabrics:
        shares = cut_shares(entry)
        for index, section in enumerate(entry.sections):
            low = top - section.spread.lay_height
            groups.append(_lay(entry, index, section, low))
            groups += [
                _placed(placed, shares[placed.number], low)
                for placed in entry.placements
                if placed.section == index
            ]
            top = low - APART_MM
    names = idents([group.name for group in groups])
    told = tuple(
        Group(g.name, ident, g.lines, g.notches, g.label)
        for g, ident in zip(groups, names, strict=True)
    )
    return Sheet(plan.title, told, False)


def _lay(entry: FabricPlan, index: int, section: SectionPlan, low: float) -> Group:
    spread, end = section.spread, section.lay_length
    height = spread.lay_height
    frame = ((0.0, low), (end, low), (end, low + height), (0.0, low + height))
    lines = [Line(LineKind.CLOTH, frame, closed=True)]
    folded = []
    for edge in spread.fold_edges:
        ends = ((0.0, edge.at), (end, edge.at)) if edge.along else (
            (edge.at, 0.0), (edge.at, height)
        )  # fmt: skip
        lines.append(Line(LineKind.FOLDED, tuple((x, y + low) for x, y in ends)))
        folded.append(edge.at if edge.along else -1.0)
    limits = sorted({round(y, 6) for zone in spread.zones for y in (zone.y_from, zone.y_to)})
    for y in limits:
        if 0.0 < y < height and all(abs(y - at) > 1e-6 for at in folded):
            lines.append(Line(LineKind.USABLE, ((0.0, y + low), (end, y + low))))
    name = f"{' and '.join(entry.roles)}: {entry.fabric.title}"
    if len(entry.sections) > 1:
        name += f", section {index + 1}"
    words = textwrap.wrap(f"{name}. {section.how}", max(30, int(end / (0.55 * HEADING_MM))))
    above = low + height + 5.0 + len(words) * HEADING_MM * LINE_SPACING / 2.0
    label = Label(tuple(words), (0.0, above), HEADING_MM, from_left=True)
    return Group(name, "", tuple(lines), label=label)


def _placed(placed: PlacedPiece, words: str, low: float) -> Group:
    def moved(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x, y + low) for x, y in points)

    lines = [
        Line(LineKind.OUTLINE, moved(placed.outline), closed=True),
        Line(LineKind.GRAIN, moved(placed.grain)),
    ]
    if placed.fold_edge is not None:
        lines.append(Line(LineKind.FOLD, moved(placed.fold_edge)))
    name = f"{placed.number} {piece_words(placed)}"
    words += ", upper ply only" if placed.upper_only else ""
    if placed.face_down:
        words += ", printed side down"
    return Group(name, "", tuple(lines), label=fitted_label(lines, ((name, words), (name,))))
