"""One fabric of a plan as plain data for the plan's JSON, and back.

What comes through has sections that hold what lies on them, plies that its folds have, and shares
that are not more than the cloth.
"""

from __future__ import annotations

from typing import Any

from fabrics.buying import Purchase
from fabrics.fabric import Fabric
from fabrics.fabric_data import FABRIC
from fabrics.spread import Fold, SpreadError, make_spread
from layout.bounds.terms.bound import BoundKind, Share
from layout.layout import EndedBy
from pieces.files.json_file import Fields
from pieces.files.kinds import (
    DECIMALS,
    FLAG,
    LONG_TEXT,
    LONG_TEXTS,
    TEXT,
    WORKED_OUT,
    choice,
    each,
    money,
    one,
    told,
    whole,
    wholes,
)
from pieces.files.record import WHOLE, Entry, Group, Kind, Record, taken_out
from plans.data.leftover_data import ALLOWANCES, REGION
from plans.data.placement_data import PLACEMENT
from plans.plan import Changed, FabricPlan, FoldReport, PlacedPiece, SectionPlan

LENGTH, MORE_THAN_NOTHING = WORKED_OUT.number(), WORKED_OUT.number(above=0.0)

SHARES_MOST = 1.0 + 1e-6
"""Shares of the cloth, after rounding."""

SHARE = WORKED_OUT.number(most=SHARES_MOST)

BEYOND_MM = 1.0
"""What lies on a section may reach beyond its stated extent by this much, after rounding."""


def _roles(data: Fields, name: str) -> tuple[str, ...]:
    roles = data.texts(name)
    if not roles and data.data.get(name) == []:
        data.fault(name, "is empty", "what the fabric is for: at least one role")
    return roles


def _waste(entry: FabricPlan) -> float:
    """Its parts as they are written add up to it."""
    leftover, scrap = (round(s, DECIMALS) for s in (entry.leftover_share, entry.scrap_share))
    return WORKED_OUT.figure(leftover + scrap)


def _traced(entry: FabricPlan) -> float:
    # A tenth of a mm is plenty; what outlines read back add up to differs in the last digit.
    return round(entry.traced, 1)


def _present(data: dict[str, Any]) -> dict[str, Any]:
    """Earlier plans kept some of the fabric beside the details only, and laid the shortest."""
    details = data.get("details")
    fabric = details.get("fabric") if isinstance(details, dict) else None
    if isinstance(details, dict) and isinstance(fabric, dict):
        beside = {
            field: data[source]
            for field, source in (
                ("name", "fabric"),
                ("width_mm", "width_mm"),
                ("selvage_mm", "selvage_mm"),
                ("one_way", "one_way"),
                ("currency", "currency"),
            )
            if source in data
        }
        data["details"] = {**details, "fabric": {**beside, **fabric}}
    if "length_mm" in data:
        data.setdefault("laid_mm", data["length_mm"])
    return data


def _checked(data: Fields, values: dict[str, Any]) -> dict[str, Any]:
    shares = values["leftover_share"] + values["scrap_share"]
    if shares > SHARES_MOST:
        data.fault("scrap_share", "leftovers and scrap are more than all of the cloth")
    sections = tuple(
        _section(data, k, section, values["fabric"]) for k, section in enumerate(values["sections"])
    )
    # What lies on sections that are not sound cannot be judged.
    if data.sound("sections", "details.fabric"):
        for k, placed in enumerate(values["placements"]):
            _judge(data, f"placements[{k}]", placed, sections)
    purchase = Purchase(**taken_out(values, "purchase"))
    return values | {
        "sections": sections, "purchase": purchase, "pieces_share": 1.0 - shares,
    }  # fmt: skip


def _section(data: Fields, k: int, values: dict[str, Any], fabric: Fabric) -> SectionPlan:
    """Spread a section on its cloth."""
    given, spread = taken_out(values, "spread"), make_spread(Fold.OPEN, 1000.0)
    if data.sound(f"sections[{k}]", "details.fabric"):
        try:
            spread = make_spread(
                given["fold"],
                fabric.width_cut,
                fabric.selvage_cut,
                given["d1"],
                given["d2"],
                fabric.faces,
            )
        except SpreadError as error:
            data.fault(f"sections[{k}].fold", f"cannot be on this cloth: {error}")
    return SectionPlan(spread=spread, **values)


def _judge(
    data: Fields, place: str, placed: PlacedPiece, sections: tuple[SectionPlan, ...]
) -> None:
    """See that a piece lies on its section, in plies that are there."""
    if placed.section >= len(sections):
        data.fault(
            f"{place}.section", f"{placed.section} cannot be", f"from 0 to {len(sections) - 1}"
        )
        return
    on = sections[placed.section]
    known = [ply.name for ply in on.spread.plies]
    for ply in placed.plies:
        if ply not in known:
            data.fault(
                f"{place}.plies", f"'{ply.value}' is no ply of this fold",
                f"one of {', '.join(name.value for name in known)}",
            )  # fmt: skip
    xs, ys = zip(*placed.outline, strict=True)
    inside = (
        min(xs) >= -BEYOND_MM
        and max(xs) <= on.extent + BEYOND_MM
        and min(ys) >= -BEYOND_MM
        and max(ys) <= on.spread.lay_height + BEYOND_MM
    )
    if not inside and data.sound(f"{place}.lay_outline"):
        data.fault(f"{place}.lay_outline", "lies beyond the cloth of its section")


SECTION: Record[dict[str, Any]] = Record(
    dict,
    (
        Entry("name", TEXT),
        Entry("d1_mm", LENGTH, "spread.d1"),
        Entry("d2_mm", LENGTH, "spread.d2"),
        Entry("cloth_from_mm", LENGTH, "cloth_from"),
        Entry("cloth_to_mm", LENGTH, "cloth_to"),
        Entry("fold", choice(Fold, lambda fold: not fold.sectioned), "spread.fold"),
        Entry("extent_mm", MORE_THAN_NOTHING, "extent"),
        Entry("lay_length_mm", LENGTH, "lay_length"),
        Entry("start_mm", LENGTH, "start"),
        Entry("how", LONG_TEXT),
        Entry("folded_at_mm", WORKED_OUT.optional(), "folded_at", older=None, spared=True),
    ),
)
"""What is read of it is spread only when its cloth is known."""

FOLD_REPORT = Record(
    FoldReport,
    (
        Entry("fold", choice(Fold)),
        Entry("buy_mm", WORKED_OUT.optional(), "buy"),
        Entry("length_mm", WORKED_OUT.optional(), "length"),
        Entry("reason", LONG_TEXT),
    ),
)

SHARE_OF_BOUND = Record(
    Share,
    (Entry("piece", TEXT, "key"), Entry("copies", whole(1)), Entry("length_mm", LENGTH, "length")),
)

CHANGED = Record(
    Changed,
    (
        Entry("found_mm", MORE_THAN_NOTHING, "length"),
        Entry("found_buy_mm", LENGTH, "bought"),
        Entry("kept", wholes(1), older=(), spared=True),
    ),
)

FABRIC_PLAN = Record(
    FabricPlan,
    (
        Entry("roles", Kind(_roles, list)),
        Entry("fabric", TEXT, "fabric.name", told=True),
        Entry("width_mm", LENGTH, "fabric.width", told=True),
        Entry("selvage_mm", LENGTH, "fabric.selvage", told=True),
        Entry("width_cut_mm", LENGTH, "fabric.width_cut", told=True),
        Entry("selvage_cut_mm", LENGTH, "fabric.selvage_cut", told=True),
        Entry("one_way", FLAG, "fabric.one_way", told=True),
        Entry("gap_mm", LENGTH, "gap"),
        Entry("ends_mm", LENGTH, "ends"),
        Entry("fold", choice(Fold)),
        Entry("sections", each(SECTION, 1)),
        Entry("length_mm", MORE_THAN_NOTHING, "length"),
        Entry("laid_mm", MORE_THAN_NOTHING, "laid"),
        Entry("slide_mm", LENGTH, "slide", older=0.0),
        Entry("bound_mm", LENGTH, "bound"),
        Entry("bound_kind", choice(BoundKind)),
        Entry("bound_pieces", each(SHARE_OF_BOUND), "bound_shares", older=(), spared=True),
        Entry("bound_across", whole(), older=0, spared=True),
        Entry("boxes_mm", LENGTH, "boxes"),
        Entry("buy_mm", LENGTH, "purchase.bought"),
        Entry("min_width_mm", LENGTH, "min_width"),
        Entry("utilisation", WORKED_OUT.number(most=1.01)),
        Entry("waste", told(_waste), WHOLE, told=True),
        Entry("leftover_share", SHARE),
        Entry("scrap_share", SHARE),
        Entry("cost", money(), "purchase.cost"),
        Entry("currency", TEXT, "purchase.currency"),
        Entry("trace_mm", told(_traced), WHOLE, told=True),
        Entry("trace_spared_mm", LENGTH, "spared", older=0.0, spared=True),
        Entry("ended_by", choice(EndedBy)),
        Entry("changed", one(CHANGED), older=None, spared=True),
        Entry("placements", each(PLACEMENT, 1)),
        Group(
            "details",
            (
                Entry("fabric", one(FABRIC)),
                Group(
                    "purchase",
                    (
                        Entry("exact_mm", LENGTH, "purchase.exact"),
                        Entry("unwashed_mm", LENGTH, "purchase.unwashed"),
                        Entry("margin_mm", LENGTH, "purchase.margin"),
                        Entry("bought_washed_mm", LENGTH, "purchase.bought_washed"),
                    ),
                ),
                Entry("leftovers", each(REGION)),
                Entry("other_folds", each(FOLD_REPORT)),
                Entry("notes", LONG_TEXTS),
                Entry("warnings", LONG_TEXTS, older=()),
                ALLOWANCES,
            ),
        ),
    ),
    _checked,
    _present,
)
