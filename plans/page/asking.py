"""What a request says: a JSON object with fields, each fault with its field."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Collection, Iterable
from typing import Any, TypeVar

from anyio.from_thread import run as run_in_loop
from starlette.requests import Request

from pieces.errors import PieceError
from pieces.lengths import System, format_length, parse_length, unit_system
from plans.errors import PlanError
from plans.page.names import NameRefusedError
from plans.page.settings import USUAL_UNIT

T = TypeVar("T")

MOST_DEEP = 64
"""Objects and lists within each other; a garment takes a tenth of it."""


class AskedError(PlanError):
    """A field of what was asked for is wrong.

    `field` is the field's name on the page, so that the message can stand at it.
    """

    def __init__(self, field: str, message: str) -> None:
        self.field = field
        super().__init__(message)


class SeveralWrongError(AskedError):
    """Several fields are wrong; `faults` are their errors, in the order of the form."""

    def __init__(self, faults: list[AskedError]) -> None:
        self.faults = tuple(faults)
        super().__init__(faults[0].field, "; ".join(map(str, faults)))


class Faults:
    """Collects what is wrong, so that all of it is told at once."""

    def __init__(self) -> None:
        self._found: list[AskedError] = []

    def __bool__(self) -> bool:
        return bool(self._found)

    def take(self, reader: Callable[[], T], otherwise: T) -> T:
        """What a reader makes of a field; `otherwise` where that is wrong, which is kept."""
        try:
            return reader()
        except SeveralWrongError as error:
            self._found += error.faults
        except AskedError as error:
            self._found.append(error)
        return otherwise

    def told(self) -> None:
        """Raise what was found, if anything.

        Raises
        ------
        AskedError, SeveralWrongError
        """
        if len(self._found) == 1:
            raise self._found[0]
        if self._found:
            raise SeveralWrongError(self._found)


class Asked:
    """The fields of what was sent; unknown ones are refused by `finished`."""

    def __init__(self, data: dict[str, Any], place: str = "") -> None:
        self._data = data
        self._place = place
        self._looked_at: set[str] = set()

    def name_of(self, field: str) -> str:
        """A field with the place of its object: `rows[2].to`."""
        return f"{self._place}{field}"

    def __contains__(self, field: str) -> bool:
        return self._data.get(field) not in (None, "")

    def raw(self, field: str) -> Any:
        """Whatever stands in a field; None where it is missing."""
        self._looked_at.add(field)
        return self._data.get(field)

    def text(self, field: str, usual: str | None = None) -> str:
        """A text; `usual` where it is missing or empty.

        Raises
        ------
        AskedError
            If it is no text, or missing and there is no usual one.
        """
        value = self.raw(field)
        if value in (None, ""):
            if usual is None:
                raise AskedError(self.name_of(field), "is needed")
            return usual
        if not isinstance(value, str):
            raise AskedError(self.name_of(field), "is no text")
        return value.strip() or (usual or "")

    def one_of(self, field: str, known: Collection[str], usual: str | None = None) -> str:
        """One of several words; `usual`, which need be none of them, where it is missing.

        Raises
        ------
        AskedError
            If it is another, or missing and there is no usual one.
        """
        chosen = self.text(field, usual)
        if chosen not in known and chosen != usual:
            raise AskedError(self.name_of(field), f"is none of {', '.join(known)}")
        return chosen

    def flag(self, field: str) -> bool:
        """Whether something is wanted; a missing field is no.

        Raises
        ------
        AskedError
            If it is neither true nor false.
        """
        value = self.raw(field)
        if value in (None, ""):
            return False
        if not isinstance(value, bool):
            raise AskedError(self.name_of(field), "is neither true nor false")
        return value

    def whole(self, field: str, least: int, most: int, usual: int | None = None) -> int:
        """A whole number, typed or as one.

        Raises
        ------
        AskedError
            If it is none, or not from `least` to `most`.
        """
        value = self.raw(field)
        if value in (None, ""):
            if usual is None:
                raise AskedError(self.name_of(field), "is needed")
            return usual
        try:
            number = int(value) if isinstance(value, str) else value
        except ValueError:
            number = None
        if isinstance(number, bool) or not isinstance(number, int) or not least <= number <= most:
            raise AskedError(self.name_of(field), f"is no whole number from {least} to {most}")
        return number

    def number(self, field: str) -> float:
        """A finite number.

        Raises
        ------
        AskedError
            If it is none.
        """
        value = self.raw(field)
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise AskedError(self.name_of(field), "is no number")
        if not is_figure(value):
            raise AskedError(self.name_of(field), "is no finite number")
        return float(value)

    def length(
        self,
        field: str,
        usual: float | None = None,
        system: System | None = None,
        most: float = math.inf,
    ) -> float:
        """A length as it is typed, up to `most`, in mm.

        With a `system`, bare numbers are in its usual unit; else each needs its own.

        Raises
        ------
        AskedError
            If it is no length, or more than that.
        """
        text = self.text(field, "" if usual is not None else None)
        if not text and usual is not None:
            return usual
        unit = None if system is None else USUAL_UNIT[system]
        length = self.read(field, lambda: parse_length(text, unit))
        if length > most:
            limit = format_length(most, system or unit_system(text))
            raise AskedError(self.name_of(field), f"is too much; at most {limit}")
        return length

    def read(self, field: str, reader: Callable[[], T]) -> T:
        """What a reader of another room makes of a field, its errors at the field.

        Raises
        ------
        AskedError
        """
        self._looked_at.add(field)
        try:
            return reader()
        except (PieceError, NameRefusedError) as error:
            raise AskedError(self.name_of(field), str(error)) from error

    def rows(self, field: str) -> list[Asked]:
        """A list of objects; a missing one is empty.

        Raises
        ------
        AskedError
        """
        value = self.raw(field)
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(row, dict) for row in value):
            raise AskedError(self.name_of(field), "is no list of objects")
        return [Asked(row, f"{self.name_of(field)}[{n}].") for n, row in enumerate(value, start=1)]

    def finished(self) -> None:
        """See to it that nothing was sent that nobody looked at.

        Raises
        ------
        AskedError
        """
        for field in self._data:
            if field not in self._looked_at:
                raise AskedError(self.name_of(field), "is not known here")


def told_as_wrong(error: AskedError) -> dict[str, object]:
    """What a view answers that shows what is being typed: nothing has failed, it is not yet right.

    The fields are those of a refusal.
    """
    return {"wrong": {"lines": [str(error)], "field": error.field}}


def sent(request: Request) -> Asked:
    """What a request sends, a JSON object; call it in a view's thread.

    Raises
    ------
    AskedError
        If it is no JSON object.
    """
    body: bytes = run_in_loop(request.body)
    try:
        data = json.loads(body or b"{}")
    except (ValueError, RecursionError) as error:
        raise AskedError("", "what was sent is no JSON") from error
    if not isinstance(data, dict):
        raise AskedError("", "what was sent is no JSON object")
    _refuse_unkept(data)
    return Asked(data)


def _refuse_unkept(data: dict[str, Any]) -> None:
    """What can be kept in no file or said in no answer: half a sign, no figure, too deep a nest."""
    level: list[Any] = [data]
    for _ in range(MOST_DEEP):
        level = [inner for one in level for inner in _within(one)]
        if not level:
            break
    else:
        raise AskedError("", "what was sent is nested too deeply")
    try:
        json.dumps(data, ensure_ascii=False, allow_nan=False).encode("utf-8")
    except UnicodeEncodeError as error:
        # Half of a surrogate pair is no text.
        raise AskedError("", "what was sent holds half of a sign") from error
    except ValueError as error:
        raise AskedError("", "what was sent holds a number that is none") from error


def _within(value: Any) -> Iterable[Any]:
    if isinstance(value, dict):
        return value.values()
    return value if isinstance(value, list) else ()


def is_figure(value: float) -> bool:
    """Whether a number is finite as a float: whole ones can be too large to be one."""
    try:
        return math.isfinite(value)
    except OverflowError:
        return False


def sent_bytes(request: Request) -> bytes:
    """The body of a request as it is: a file; call it in a view's thread."""
    body: bytes = run_in_loop(request.body)
    return body
