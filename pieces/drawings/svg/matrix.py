"""Affine transforms of SVG (SVG 1.1, section 7.6): read, combined, applied."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from pieces.drawings.svg.numbers import numbers_in
from pieces.outline import OutlineError

_FUNCTION = re.compile(r"[\s,]*([A-Za-z]+)\s*\(([^()]*)\)")
_COUNTS = {
    "matrix": (6,), "translate": (1, 2), "scale": (1, 2), "rotate": (1, 3), "skewX": (1,),
    "skewY": (1,),
}  # fmt: skip

MOST_FUNCTIONS = 1000


class Matrix(NamedTuple):
    """Maps (x, y) to (a x + c y + e, b x + d y + f)."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def of(self, inner: Matrix) -> Matrix:
        """Apply `inner` first, then this."""
        return Matrix(
            self.a * inner.a + self.c * inner.b,
            self.b * inner.a + self.d * inner.b,
            self.a * inner.c + self.c * inner.d,
            self.b * inner.c + self.d * inner.d,
            self.a * inner.e + self.c * inner.f + self.e,
            self.b * inner.e + self.d * inner.f + self.f,
        )

    def apply(self, point: complex) -> complex:
        """Map a point."""
        x, y = point.real, point.imag
        return complex(self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    @property
    def stretch(self) -> float:
        """The most by which it stretches a length: its larger singular value."""
        turned = math.hypot(self.a + self.d, self.b - self.c)
        mirrored = math.hypot(self.a - self.d, self.b + self.c)
        return (turned + mirrored) / 2.0


def read_transform(text: str) -> Matrix:
    """Read a `transform` attribute.

    Raises
    ------
    OutlineError
        If it is not understood.
    """
    matrix = Matrix()
    at = 0
    for _ in range(MOST_FUNCTIONS):
        match = _FUNCTION.match(text, at)
        if match is None:
            break
        matrix = matrix.of(_function(match[1], match[2]))
        at = match.end()
    if text[at:].strip(" \t\r\n,") or not all(map(math.isfinite, matrix)):
        raise OutlineError(f"transform '{text.strip()[:40]}' is not understood")
    return matrix


def _function(name: str, inside: str) -> Matrix:
    numbers = numbers_in(inside, 6)
    if numbers is None or len(numbers) not in _COUNTS.get(name, ()):
        raise OutlineError(f"transform '{name[:20]}({inside[:40]})' is not understood")
    if name == "matrix":
        return Matrix(*numbers)
    if name == "translate":
        return Matrix(e=numbers[0], f=numbers[1] if len(numbers) > 1 else 0.0)
    if name == "scale":
        return Matrix(a=numbers[0], d=numbers[-1])
    if name == "skewX":
        return Matrix(c=math.tan(math.radians(numbers[0])))
    if name == "skewY":
        return Matrix(b=math.tan(math.radians(numbers[0])))
    cos, sin = math.cos(math.radians(numbers[0])), math.sin(math.radians(numbers[0]))
    turn = Matrix(cos, sin, -sin, cos)
    if len(numbers) == 1:
        return turn
    x, y = numbers[1:]
    return Matrix(e=x, f=y).of(turn).of(Matrix(e=-x, f=-y))
