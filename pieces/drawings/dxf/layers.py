"""What the layers of sewn-product pattern data hold (open standard ASTM D6673).

The numbers 1 to 15 and 80 to 87 are those of the standard; a layer of another name means what its
words say, in drawings that are not made to the standard.
"""

from __future__ import annotations

import re
from enum import Enum


class Layer(Enum):
    """What a layer holds; the value is what it is called in messages."""

    OUTLINE = "outline"
    TURNS = "turn and curve points"
    NOTCH = "notches"
    REFERENCE = "reference line"
    MIRROR = "mirror line"
    GRAIN = "grain line"
    INNER = "internal lines"
    REPEAT = "stripe or plaid line"
    CUT_OUT = "internal cut-out"
    DRILL = "drill holes"
    SEW = "sew line"
    WRITING = "annotation"
    QUALITY = "quality curves"
    OTHER = ""


_NUMBERS = {
    1: Layer.OUTLINE, 2: Layer.TURNS, 3: Layer.TURNS, 4: Layer.NOTCH, 5: Layer.REFERENCE,
    6: Layer.MIRROR, 7: Layer.GRAIN, 8: Layer.INNER, 9: Layer.REPEAT, 10: Layer.REPEAT,
    11: Layer.CUT_OUT, 13: Layer.DRILL, 14: Layer.SEW, 15: Layer.WRITING, 80: Layer.NOTCH,
    81: Layer.NOTCH, 82: Layer.NOTCH, 83: Layer.NOTCH, 84: Layer.QUALITY, 85: Layer.QUALITY,
    86: Layer.QUALITY, 87: Layer.QUALITY,
}  # fmt: skip

_WORDS = (
    (Layer.NOTCH, frozenset(("notch", "notches"))),
    (Layer.GRAIN, frozenset(("grain", "grainline"))),
    (Layer.MIRROR, frozenset(("fold", "foldline", "mirror"))),
)


def numbered(layer: str) -> Layer:
    """What a layer of the standard holds, by its number."""
    return _NUMBERS.get(int(layer), Layer.OTHER) if re.fullmatch(r"[0-9]{1,3}", layer) else (
        Layer.OTHER
    )  # fmt: skip


def named(layer: str) -> Layer:
    """What a layer of any other drawing holds, by the words of its name."""
    words = set(re.findall(r"[a-z]+", re.sub(r"(?<=[a-z])(?=[A-Z])", " ", layer).lower()))
    return next((kind for kind, known in _WORDS if words & known), Layer.OTHER)


def called(layer: str) -> str:
    """A layer in words: "layer 8 (internal lines)"."""
    kind = numbered(layer)
    return f"layer {layer} ({kind.value})" if kind.value else f"layer '{layer}'"
