"""One table a type, for writing and reading: nothing is forgotten, every fault has its place."""

from __future__ import annotations

import json
from dataclasses import MISSING, dataclass, fields
from enum import Enum
from typing import Any

import pytest

from fabrics.fabric_data import FABRIC
from fabrics.stash.rows import BOLT, LEFTOVER
from pieces.files.json_file import Fields
from pieces.files.kinds import (
    EXACT,
    FLAG,
    TEXT,
    WORKED_OUT,
    FigureError,
    always,
    choice,
    each,
    one,
    optional_whole,
    whole,
)
from pieces.files.record import WHOLE, Entry, Group, Record, taken_out
from pieces.findings import Finding
from plans.data.fabric_plan_data import FABRIC_PLAN, FOLD_REPORT
from plans.data.leftover_data import ALLOWANCE, COPY, CUT, EDGE, REGION, SAVING
from plans.data.placement_data import COPY as PLACED_COPY
from plans.data.placement_data import MATCH, PLACEMENT
from plans.data.plan_json import PLAN


class Colour(Enum):
    RED = "red"
    BLUE = "blue"


@dataclass(frozen=True)
class Corner:
    at: tuple[float, float]
    sharp: bool = True


@dataclass(frozen=True)
class Thing:
    name: str
    length: float
    colour: Colour
    corners: tuple[Corner, ...]
    main: Corner
    count: int | None
    note: str = ""


CORNER = Record(Corner, (Entry("at_mm", WORKED_OUT.point, "at"), Entry("sharp", FLAG, older=True)))


def _checked(data: Fields, values: dict[str, Any]) -> dict[str, Any]:
    if data.sound("corners") and not values["corners"]:
        data.fault("corners", "are none")
    return values


def _present(data: dict[str, Any]) -> dict[str, Any]:
    if "hue" in data:
        data.setdefault("colour", data["hue"])
    return data


THING = Record(
    Thing,
    (
        Entry("kind", always("thing"), WHOLE, told=True),
        Entry("name", TEXT),
        Group("more", (Entry("length_mm", WORKED_OUT.number(), "length"),)),
        Entry("colour", choice(Colour)),
        Entry("corners", each(CORNER)),
        Entry("main", one(CORNER)),
        Entry("count", optional_whole(1), older=None),
        Entry("note", TEXT, older="", spared=True),
    ),
    _checked,
    _present,
)

EXAMPLE = Thing(
    "a", 1.23456789, Colour.BLUE, (Corner((-1e-9, 2.0), False),), Corner((3.0, 4.5)), None
)


def read(data: Any) -> tuple[Thing, list[str]]:
    findings: list[Finding] = []
    thing = THING.read(Fields(json.loads(json.dumps(data)), "file", findings))
    return thing, [f"{found.field}: {found.message}" for found in findings]


def test_a_value_is_written_by_its_table() -> None:
    """Names and order of the file, groups, enums by value; rounded, never -0.0; spared if usual."""
    assert json.dumps(THING.write(EXAMPLE)) == json.dumps(
        {
            "kind": "thing",
            "name": "a",
            "more": {"length_mm": 1.234568},
            "colour": "blue",
            "corners": [{"at_mm": [0.0, 2.0], "sharp": False}],
            "main": {"at_mm": [3.0, 4.5], "sharp": True},
            "count": None,
        }
    )


def test_what_was_written_comes_back() -> None:
    """Equal but for what rounding took; and once more exactly."""
    thing, faults = read(THING.write(EXAMPLE))
    assert not faults
    assert thing.corners[0].at == (0.0, 2.0)
    assert read(THING.write(thing)) == (thing, [])


def test_older_files_lack_fields() -> None:
    """Defaults stand in for them, and former names are understood."""
    data = THING.write(EXAMPLE)
    del data["count"], data["main"]["sharp"], data["colour"]
    thing, faults = read(data | {"hue": "red"})
    assert not faults
    assert (thing.count, thing.main.sharp, thing.colour) == (None, True, Colour.RED)


def test_every_fault_is_told_at_once_with_its_path() -> None:
    """Within groups and lists, and what only all of it tells, where its fields are sound."""
    data = THING.write(EXAMPLE)
    data["more"]["length_mm"] = "long"
    data["colour"] = "green"
    data["corners"][0]["at_mm"] = [1.0]
    del data["main"]["at_mm"]
    data["count"] = 0
    assert read(data)[1] == [
        'more.length_mm: "long" is no number',
        'colour: "green" is not known',
        "corners[0].at_mm: it has 1 entries",
        "main.at_mm: is missing",
        "count: 0 cannot be",
    ]
    assert read(THING.write(EXAMPLE) | {"corners": []})[1] == ["corners: are none"]
    assert read([])[1] == ["None: [] is no group of fields"]


def test_figures_that_are_none_are_not_written() -> None:
    """Rounded ones are refused, or null where that may be; exact ones keep every digit."""
    for value in (float("inf"), float("nan")):
        with pytest.raises(FigureError):
            WORKED_OUT.figure(value)
        assert WORKED_OUT.known(value) is None
    assert WORKED_OUT.known(2.00000049) == 2.0
    assert EXACT.figure(0.1 + 0.2) == 0.1 + 0.2
    assert whole(1).write(3) == 3


def test_inner_values_are_taken_out() -> None:
    """By their own names; the rest stays."""
    values = {"a.x": 1, "a.y": 2, "ab": 3}
    assert taken_out(values, "a") == {"x": 1, "y": 2}
    assert values == {"ab": 3}


def written(entries: tuple[Entry | Group, ...]) -> set[str]:
    """First parts of all attributes that a table tells."""
    found: set[str] = set()
    for entry in entries:
        inner = written(entry.entries) if isinstance(entry, Group) else {entry.key.split(".")[0]}
        found |= inner
    return found


@pytest.mark.parametrize(
    ("record", "left_out"),
    [
        (FABRIC, set()),
        (BOLT, set()),
        (LEFTOVER, set()),
        (REGION, set()),
        (EDGE, set()),
        (ALLOWANCE, set()),
        (CUT, set()),
        (SAVING, set()),
        (FOLD_REPORT, set()),
        (PLACED_COPY, set()),
        (PLACEMENT, set()),
        (PLAN, set()),
        # What binds the search is over when a plan is made.
        (MATCH, {"along_only", "bar"}),
        # The demand is known only while a plan is made.
        (COPY, {"key"}),
        # The share of the pieces is what the others leave.
        (FABRIC_PLAN, {"pieces_share"}),
    ],
)
def test_no_field_is_forgotten(record: Record[Any], left_out: set[str]) -> None:
    """A field that a type gains must be told in its table, or be named here."""
    names = {one.name for one in fields(record.type)}  # type: ignore[arg-type]
    assert names - written(record.entries) == left_out
    required = {
        one.name
        for one in fields(record.type)  # type: ignore[arg-type]
        if one.default is MISSING and one.default_factory is MISSING
    }
    assert required - left_out <= written(record.entries)
