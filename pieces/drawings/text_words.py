"""What the texts of a drawing say of a piece: its cut labels, its allowance, its name."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from pieces.lengths import LengthError, parse_length
from pieces.readers.cut_words import parse_cut

_BETWEEN = re.compile(r"[\n;|]|,\s+|\s+[–—-]\s+|\.\s+")
_CUT = re.compile(
    r"(?:(?P<before>[^:]{1,40}?)\s*:\s*)?(?P<label>(?:cut\s+)?\d+\s*"
    r"(?:on\s+(?:the\s+)?fold|pairs?|same\s+way)?)(?:\s+(?:of|in|from)\s+(?P<behind>.{1,40}))?",
    re.IGNORECASE,
)
_INCLUDED = re.compile(
    r"(?:with|including|incl\.?|includes)\s+(?:the\s+)?(?:seam\s+)?allowances?"
    r"|(?:.*\s)?(?:seam\s+)?allowances?\s+(?:is\s+|are\s+)?(?:included|incl\.?)",
    re.IGNORECASE,
)
_NET = re.compile(
    r"net|no\s+(?:seam\s+)?allowances?|without\s+(?:seam\s+)?allowances?"
    r"|(?:seam\s+)?allowances?\s+not\s+included",
    re.IGNORECASE,
)
_ADD = re.compile(r"add\s+(?P<length>[^a-z]*\d[^a-z]*[a-z\"]+)(?:\s+(?:seam\s+)?allowances?)?",
                  re.IGNORECASE)  # fmt: skip
_LABELS = frozenset(("fold", "on fold", "place on fold", "place on the fold", "grain",
                     "grain line", "grainline", "straight grain", "notch", "centre front",
                     "centre back", "center front", "center back", "cf", "cb"))  # fmt: skip


LONGEST_TEXT, LONGEST_SAYING = 2000, 120
"""What is longer is no label."""


@dataclass(frozen=True)
class Told:
    """What texts say of a piece, in the terms of `DrawnPiece`; `rest` is what they say besides."""

    cuts: tuple[tuple[str, str], ...] = ()
    net: bool | None = None
    allowance: float | None = None
    rest: tuple[str, ...] = ()


def read_texts(texts: Iterable[str]) -> Told:
    """Read texts, each perhaps of several lines or sayings."""
    cuts: dict[str, str] = {}
    net: bool | None = None
    allowance: float | None = None
    rest: list[str] = []
    for text in texts:
        for part in _BETWEEN.split(text[:LONGEST_TEXT]):
            saying = " ".join(part.split()).strip(" .,:")
            if len(saying) > LONGEST_SAYING:
                rest.append(saying)
                continue
            cut = _cut(saying)
            add = _ADD.fullmatch(saying)
            if cut is not None and cuts.get(cut[0], cut[1]) == cut[1]:
                cuts[cut[0]] = cut[1]
            elif _NET.fullmatch(saying):
                net = True
            elif _INCLUDED.fullmatch(saying):
                net = False
            elif add is not None and _length(add["length"]) is not None:
                net, allowance = True, _length(add["length"])
            elif saying and saying.lower() not in _LABELS:
                rest.append(saying)
    return Told(tuple(cuts.items()), net, allowance, tuple(rest))


def _cut(saying: str) -> tuple[str, str] | None:
    """Role and label of a saying such as "cut 2", "lining: cut 1 on fold", "1 pair of felt"."""
    match = _CUT.fullmatch(saying)
    if match is None or saying.replace(" ", "").isdigit():
        return None
    label = re.sub(r"^cut\s+", "", " ".join(match["label"].split()), flags=re.IGNORECASE)
    if label.isdigit() and "cut" not in match["label"].lower():
        return None
    role = (match["before"] or match["behind"] or "").strip().lower()
    try:
        parse_cut(role, label)
    except ValueError:
        return None
    return role, label


def _length(text: str) -> float | None:
    try:
        return parse_length(text.strip())
    except LengthError:
        return None
