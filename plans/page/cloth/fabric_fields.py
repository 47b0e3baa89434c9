"""What a fabric file may say, as fields of a form, in the words of the file."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Kind(Enum):
    """How a field is typed, and what stands in the file."""

    TEXT = "text"
    LINES = "lines"
    FLAG = "flag"
    NUMBER = "number"
    CHOICE = "choice"


@dataclass(frozen=True)
class Field:
    """One field: its key in the file ("shrinkage.along"), and what is said of it.

    `choices` are pairs of what stands in the file and what it means; the first is what counts where
    nothing is said.
    """

    key: str
    label: str
    hint: str = ""
    kind: Kind = Kind.TEXT
    choices: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Group:
    """Fields that stand together."""

    title: str
    fields: tuple[Field, ...]


GROUPS = (
    Group("What it is", (
        Field("title", "Title", "as plans call it; without one, its name"),
        Field("colour", "Colour"),
        Field("fibre", "Fibre"),
        Field("description", "Description", kind=Kind.LINES),
    )),
    Group("Width as bought", (
        Field("width", "Width", "selvages included: 140 cm, 54 in"),
        Field("selvage", "Selvage", "the strip at each side that cannot be used; else 1 cm"),
        Field("units", "Unit of figures without one", "cm, mm, in; else each figure says its own"),
    )),
    Group("Washing", (
        Field("washed", "It was washed already", kind=Kind.FLAG),
        Field("shrinkage.along", "Shrinks along", "4 %"),
        Field("shrinkage.across", "Shrinks across", "2 %"),
    )),
    Group("How it may lie", (
        Field("one_way", "One way: nap, pile, one-way print or knit", kind=Kind.FLAG),
        Field("faces_alike", "Both faces are alike", kind=Kind.FLAG),
        Field("grainless", "No grain: felt, non-woven", kind=Kind.FLAG),
        Field("faces", "When folded", kind=Kind.CHOICE, choices=(
            ("in", "right sides together"), ("out", "right sides out"),
        )),
    )),
    Group("Repeat of a design", (
        Field("repeat.along", "Repeat along", "on washed cloth; empty for none"),
        Field("repeat.across", "Repeat across"),
        Field(
            "repeat.axis", "Axis of the design",
            'distance of one axis from the selvage, "middle", or "none" for an uneven design',
        ),
    )),
    Group("Buying", (
        Field("price.amount", "Price", "12.50", Kind.NUMBER),
        Field("price.currency", "Currency", "EUR"),
        Field("price.per", "Price is for", "1 m unless you say 1 yd, 50 cm"),
        Field("sold.by", "Sold by", kind=Kind.CHOICE, choices=(
            ("metre", "the metre"), ("yard", "the yard"),
        )),
        Field("sold.step", "Cut in steps of", "else 10 cm, or 1/8 yd"),
        Field("sold.minimum", "Least that is cut"),
        Field("on_hand", "Length on hand", "a bolt of the stash says this better"),
    )),
)  # fmt: skip

LENGTHS = (
    "width", "selvage", "repeat.along", "repeat.across", "repeat.axis", "price.per", "sold.step",
    "sold.minimum", "on_hand",
)  # fmt: skip
"""Keys of fields that hold lengths."""

FLAW = (
    Field("from_end", "From the cut end"),
    Field("from_selvage", "From the selvage"),
    Field("length", "Length"),
    Field("width", "Width"),
)
"""Fields of each flaw, all of them lengths on the washed cloth."""

FIELDS = tuple(field for group in GROUPS for field in group.fields)
