"""Texts of pattern data: `Identifier: value`, in the spellings that files are known to have."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from pieces.drawings.text_words import read_texts
from pieces.piece import Side

PIECE_KEYS = ("piece name", "quantity", "material", "category", "annotation", "fold")
STYLE_KEYS = (
    "author", "creation date", "creation time", "style name", "sample size", "grade rule table",
    "units",
)  # fmt: skip

_PAIR = re.compile(r"\s*(?P<key>[A-Za-z][A-Za-z _-]{0,40}?)\s*:\s*(?P<value>.*?)\s*", re.DOTALL)


@dataclass(frozen=True)
class Texts:
    """Values by their key, in small letters; and texts that are no such pairs."""

    values: dict[str, tuple[str, ...]]
    rest: tuple[str, ...]

    def one(self, key: str) -> str:
        """The first value of a key that is not empty; empty if there is none."""
        return next((value for value in self.values.get(key, ()) if value), "")

    @property
    def size(self) -> str:
        """The size of a piece; files give it under more than one key."""
        own = self.one("size")
        others = (
            self.one(key)
            for key in self.values
            if "size" in key.split() and key != "sample size"
        )  # fmt: skip
        return own or next((value for value in others if value), "")


def sort_texts(texts: Iterable[str]) -> Texts:
    """Sort texts into values by key and the rest; capitals and a missing space do not matter."""
    values: dict[str, tuple[str, ...]] = {}
    rest: list[str] = []
    for text in "\n".join(texts).split("\n"):
        match = _PAIR.fullmatch(text)
        key = re.sub(r"[\s_-]+", " ", match["key"]).lower() if match else ""
        if match and (key in PIECE_KEYS or key in STYLE_KEYS or "size" in key.split()):
            values[key] = (*values.get(key, ()), match["value"])
        elif text.strip():
            rest.append(text.strip())
    return Texts(values, tuple(rest))


@dataclass(frozen=True)
class Quantity:
    """How often a piece is cut: a label in the words of garment files, or what must be asked."""

    label: str = ""
    hand: Side | None = None
    question: str = ""


def read_quantity(text: str, folded: bool) -> Quantity:
    """Read a quantity: `R,L` counts right and left hands; one number alone is not settled.

    Parameters
    ----------
    text : str
    folded : bool
        Whether the piece is a half with a mirror line.
    """
    match = re.fullmatch(r"\s*(\d{1,4})\s*[,;/]\s*(\d{1,4})\s*", text)
    if match is None:
        words = f"says 'Quantity: {text}'"
        if re.fullmatch(r"\s*\d{1,4}\s*", text):
            words += ", and one number alone does not tell whether it counts pieces or pairs"
        return Quantity(question=words)
    right, left = int(match[1]), int(match[2])
    if right + left == 0:
        return Quantity(question=f"says 'Quantity: {text}', so that nothing is cut")
    if folded:
        return Quantity(f"{right + left} on fold")
    if right == left:
        return Quantity(f"{right + left}")
    if right and left:
        return Quantity(
            question=f"says 'Quantity: {text}', {right} right and {left} left, which is no pair"
        )
    count = right or left
    return Quantity(
        f"{count} same way" if count > 1 else "1", Side.LEFT if left else None
    )  # fmt: skip


def read_notes(texts: Texts) -> tuple[tuple[tuple[str, str], ...], bool | None, float | None,
                                      tuple[str, ...]]:  # fmt: skip
    """Cut words, whether it is net, the allowance, and the rest, of annotations and other texts."""
    told = read_texts([*texts.values.get("annotation", ()), *texts.rest])
    return told.cuts, told.net, told.allowance, told.rest
