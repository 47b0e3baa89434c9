"""Reading JSON with findings: typed fields, each fault with its place and its remedy.

Files of ours come back from mail, other programs and editors, so that nothing in them is trusted.
Numbers are finite and within a range, texts hold no control characters, lists are not endless. A
fault gives a harmless value in its place, so that reading goes on and finds the next one; whoever
reads looks at the findings before using anything.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from typing import Any

from pieces.findings import Finding
from pieces.geometry_types import Point, Ring

LONGEST_MM = 1_000_000.0
"""Lengths and coordinates beyond a kilometre are no cloth."""

LONGEST_NAME, LONGEST_TEXT = 1_000, 100_000
"""Letters in a name or title, and in a note or description."""

MOST_ENTRIES, MOST_POINTS = 20_000, 100_000
"""Entries of a list, and points of an outline."""

MOST_FINDINGS = 30
"""What is wrong beyond this many places is not looked at."""

LEAST = 1e-12
"""Figures below this are nought."""

SHOWN = 40
"""Letters of a wrong value that are shown."""

NOTHING: Any = object()

HARMLESS_RING: Ring = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))


def shown(value: Any) -> str:
    """A wrong value as it may stand in a message: short, on one line."""
    if isinstance(value, dict):
        return "{...}" if value else "{}"
    if isinstance(value, list):
        return f"a list of {len(value)}" if value else "[]"
    try:
        text = json.dumps(value, ensure_ascii=True)
    except (TypeError, ValueError):
        text = "what stands there"
    return text if len(text) <= SHOWN else f"{text[: SHOWN - 3]}..."


class Fields:
    """One JSON object being read; a fault becomes a finding and a harmless value.

    Parameters
    ----------
    data : object
        What stands there; anything but an object is a fault.
    file : str
    findings : list of Finding
        Where faults go.
    place : str
        Path of the object within the file, "fabrics[1]"; empty at the top.
    line : int, optional
        Line of a table's row, for files that have rows.
    names : mapping, optional
        For files with columns: what the column of a field's path is called, where that is not the
        field's own name.
    """

    def __init__(
        self,
        data: Any,
        file: str,
        findings: list[Finding],
        place: str = "",
        line: int | None = None,
        names: Mapping[str, str] | None = None,
    ) -> None:
        self.file = file
        self.findings = findings
        self.place = place
        self.line = line
        self.names = names or {}
        self.data: dict[str, Any] = data if isinstance(data, dict) else {}
        self.is_object = isinstance(data, dict)
        if not self.is_object:
            self._record(place or None, f"{shown(data)} is no group of fields", "write { ... }")

    def __contains__(self, field: str) -> bool:
        return field in self.data

    def path(self, field: str) -> str:
        """Name of a field with the path that leads to it, or of its column."""
        path = f"{self.place}.{field}" if self.place else field
        if not self.names:
            return path
        whole, bracket, entry = path.partition("[")
        return self.names.get(whole, whole.rpartition(".")[2]) + bracket + entry

    def fault(self, field: str, message: str, fix: str | None = None) -> None:
        """Record something wrong with a field."""
        self._record(self.path(field), message, fix)

    def sound(self, *names: str) -> bool:
        """Whether nothing was found wrong with some fields and all that is within them."""
        paths = [self.path(name) for name in names]
        return self.is_object and not any(
            found.line == self.line
            and (found.field == path or (found.field or "").startswith((f"{path}.", f"{path}[")))
            for found in self.findings
            for path in paths
        )

    def _record(self, path: str | None, message: str, fix: str | None) -> None:
        if len(self.findings) < MOST_FINDINGS:
            self.findings.append(Finding(self.file, message, None, path, fix, self.line))

    def _get(self, field: str) -> Any:
        """Value of a field; NOTHING after a fault."""
        if field in self.data:
            return self.data[field]
        if self.is_object:
            self.fault(field, "is missing")
        return NOTHING

    # Single values

    def text(self, field: str, choices: Iterable[str] = (), long: bool = False) -> str:
        """Return a text: one of `choices` if given; `long` ones may have several lines."""
        value = self._get(field)
        harmless = next(iter(allowed), "") if (allowed := list(choices)) else ""
        if value is NOTHING:
            return harmless
        if not isinstance(value, str):
            self.fault(field, f"{shown(value)} is no text", 'write it in quotes: "..."')
            return harmless
        if allowed and value not in allowed:
            self.fault(field, f"{shown(value)} is not known", f"one of {', '.join(allowed)}")
            return harmless
        return value if self._is_plain(field, value, long) else harmless

    def _is_plain(self, field: str, value: str, long: bool) -> bool:
        most = LONGEST_TEXT if long else LONGEST_NAME
        if len(value) > most:
            self.fault(field, f"{len(value)} letters are too many", f"at most {most}")
            return False
        permitted = "\n\r\t" if long else ""
        for letter in value:
            if letter in permitted:
                continue
            if not (letter >= " " and letter != "\x7f" and not "\ud800" <= letter <= "\udfff"):
                self.fault(
                    field, f"{shown(value)} holds a character that cannot be printed",
                    "only letters, figures, signs and spaces",
                )  # fmt: skip
                return False
        return True

    def flag(self, field: str) -> bool:
        """Return true or false."""
        value = self._get(field)
        if value is NOTHING:
            return False
        if not isinstance(value, bool):
            self.fault(field, f"{shown(value)} is neither true nor false", "write true or false")
            return False
        return value

    def number(
        self,
        field: str,
        least: float = 0.0,
        most: float = LONGEST_MM,
        above: float | None = None,
    ) -> float:
        """Return a finite number from `least` to `most`, or greater than `above`."""
        value = self._get(field)
        if value is NOTHING:
            return max(least, min(0.0, most))
        found = self._number(field, value, least, most, above)
        return max(least, min(0.0, most)) if found is None else found

    def optional_number(
        self, field: str, least: float = 0.0, most: float = LONGEST_MM, above: float | None = None
    ) -> float | None:
        """Return a number as `number` does, or None where null stands."""
        value = self._get(field)
        if value is NOTHING or value is None:
            return None
        return self._number(field, value, least, most, above)

    def _number(
        self, field: str, value: Any, least: float, most: float, above: float | None
    ) -> float | None:
        number = finite(value)
        if number is None:
            self.fault(field, f"{shown(value)} is no number", "a plain figure, without a unit")
            return None
        if above is not None and not number > above:
            self.fault(field, f"{shown(value)} is too small", f"more than {above:g}")
            return None
        if not least <= number <= most:
            self.fault(field, f"{shown(value)} cannot be", f"from {least:g} to {most:g}")
            return None
        return number

    def whole(self, field: str, least: int = 0, most: int = 1_000_000) -> int:
        """Return a whole number in a range."""
        value = self._get(field)
        if value is NOTHING:
            return least
        if isinstance(value, bool) or not isinstance(value, int):
            self.fault(field, f"{shown(value)} is no whole number")
            return least
        if not least <= value <= most:
            self.fault(field, f"{shown(value)} cannot be", f"from {least} to {most}")
            return least
        return value

    # Groups and lists

    def fields(self, field: str) -> Fields:
        """Return the object that a field holds."""
        value = self._get(field)
        if value is NOTHING:
            return self._nothing(field)
        return self._inner(value, field)

    def _inner(self, value: Any, field: str) -> Fields:
        place = f"{self.place}.{field}" if self.place else field
        return Fields(value, self.file, self.findings, place, self.line, self.names)

    def _nothing(self, field: str) -> Fields:
        """An object that is not there, which was said already."""
        nothing = self._inner({}, field)
        nothing.is_object = False
        return nothing

    def items(self, field: str, least: int = 0, most: int = MOST_ENTRIES) -> list[Any]:
        """Return the list that a field holds, unread."""
        value = self._get(field)
        if value is NOTHING:
            return []
        if not isinstance(value, list):
            self.fault(field, f"{shown(value)} is no list", "write [ ... ]")
            return []
        if not least <= len(value) <= most:
            wanted = f"{least}" if least == most else f"{least} to {most}"
            self.fault(field, f"it has {len(value)} entries", f"{wanted} belong there")
            return []
        return value

    def each(self, field: str, least: int = 0, most: int = MOST_ENTRIES) -> list[Fields]:
        """Return the objects of a list."""
        return [
            self._inner(value, f"{field}[{k}]")
            for k, value in enumerate(self.items(field, least, most))
        ]

    def texts(self, field: str, least: int = 0, long: bool = False) -> tuple[str, ...]:
        """Return a list of texts."""
        values = self.items(field, least)
        for k, value in enumerate(values):
            if not isinstance(value, str):
                self.fault(f"{field}[{k}]", f"{shown(value)} is no text")
                return ()
            if not self._is_plain(f"{field}[{k}]", value, long):
                return ()
        return tuple(values)

    # Points

    def points(
        self, field: str, least: int, most: int = MOST_POINTS, lowest: float = -LONGEST_MM
    ) -> Ring:
        """Return a list of points [x, y] in mm; empty after a fault."""
        return self._points(field, self.items(field, least, most), lowest)

    def _points(self, field: str, values: list[Any], lowest: float) -> Ring:
        found: list[Point] = []
        for k, value in enumerate(values):
            pair = value if isinstance(value, list) and len(value) == 2 else []
            numbers = [number for part in pair if (number := finite(part)) is not None]
            if len(numbers) != 2:
                self.fault(f"{field}[{k}]", f"{shown(value)} is no point", "write [x, y] in mm")
                return ()
            if not all(lowest <= number <= LONGEST_MM for number in numbers):
                self.fault(f"{field}[{k}]", "lies farther off than a kilometre")
                return ()
            found.append((numbers[0], numbers[1]))
        return tuple(found)

    def point(self, field: str) -> Point:
        """Return one point [x, y] in mm."""
        values = self.items(field, 2, 2)
        found = self._points(field, [values], -LONGEST_MM) if values else ()
        return found[0] if found else (0.0, 0.0)

    def line_of(self, field: str) -> tuple[Point, Point]:
        """Return two points that are not one."""
        found = self.points(field, 2, 2)
        if len(found) == 2 and math.dist(found[0], found[1]) > 0.0:
            return found[0], found[1]
        if len(found) == 2:
            self.fault(field, "its two ends are one point")
        return (0.0, 0.0), (1.0, 0.0)

    def ring(self, field: str) -> Ring:
        """Return a closed outline: three corners or more, an area, not crossing itself."""
        return self._sound(field, self.points(field, 3))

    def rings(self, field: str) -> tuple[Ring, ...]:
        """Return a list of outlines, as `ring` does each."""
        found = []
        for k, value in enumerate(self.items(field)):
            name = f"{field}[{k}]"
            if not isinstance(value, list) or not 3 <= len(value) <= MOST_POINTS:
                self.fault(name, f"{shown(value)} is no outline", "three corners [x, y] or more")
                continue
            found.append(self._sound(name, self._points(name, value, -LONGEST_MM)))
        return tuple(found)

    def _sound(self, field: str, points: Ring) -> Ring:
        if not points:
            return HARMLESS_RING
        wrong = fault_of_ring(points)
        if wrong:
            self.fault(field, wrong)
            return HARMLESS_RING
        return points

    def rectangle(self, field: str) -> tuple[float, float, float, float]:
        """Return x_from, y_from, x_to, y_to (mm), in that order."""
        harmless = (0.0, 0.0, 1.0, 1.0)
        values = self.items(field, 4, 4)
        numbers = [number for value in values if (number := finite(value)) is not None]
        if len(numbers) != 4:
            if values:
                self.fault(field, "is no rectangle", "write [x_from, y_from, x_to, y_to] in mm")
            return harmless
        x1, y1, x2, y2 = numbers
        if not (-LONGEST_MM <= x1 < x2 <= LONGEST_MM and -LONGEST_MM <= y1 < y2 <= LONGEST_MM):
            self.fault(field, "is a rectangle without sides", "from the smaller to the greater")
            return harmless
        return x1, y1, x2, y2


def finite(value: Any) -> float | None:
    """A number as float, or None if it is none: no text, no truth value, nothing without end."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    if not math.isfinite(number):
        return None
    # Figures next to nothing are nothing; geometry divides by them.
    return number if abs(number) > LEAST else 0.0


def fault_of_ring(points: Ring) -> str:
    """Say what keeps points from being an outline; empty if nothing does."""
    from shapely.geometry import Polygon

    region = Polygon(points)
    if region.is_valid and region.area > 0.0:
        return ""
    return "the outline crosses itself" if region.convex_hull.area > 0.0 else "it has no area"
