"""Stashes as files: what goes out comes in, homes merge, and nothing in a file is trusted."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from fabrics.fabric import Repeat
from fabrics.fabric_data import FABRIC
from fabrics.stash.exchange.csv_table import FABRIC_COLUMNS, HEADS
from fabrics.stash.exchange.files import stash_to_csv, stash_to_data, take_in_csv, take_in_json
from fabrics.stash.records import TakenIn
from fabrics.stash.store import Stash
from pieces.findings import InputError
from pieces.lengths import System
from tests.fabrics.stash.example import LAWN, VOILE, rectangle
from tests.mutations import mutations

CHECK = replace(
    LAWN, name="check", repeat=Repeat(60.0, 40.0, 20.0), price=12.5, currency="EUR",
    flaws=(((0.0, 0.0), (10.0, 0.0), (10.0, 5.5)), ((20.0, 0.0), (30.0, 0.0), (30.0, 5.0))),
)  # fmt: skip
WAYS = [("json", take_in_json), ("csv", take_in_csv)]


def text_of(stash: Stash, kind: str) -> str:
    return json.dumps(stash_to_data(stash)) if kind == "json" else stash_to_csv(stash)


@pytest.fixture
def home(tmp_path: Path) -> Stash:
    """Two bolts, B1 among them, and a leftover with a hole."""
    stash = Stash(tmp_path / "home.sqlite")
    stash.add_bolt(CHECK, 3000.0, False, 'a, "quoted" note\nof two lines')
    stash.add_bolt(VOILE, 200.0, True)
    hole = ((310.0, 10.0), (320.0, 10.0), (315.0, 20.0))
    new = rectangle(VOILE, 400.5, 200.25, "ä")
    region = replace(new.region, holes=(hole,), rectangle=(0.0, 0.0, 300.0, 200.25))
    stash.add_leftover(replace(new, region=region))
    return stash


def plain(stash: Stash) -> list[tuple[Any, ...]]:
    return [(b.tag, b.fabric, b.length, b.washed, b.note) for b in stash.bolts()] + [
        (one.tag, one.fabric, one.region) for one in stash.leftovers()
    ]


@pytest.mark.parametrize(("kind", "take"), WAYS)
def test_everything_comes_back_under_its_tag(
    home: Stash, tmp_path: Path, kind: str, take: Any
) -> None:
    """Into an empty stash; the next tag follows those that came; twice doubles nothing."""
    text = text_of(home, kind)
    with Stash(tmp_path / "other.sqlite") as other:
        taken = take(other, text, "home")
        assert taken == TakenIn((("B1", "B1"), ("B2", "B2"), ("L1", "L1")), (), ())
        assert plain(other) == plain(home)
        again = take(other, text, "home")
        assert (again.came, len(again.there), again.differs) == ((), 3, ())
        assert plain(other) == plain(home)
        assert other.add_bolt(LAWN, 5.0, False).tag == "B3"


@pytest.mark.parametrize(("kind", "take"), WAYS)
def test_home_and_class_merge(home: Stash, tmp_path: Path, kind: str, take: Any) -> None:
    """A B1 of its own keeps its tag; the one that comes gets the next, and its note says so."""
    with Stash(tmp_path / "class.sqlite") as school:
        own = school.add_bolt(LAWN, 7000.0, True)
        text = text_of(home, kind)
        taken = take(school, text, f"somewhere/home.{kind}")
        assert taken.came == (("B1", "B3"), ("B2", "B2"), ("L1", "L1"))
        assert school.bolt("B1") == own
        assert school.bolt("B3").fabric == CHECK
        assert school.bolt("B3").note.endswith(f"of two lines; was B1 in home.{kind}")
        assert school.bolt("B2").note == ""
        # The same file once more, and the class back home: each thing is known by its id.
        again = take(school, text, f"home.{kind}")
        assert again.came == ()
        assert [here for _, here in again.there] == ["B3", "B2", "L1"]
        back = take(home, text_of(school, kind), f"class.{kind}")
        assert back.came == (("B1", "B3"),)
        assert len(home.bolts()) == len(school.bolts()) == 3


def test_what_differs_by_now_is_left_alone_and_named(home: Stash, tmp_path: Path) -> None:
    """A bolt that was cut, one that is out: neither doubled nor brought back."""
    text = text_of(home, "json")
    home.correct("B1", length=1500.0)
    home.remove("L1")
    taken = take_in_json(home, text, "home.json")
    assert taken.came == ()
    assert taken.there == (("B2", "B2"),)
    assert taken.differs == (
        ("B1", "B1", "is 150.0 cm long here and 300.0 cm there"),
        ("L1", "L1", "is out here"),
    )
    assert home.bolt("B1").length == 1500.0
    assert not home.leftovers()


def test_a_note_that_differs_is_told(home: Stash) -> None:
    """Beside what else differs, in the units of whoever asks."""
    text = text_of(home, "json")
    home.correct("B1", length=1524.0, note="for Ada")
    home.correct("L1", note="")
    home.system = System.IMPERIAL
    told = {tag: said for tag, _, said in take_in_json(home, text, "home.json").differs}
    assert "is 60 in long here and 118 1/8 in there, and has the note 'for Ada' here" in told["B1"]
    assert "has no note here and has the note 'ä' there" in told["L1"]


def test_two_like_bolts_of_two_people_stay_two(tmp_path: Path) -> None:
    """Same tag, fabric, length and second: still not the same cloth."""
    with Stash(tmp_path / "a.sqlite") as one, Stash(tmp_path / "b.sqlite") as two:
        one.add_bolt(LAWN, 1000.0, True)
        two.add_bolt(LAWN, 1000.0, True)
        assert take_in_json(two, text_of(one, "json"), "a.json").came == (("B1", "B2"),)


def test_exports_of_older_versions_come_in(home: Stash, tmp_path: Path) -> None:
    """JSON without ids, CSV with what had no column as JSON in `body`; twice doubles nothing."""
    data = stash_to_data(home)
    for row in (*data["bolts"], *data["leftovers"]):
        del row["id"]
    heads = [
        "kind", "tag", "fabric", "colour", "fibre", "width_mm", "length_mm", "washed", "long_mm",
        "wide_mm", "area_mm2", "note", "added", "body",
    ]  # fmt: skip
    stream = io.StringIO()
    writer = csv.DictWriter(stream, heads, extrasaction="ignore")
    writer.writeheader()
    for kind, rows in (("bolt", data["bolts"]), ("leftover", data["leftovers"])):
        for row in rows:
            body = {k: row[k] for k in ("fabric", "outline", "holes", "rectangle_mm") if k in row}
            writer.writerow(row | {"kind": kind, "body": json.dumps(body)})
    for name, take, text in (
        ("json", take_in_json, json.dumps(data)), ("csv", take_in_csv, stream.getvalue()),
    ):  # fmt: skip
        with Stash(tmp_path / f"{name}.sqlite") as other:
            assert len(take(other, text, "old").came) == 3
            assert plain(other) == plain(home)
            assert take(other, text, "old").came == ()


def test_the_table_has_a_column_for_each_fact(home: Stash) -> None:
    """No JSON in any cell; corners as a person may type them."""
    rows = list(csv.DictReader(io.StringIO(stash_to_csv(home), newline="")))
    assert tuple(rows[0]) == HEADS
    for row in rows:
        assert not any("{" in cell or "[" in cell for cell in row.values())
    assert rows[2]["outline_mm"] == "0.0,0.0 400.5,0.0 400.5,200.25 0.0,200.25"
    assert rows[0]["flaws_mm"].count(";") == 1
    assert rows[0]["repeat_axis_mm"] == "20.0"
    assert (rows[0]["washed"], rows[1]["washed"]) == ("false", "true")


def test_no_fact_of_a_fabric_is_without_a_column() -> None:
    """But what a stash does not keep: what is on hand, which bolt, which order, which file."""
    told = set(FABRIC_COLUMNS.values()) | {"repeat", "flaws"}
    assert set(FABRIC.write(CHECK)) - told == {"on_hand_mm", "bolt", "lot", "source"}


def test_everything_wrong_is_named_and_nothing_is_put_in(home: Stash, tmp_path: Path) -> None:
    """Four faults in three records, each with its place; the sound record stays out, too."""
    data = stash_to_data(home)
    data["bolts"][0]["fabric"]["price"] = ""
    data["bolts"][0]["fabric"]["repeat"] = [60.0, 40.0, "1e5"]
    data["leftovers"][0]["rectangle_mm"] = [0.0, 0.0, float("inf"), 5.0]
    data["leftovers"][0]["tag"] = "B2"
    with Stash(tmp_path / "other.sqlite") as other:
        with pytest.raises(InputError) as caught:
            take_in_json(other, json.dumps(data), "home.json")
        said = str(caught.value)
        assert 'home.json, bolts[0].fabric.price: "" is no number' in said
        assert "home.json, bolts[0].fabric.repeat: is no repeat" in said
        assert "leftovers[0].rectangle_mm" in said
        assert "leftovers[0].tag: 'B2' is not L and a number" in said
        assert not other.bolts()
        assert not other.leftovers()


def test_a_wrong_table_names_line_and_column(home: Stash, tmp_path: Path) -> None:
    """After a note of two lines the second bolt stands on line 4."""
    text = stash_to_csv(home).replace("bolt,B2,200.0,true", "bolt,B2,20 cm,maybe")
    with Stash(tmp_path / "other.sqlite") as other:
        with pytest.raises(InputError) as caught:
            take_in_csv(other, text, "home.csv")
        assert 'home.csv:4, length_mm: "20 cm" is no number' in str(caught.value)
        assert 'home.csv:4, washed: "maybe" is neither true nor false' in str(caught.value)
        assert not other.bolts()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "home.csv:1: is no table of a stash"),
        ("kind;tag;length_mm\n", "parted by commas"),
        (",".join(HEADS) + "\nbolt,B1\n", "home.csv:2, kind: this row has more or fewer cells"),
        (",".join(HEADS) + '\nbolt,"B1\n', "a cell in quotes does not end"),
        (",".join(HEADS) + "\nroll" + "," * (len(HEADS) - 1) + "\n", '"roll" is not known'),
    ],
)
def test_what_is_no_table_is_refused(tmp_path: Path, text: str, said: str) -> None:
    """With the line and what would be right."""
    with Stash(tmp_path / "s.sqlite") as stash:
        with pytest.raises(InputError) as caught:
            take_in_csv(stash, text, "home.csv")
        assert said in str(caught.value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "home.json:1: is no JSON"),
        ("[]", "is no export"),
        ('{"format": "laywright stash", "version": 9}', "version 9"),
        ('{"format": "laywright stash", "version": true}', "version true"),
        ('{"format": "laywright stash", "version": 1, "bolts": [{}]}', "bolts[0].tag: is missing"),
        ('{"format": "laywright stash", "version": 1, "bolts": {}}', "bolts: {} is no list"),
    ],
)
def test_what_is_no_export_is_refused(tmp_path: Path, text: str, said: str) -> None:
    """With the place and the field."""
    with Stash(tmp_path / "s.sqlite") as stash:
        with pytest.raises(InputError) as caught:
            take_in_json(stash, text, "home.json")
        assert said in str(caught.value)


def test_large_outlines_go_through_a_table(tmp_path: Path) -> None:
    """A cell far above the 131,072 letters at which Python's reader gives up by itself."""
    steps = [(0.1 * k, 300.0 + (0.123456789 if k % 2 else 0.0)) for k in range(6600, -1, -1)]
    ring = ((0.0, 0.0), (660.0, 0.0), *steps)
    new = rectangle(LAWN, 660.0, 300.0)
    new = replace(new, region=replace(new.region, outline=ring, area=198_000.0))
    with Stash(tmp_path / "a.sqlite") as stash, Stash(tmp_path / "b.sqlite") as other:
        stash.add_leftover(new)
        text = stash_to_csv(stash)
        assert max(len(line) for line in text.splitlines()) > 131_072
        assert len(take_in_csv(other, text, "a.csv").came) == 1
        assert other.leftover("L1").region.outline == ring
    assert csv.field_size_limit() == 131_072


def test_any_value_of_an_export_may_be_wrong(home: Stash, tmp_path: Path) -> None:
    """Taken in whole and listed as sound, or refused with the file's name; nothing else."""
    data = json.loads(text_of(home, "json"))
    count = refused = 0
    with Stash(tmp_path / "other.sqlite") as other:
        other.base.execute("PRAGMA synchronous = OFF")
        for place, wrong in mutations(data, 4):
            count += 1
            try:
                try:
                    take_in_json(other, json.dumps(data), "home.json")
                except InputError as error:
                    refused += str(error).startswith("home.json")
                else:
                    json.dumps(stash_to_data(other), allow_nan=False).encode()
                    stash_to_csv(other).encode()
            except Exception as error:
                raise AssertionError(f"{place} replaced by {wrong!r}") from error
        assert not other.damaged()
    assert count > 400
    assert refused > 0.6 * count


def test_any_cell_of_a_table_may_be_wrong(home: Stash, tmp_path: Path) -> None:
    """The same for CSV, with what a spreadsheet may make of a cell."""
    rows = list(csv.DictReader(io.StringIO(stash_to_csv(home), newline="")))
    refused = 0
    with Stash(tmp_path / "other.sqlite") as other:
        other.base.execute("PRAGMA synchronous = OFF")
        for row in rows:
            for head in HEADS:
                for wrong in ("", "1e999", "-1", "12,5", "#REF!", "0,0 1,1", "nan", "TRUE", "\x00"):
                    stream = io.StringIO()
                    writer = csv.DictWriter(stream, HEADS)
                    writer.writeheader()
                    writer.writerow(row | {head: wrong})
                    try:
                        take_in_csv(other, stream.getvalue(), "home.csv")
                    except InputError as error:
                        refused += str(error).startswith("home.csv")
        assert not other.damaged()
    assert refused > 200


def test_a_stash_with_bad_rows_lists_the_good_ones(home: Stash) -> None:
    """As an older import let them in: told apart, with the reason; out they go, and back."""
    bad = FABRIC.write(CHECK) | {"price": ""}
    home.base.execute("UPDATE fabric SET body = ? WHERE name = 'check'", (json.dumps(bad),))
    home.base.execute("UPDATE leftover SET rectangle = '[0, 0, Infinity, 5]'")
    assert [bolt.tag for bolt in home.bolts()] == ["B2"]
    assert not home.leftovers()
    damaged = {one.tag: "; ".join(one.faults) for one in home.damaged()}
    assert set(damaged) == {"B1", "L1"}
    assert 'fabric.price: "" is no number' in damaged["B1"]
    assert "rectangle_mm" in damaged["L1"]
    with pytest.raises(ValueError, match=r"'B1': .* is damaged .*stash out B1"):
        home.find("b1")
    number = home.remove("B1", "L1")
    assert not home.damaged()
    home.undo(number)
    assert len(home.damaged()) == 2
