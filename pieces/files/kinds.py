"""Kinds of values in our files: texts, flags, lengths in mm, points, outlines, choices, records.

One rule for figures: what was worked out (`WORKED_OUT`) is rounded to a millionth of a millimetre,
and never stands there as -0.0; what was stated, or is kept to be compared with itself later
(`EXACT`: a fabric, what the stash keeps, a remembered result), is written to the last digit, so
that it comes back equal.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from pieces.files.json_file import LONGEST_MM, Fields, finite
from pieces.files.record import Cell, Converter, Kind
from pieces.geometry_types import Point, Ring

DECIMALS = 6
"""Decimals of mm, and of shares, that are kept of what was worked out."""

MOST_MONEY = 1e12


class FigureError(ValueError):
    """What is to be written as a figure is infinite or none."""


def in_hundredths(amount: float) -> float:
    """Round an amount of money as a till does: half a hundredth counts as one.

    What a product of a length and a price is off in its last binary digits decides nothing.
    """
    exact = Decimal(repr(round(amount, 6)))
    return float(exact.quantize(Decimal("0.01"), ROUND_HALF_UP))


def _same(value: Any) -> Any:
    return value


TEXT = Kind(lambda data, name: data.text(name), _same, Cell.TEXT)
LONG_TEXT = Kind(lambda data, name: data.text(name, long=True), _same, Cell.TEXT)
"""Several lines."""
TEXTS = Kind(lambda data, name: data.texts(name), list)
LONG_TEXTS = Kind(lambda data, name: data.texts(name, long=True), list)
FLAG = Kind(lambda data, name: data.flag(name), _same, Cell.FLAG)

PLAIN = Kind(lambda data, name: data.fields(name).data, _same)
"""An object that is read elsewhere, as it stands."""


def told(write: Callable[[Any], Any]) -> Kind:
    """What is only written."""
    return Kind(lambda data, name: None, write)


def whole(least: int = 0, most: int = 1_000_000) -> Kind:
    """A whole number in a range."""
    return Kind(lambda data, name: data.whole(name, least, most), _same, Cell.FIGURE)


def optional_whole(least: int = 0) -> Kind:
    """A whole number, or null."""
    return Kind(
        lambda data, name: None if _is_null(data, name) else data.whole(name, least),
        _same,
        Cell.FIGURE,
    )


def wholes(least: int = 0) -> Kind:
    """A list of whole numbers, of which there is at least one."""

    def read(data: Fields, name: str) -> tuple[int, ...]:
        values = data.items(name, 1)
        sound = [v for v in values if isinstance(v, int) and not isinstance(v, bool) and v >= least]
        if len(sound) != len(values):
            data.fault(name, "holds what is no whole number", f"whole numbers from {least} on")
        return tuple(sound)

    return Kind(read, list)


def always(value: Any) -> Kind:
    """What is the same for all; it is only written."""
    return told(lambda _: value)


def choice(members: Iterable[Any], fits: Callable[[Any], bool] = lambda _: True) -> Kind:
    """One of the members of an enum or a registry (those that fit), by its value.

    They are asked for when a file is read, so that one that was added is known, too.
    """

    def read(data: Fields, name: str) -> Any:
        known = {str(member.value): member for member in members if fits(member)}
        return known[data.text(name, known)]

    return Kind(read, lambda member: member.value, Cell.TEXT)


def money(least: float = 0.0) -> Kind:
    """An amount, or null; two decimals."""
    return Kind(
        lambda data, name: data.optional_number(name, least=least, most=MOST_MONEY),
        lambda amount: None if amount is None else in_hundredths(amount),
        Cell.FIGURE,
    )


class Figures:
    """Kinds that hold figures: lengths, shares and angles, points and outlines.

    Parameters
    ----------
    decimals : int or None
        How many are written; None writes every digit.
    """

    def __init__(self, decimals: int | None) -> None:
        self.decimals = decimals
        self.point = Kind(lambda data, name: data.point(name), self._point)
        self.line = Kind(lambda data, name: data.line_of(name), self._points)
        """Two points that are not one."""
        self.ring = Kind(lambda data, name: data.ring(name), self._points)
        self.rings = Kind(
            lambda data, name: data.rings(name), lambda rings: [self._points(r) for r in rings]
        )
        self.numbers = Kind(_numbers, lambda values: [self.figure(value) for value in values])
        """A list of figures."""
        self.rectangle = Kind(
            lambda data, name: data.rectangle(name), lambda sides: [self.figure(s) for s in sides]
        )
        self.optional_line = Kind(
            lambda data, name: None if _is_null(data, name) else data.line_of(name),
            lambda line: None if line is None else self._points(line),
        )

    def number(
        self, least: float = 0.0, most: float = LONGEST_MM, above: float | None = None
    ) -> Kind:
        """A length in mm, or another figure in a range."""
        return Kind(
            lambda data, name: data.number(name, least, most, above), self.figure, Cell.FIGURE
        )

    def optional(self, above: float | None = None) -> Kind:
        """A length in mm, or null."""
        return Kind(
            lambda data, name: data.optional_number(name, above=above),
            lambda value: None if value is None else self.figure(value),
            Cell.FIGURE,
        )

    def figure(self, value: float) -> float:
        """Round a figure for a file; FigureError if it is none."""
        if self.decimals is None:
            return value
        if not math.isfinite(value):
            raise FigureError(f"{value} is no figure")
        return round(float(value), self.decimals) + 0.0

    def known(self, value: float | None) -> float | None:
        """Round a figure, or give null where there is none: nothing fits, nobody knows."""
        return None if value is None or not math.isfinite(value) else self.figure(value)

    def _point(self, point: Point) -> list[float]:
        return [self.figure(point[0]), self.figure(point[1])]

    def _points(self, points: Ring) -> list[list[float]]:
        return [self._point(point) for point in points]


def _numbers(data: Fields, name: str) -> tuple[float, ...]:
    numbers = [finite(value) for value in data.items(name)]
    if None in numbers:
        data.fault(name, "holds what is no number", "plain figures, without a unit")
    return tuple(number for number in numbers if number is not None)


WORKED_OUT, EXACT = Figures(DECIMALS), Figures(None)


def _is_null(data: Fields, name: str) -> bool:
    return name in data and data.data[name] is None


def one(inner: Converter) -> Kind:
    """An object of its own."""
    return Kind(lambda data, name: inner.read(data.fields(name)), inner.write)


def each(inner: Converter, least: int = 0) -> Kind:
    """A list of objects."""
    return Kind(
        lambda data, name: tuple(inner.read(entry) for entry in data.each(name, least)),
        lambda values: [inner.write(value) for value in values],
    )
