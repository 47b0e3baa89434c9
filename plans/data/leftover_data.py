"""What is cut from leftovers, and what is left, as plain data for a plan's JSON, and back."""

from __future__ import annotations

from fabrics.fabric_data import FABRIC
from fabrics.region import Region
from layout.hand import Hand
from pieces.files.json_file import LONGEST_MM
from pieces.files.kinds import (
    FLAG,
    MOST_MONEY,
    TEXT,
    TEXTS,
    WORKED_OUT,
    choice,
    each,
    money,
    one,
    whole,
    wholes,
)
from pieces.files.record import Entry, Record
from pieces.piece import EdgeAllowance, Side
from plans.plan import LeftoverCopy, LeftoverCut, PieceAllowance, Saving, Whose

MOST_PARTS = 1000

REGION = Record(
    Region,
    (
        Entry("outline", WORKED_OUT.ring),
        Entry("holes", WORKED_OUT.rings),
        Entry("area_mm2", WORKED_OUT.number(above=0.0, most=LONGEST_MM**2), "area"),
        Entry("rectangle_mm", WORKED_OUT.rectangle, "rectangle"),
    ),
)

EDGE = Record(
    EdgeAllowance,
    (
        Entry("edge", TEXT),
        Entry("width_mm", WORKED_OUT.number(), "width"),
        Entry("turned_up", FLAG),
    ),
)

ALLOWANCE = Record(
    PieceAllowance,
    (
        Entry("piece", TEXT),
        Entry("net", FLAG),
        Entry("parts", whole(1, MOST_PARTS), older=1),
        Entry("edges", each(EDGE)),
    ),
)

ALLOWANCES = Entry("allowances", each(ALLOWANCE), older=())
"""Of all pieces of a plan or a leftover."""

SIDE = Entry("side", choice(Side), older=None, spared=True)
"""Side of the wearer that a copy is for, where it is stated; most have none."""

WHOSE = Entry(
    "whose",
    one(
        Record(
            Whose,
            (
                Entry("garment", TEXT),
                Entry("which", wholes(1)),
                Entry("of", whole(1)),
            ),
        )
    ),
    older=None,
    spared=True,
)
"""Whose a piece is, where several garments are cut together."""

COPY = Record(
    LeftoverCopy,
    (
        Entry("number", whole(1)),
        Entry("piece", TEXT),
        Entry("role", TEXT),
        Entry("label", TEXT),
        Entry("hand", choice(Hand)),
        Entry("face_down", FLAG),
        Entry("outline", WORKED_OUT.ring),
        Entry("grain", WORKED_OUT.line),
        SIDE,
        WHOSE,
    ),
)

CUT = Record(
    LeftoverCut,
    (
        Entry("tag", TEXT),
        Entry("roles", TEXTS),
        Entry("fabric", one(FABRIC)),
        Entry("outline", WORKED_OUT.ring),
        Entry("holes", WORKED_OUT.rings),
        Entry("gap_mm", WORKED_OUT.number(), "gap"),
        Entry("copies", each(COPY)),
        Entry("left", each(REGION)),
        ALLOWANCES,
    ),
)

SAVING = Record(
    Saving,
    (
        Entry("roles", TEXTS),
        Entry("fabric", one(FABRIC)),
        Entry("without_mm", WORKED_OUT.number(), "without"),
        Entry("buy_mm", WORKED_OUT.number(), "bought"),
        Entry("cost", money(least=-MOST_MONEY)),
        Entry("currency", TEXT),
    ),
)
