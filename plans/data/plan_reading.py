"""Reading a plan back from plain data: every field is checked, so that drawing can rely on it.

Lengths in mm. A plan that comes through has outlines with an area, sections that hold what lies on
them, plies that its folds have, and figures that are numbers.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from fabrics.buying import Purchase
from fabrics.fabric import Fabric
from fabrics.fabric_data import read_fabric
from fabrics.lay_edges import EdgeName
from fabrics.ply_name import PlyName
from fabrics.spread import Fold, Spread, SpreadError, make_spread
from layout.bounds import BoundKind
from layout.hand import Hand
from layout.layout import EndedBy
from pieces.files.json_file import Fields
from pieces.findings import Finding
from pieces.piece import MatchPoint
from plans.data.leftover_data import read_allowances, read_cut, read_leftover, read_saving
from plans.plan import (
    Copy,
    FabricPlan,
    FoldReport,
    PinPoint,
    PlacedPiece,
    Plan,
    SectionPlan,
)

HANDS = tuple(hand.value for hand in Hand)
PLIES = {ply.value: ply for ply in PlyName}
EDGES = tuple(edge.value for edge in EdgeName)
FOLDS = tuple(fold.value for fold in Fold)
SECTION_FOLDS = tuple(fold.value for fold in Fold if fold is not Fold.SECTIONED)

MOST_MAKES = 100_000

SHARES_MOST = 1.0 + 1e-6
"""Shares of the cloth, after rounding."""

BEYOND_MM = 1.0
"""What lies on a section may reach beyond its stated extent by this much, after rounding."""


def read_plan_data(data: Any, file: str) -> tuple[Plan, list[Finding]]:
    """Read a plan; it may be used only if nothing was found."""
    findings: list[Finding] = []
    fields = Fields(data, file, findings)
    plan = Plan(
        garment=fields.text("garment"),
        title=fields.text("title"),
        makes=fields.whole("makes", 1, MOST_MAKES),
        fabrics=tuple(_fabric_plan(entry) for entry in fields.each("fabrics")),
        missing_roles=fields.texts("missing_roles"),
        cautions=fields.texts("cautions", long=True),
        on_leftovers=tuple(read_cut(cut) for cut in fields.each("on_leftovers", default=[])),
        savings=tuple(read_saving(saving) for saving in fields.each("savings", default=[])),
    )
    return plan, findings


def _fabric_plan(data: Fields) -> FabricPlan:
    details = data.fields("details")
    fabric = _fabric(data, details)
    bought = details.fields("purchase")
    leftover_share = data.number("leftover_share", most=SHARES_MOST)
    scrap_share = data.number("scrap_share", most=SHARES_MOST)
    if leftover_share + scrap_share > SHARES_MOST:
        data.fault("scrap_share", "leftovers and scrap are more than all of the cloth")
    length = data.number("length_mm", above=0.0)
    before = len(data.findings)
    sections = tuple(_section(entry, fabric) for entry in data.each("sections", 1))
    # What lies on sections that are not sound cannot be judged.
    judged = sections if len(data.findings) == before else ()
    return FabricPlan(
        roles=_roles(data),
        fabric=fabric,
        fold=Fold(data.text("fold", FOLDS)),
        sections=sections,
        placements=tuple(_placement(entry, judged) for entry in data.each("placements", 1)),
        gap=data.number("gap_mm"),
        ends=data.number("ends_mm"),
        slide=data.number("slide_mm", default=0.0),
        length=length,
        laid=data.number("laid_mm", above=0.0, default=length),
        bound=data.number("bound_mm"),
        bound_kind=BoundKind(data.text("bound_kind", [kind.value for kind in BoundKind])),
        boxes=data.number("boxes_mm"),
        purchase=Purchase(
            exact=bought.number("exact_mm"),
            unwashed=bought.number("unwashed_mm"),
            margin=bought.number("margin_mm"),
            bought=data.number("buy_mm"),
            bought_washed=bought.number("bought_washed_mm"),
            cost=data.optional_number("cost", most=1e12),
            currency=data.text("currency"),
        ),
        min_width=data.number("min_width_mm"),
        utilisation=data.number("utilisation", most=1.01),
        leftovers=tuple(read_leftover(entry) for entry in details.each("leftovers")),
        pieces_share=1.0 - leftover_share - scrap_share,
        leftover_share=leftover_share,
        scrap_share=scrap_share,
        other_folds=tuple(_fold_report(entry) for entry in details.each("other_folds")),
        notes=details.texts("notes", long=True),
        ended_by=EndedBy(data.text("ended_by", [end.value for end in EndedBy])),
        # Earlier plans of this version knew no warnings.
        allowances=read_allowances(details),
        warnings=details.texts("warnings", long=True) if "warnings" in details.data else (),
    )


def _roles(data: Fields) -> tuple[str, ...]:
    roles = data.texts("roles")
    if not roles and data.data.get("roles") == []:
        data.fault("roles", "is empty", "what the fabric is for: at least one role")
    return roles


def _fabric(data: Fields, details: Fields) -> Fabric:
    # Earlier plans of this version kept these beside the details only.
    more = details.fields("fabric")
    beside = {
        field: data.data[source]
        for field, source in (
            ("name", "fabric"),
            ("width_mm", "width_mm"),
            ("selvage_mm", "selvage_mm"),
            ("one_way", "one_way"),
            ("currency", "currency"),
        )
        if source in data.data
    }
    more.data = {**beside, **more.data}
    return read_fabric(more)


def _fold_report(data: Fields) -> FoldReport:
    return FoldReport(
        Fold(data.text("fold", FOLDS)),
        data.optional_number("buy_mm"),
        data.optional_number("length_mm"),
        data.text("reason", long=True),
    )


def _section(data: Fields, fabric: Fabric) -> SectionPlan:
    before = len(data.findings)
    fold = Fold(data.text("fold", SECTION_FOLDS))
    d1, d2 = data.number("d1_mm"), data.number("d2_mm")
    extent = data.number("extent_mm", above=0.0)
    section = SectionPlan(
        name=data.text("name"),
        spread=make_spread(Fold.OPEN, 1000.0),
        extent=extent,
        lay_length=data.number("lay_length_mm"),
        start=data.number("start_mm"),
        cloth_from=data.number("cloth_from_mm"),
        cloth_to=data.number("cloth_to_mm"),
        how=data.text("how", long=True),
    )
    if len(data.findings) > before:
        return section
    try:
        return replace(section, spread=_spread(fold, d1, d2, fabric))
    except SpreadError as error:
        data.fault("fold", f"cannot be on this cloth: {error}")
        return section


def _spread(fold: Fold, d1: float, d2: float, fabric: Fabric) -> Spread:
    given = fold in (Fold.PARTIAL, Fold.DOUBLE)
    return make_spread(
        fold,
        fabric.width_cut,
        fabric.selvage_cut,
        d1 if given else None,
        d2 if fold is Fold.DOUBLE else None,
        fabric.faces,
    )


def _placement(data: Fields, sections: tuple[SectionPlan, ...]) -> PlacedPiece:
    outline = data.ring("lay_outline")
    plies = data.texts("plies", 1)
    index = data.whole("section", 0, max(0, len(sections) - 1) if sections else 1_000)
    if sections:
        _within(data, outline, plies, sections[index])
    names = _pin_edges(data)
    pins = [_pin(data, k, pin, names[k]) for k, pin in enumerate(data.items("pins", 2, 2))]
    # Earlier plans of this version told by a note how a piece is cut.
    earlier = data.text("note", default="", long=True)
    fold_edge = None
    if data.data.get("fold_edge", 0) is not None:
        fold_edge = data.line_of("fold_edge")
    return PlacedPiece(
        number=data.whole("number", 1),
        piece=data.text("piece"),
        role=data.text("role"),
        label=data.text("label"),
        section=index,
        plies=tuple(PLIES[ply] for ply in plies if ply in PLIES),
        outline=outline,
        grain=data.line_of("lay_grain"),
        face_down=data.flag("face_down"),
        on_fold=data.flag("on_fold"),
        fold_edge=fold_edge,
        upper_only=data.flag("upper_only", default="upper ply only" in earlier),
        opened=data.flag("opened", default="opened out" in earlier),
        pins=(pins[0], pins[1]) if len(pins) == 2 else (PinPoint(0.0, 0.0, names[0]),) * 2,
        copies=tuple(_copy(copy, plies) for copy in data.each("copies", 1)),
        match=tuple(_match(mark) for mark in data.each("match", default=[])),
    )


def _match(data: Fields) -> MatchPoint:
    return MatchPoint(data.text("group"), data.point("at"))


def _pin_edges(data: Fields) -> tuple[EdgeName, EdgeName]:
    """Names of the edges that the two ends of the arrow are measured from."""
    if "pin_edges" not in data.data:
        name = EdgeName(data.text("pin_edge", EDGES))
        return name, name
    names = data.texts("pin_edges")
    if len(names) != 2:
        data.fault("pin_edges", "is no pair of names", "one for each end of the arrow")
        return EdgeName.FOLD, EdgeName.FOLD
    for text in names:
        if text not in EDGES:
            data.fault("pin_edges", f"'{text}' is no edge of a lay", f"one of {', '.join(EDGES)}")
            return EdgeName.FOLD, EdgeName.FOLD
    return EdgeName(names[0]), EdgeName(names[1])


def _within(
    data: Fields, outline: tuple[tuple[float, float], ...], plies: tuple[str, ...], on: SectionPlan
) -> None:
    known = [ply.name.value for ply in on.spread.plies]
    for ply in plies:
        if ply not in known:
            data.fault("plies", f"'{ply}' is no ply of this fold", f"one of {', '.join(known)}")
    xs, ys = zip(*outline, strict=True)
    inside = (
        min(xs) >= -BEYOND_MM
        and max(xs) <= on.extent + BEYOND_MM
        and min(ys) >= -BEYOND_MM
        and max(ys) <= on.spread.lay_height + BEYOND_MM
    )
    if not inside:
        data.fault("lay_outline", "lies beyond the cloth of its section")


def _pin(data: Fields, k: int, value: Any, edge: EdgeName) -> PinPoint:
    pair = Fields(
        dict(zip(("0", "1"), value, strict=False)) if isinstance(value, list) else value,
        data.file, data.findings, f"{data.path('pins')}[{k}]", data.line,
    )  # fmt: skip
    return PinPoint(pair.number("0"), pair.number("1"), edge)


def _copy(data: Fields, plies: tuple[str, ...]) -> Copy:
    ply = data.text("ply")
    if plies and ply not in plies and len(ply) > 0:
        data.fault("ply", f"'{ply}' is none that its piece is cut through", ", ".join(plies))
    return Copy(
        data.ring("outline"),
        Hand(data.text("hand", HANDS)),
        PLIES.get(ply, PlyName.LOWER),
        data.number("heading_deg", -360.0, 360.0),
    )
