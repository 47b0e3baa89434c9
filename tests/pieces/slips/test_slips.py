"""Slips of typing: the line, what stands there, and how to write it, in plain words."""

from __future__ import annotations

from pathlib import Path

import pytest

from fabrics.fabric_toml import check_fabric
from pieces.readers.garment_toml import check_garment, load_garment
from pieces.readers.shelf import SHELF
from pieces.slips.explain import LINE_RULES, explain_toml

PARSER_WORDS = ("Illegal", "Expected", "Invalid", "Unclosed", "Cannot", "statement", "column")

SLIPS = [
    # What is typed, the line that is named, what it says stands there, how to write it.
    ('title = "Skirt\nunits = "cm"\n', 1, 'the quote after "Skirt is missing', 'title = "Skirt"'),
    ('title = Skirt"\n', 1, 'the quote before Skirt" is missing', 'title = "Skirt"'),
    ("units = cm\n", 1, "cm stands without quotes", 'units = "cm"'),
    ("title = Anna's skirt\n", 1, "Anna's skirt stands without quotes", '"Anna\'s skirt"'),
    ("title = \"Skirt'\n", 1, "closes with '", 'title = "Skirt"'),
    ('title = "A long\nskirt"\n', 1, "goes on over the end of the line", 'title = "A long skirt"'),
    ("by = 10 1/2\n", 1, "the length 10 1/2", 'by = "10 1/2"'),
    ("allowance = 12 cm\n", 1, "the length 12 cm", 'allowance = "12 cm"'),
    ('allowance = 3/8"\n', 1, '3/8" has an inch mark', 'allowance = "3/8 in"'),
    ('by = "2 1/2""\n', 1, "an inch mark that ends the text too early", '"2 1/2 in"'),
    ('to = [3/8", 4]\n', 1, "an inch mark", 'to = ["3/8 in", 4]'),
    ("to = [10 1/2, 3]\n", 1, "the length 10 1/2", 'to = ["10 1/2", 3]'),
    ("units = “cm”\n", 1, "“cm” has curly quotes", 'units = "cm"'),
    ("units = „cm“\n", 1, "curly quotes", 'units = "cm"'),
    ('by = "2½”\n', 1, "curly quotes", 'by = "2½"'),
    ("to = (12, 4)\n", 1, "(12, 4) has round brackets", "to = [12, 4]"),
    ("to = [[1, 2] [3, 4]]\n", 1, "a comma is missing", "to = [[1, 2], [3, 4]]"),
    ("to = [12 4]\n", 1, "a comma is missing", "to = [12, 4]"),
    ("to = [12; 4]\n", 1, "';' parts no values", "to = [12, 4]"),
    (
        "edges = [\n  { a = 1 }\n  { a = 2 }\n]\n",
        2,
        "a comma is missing after '{ a = 1 }'",
        "edges",
    ),
    ('cut = { main = "2" lining = "2" }\n', 1, "a comma is missing", '"2", lining'),
    ("allowance = 12,5\n", 1, "12,5 has a decimal comma", "allowance = 12.5"),
    ("allowance = 1,5 cm\n", 1, "1,5 has a decimal comma", 'allowance = "1.5 cm"'),
    ("shorten = { by = 2,5 }\n", 1, "2,5 has a decimal comma", "{ by = 2.5 }"),
    ("to = 12, 4\n", 1, "the point 12, 4 has no brackets", "to = [12, 4]"),
    ("edges = [\n  { a = 1 },\nfold = 3\n", 2, "the [ of line 1 is not closed", "]"),
    ('notch = { a = "x"\nb = 1\n', 1, "the { is not closed", 'notch = { a = "x" }'),
    ("e = [\n { a = [1, 0 },\n]\n", 2, "the [ is not closed before the }", "[1, 0] }"),
    ("e = [\n { a = [1, 0] ],\n { a = 1 },\n]\n", 2, "the { is closed by ]", "{ a = [1, 0] }"),
    ("a = 1]\n", 1, "the ] closes nothing", "a = 1"),
    ("e = {\n { a = 1 },\n}\n", 1, "a list begins with {", "e = ["),
    ("e = [\n { a = 1,\n   b = 2 },\n]\n", 2, "goes on over the end", "{ a = 1, b = 2 }"),
    ('notches = [ edge = "side" ]\n', 1, "has = inside [ ]", 'notches = [{ edge = "side" }]'),
    ('title "Skirt"\n', 1, "= is missing after 'title'", 'title = "Skirt"'),
    ('title: "Skirt"\n', 1, "':' stands where = belongs", 'title = "Skirt"'),
    ("title =\n", 1, "nothing stands after title =", "on the same line"),
    ('a = 1\nb = 2\na = "3"\n', 3, "'a' is written twice; it stands on line 1", "keep one"),
    ('[[piece]]\nname = "a"\nname = "b"\n', 3, "written twice", "[[piece]] before the second"),
    ('[piece]\nname = "a"\n[piece]\nname = "b"\n', 1, "can stand once only", "[[piece]]"),
    ('[[piece]\nname = "a"\n', 1, "begins no table", "[[piece]]"),
    ("mirrored = True\n", 1, "True is not known", "mirrored = true"),
    ("mirrored = yes\n", 1, "yes is not known", "mirrored = true"),
    ("a = .5\n", 1, ".5 lacks a figure", "a = 0.5"),
    ("a = 05\n", 1, "05 begins with 0", "a = 5"),
    ("a = { b = 1, }\n", 1, "a comma too many", "a = { b = 1 }"),
    ('title = "x",\n', 1, "one too many", 'title = "x"'),
    ("a = [–3, 4]\n", 1, "a long dash", "a = [-3, 4]"),
    ("a =\u00a03\n", 1, "an invisible sign (no-break space)", "a = 3"),
    ("// a skirt\na = 1\n", 1, "'//' begins no remark", "#"),
    ("centre back = 1\n", 1, "the name centre back needs quotes", '"centre back" = 1'),
    ("länge = 1\n", 1, "the name länge needs quotes", '"länge" = 1'),
    ('a = 1 b = "x"\n', 1, "two things are set on one line", "a line for each"),
    ('p = "C:\\Users\\x"\n', 1, "has a backslash", "C:/Users/x"),
    ('a = "net"b = "x"\n', 1, "two things are set on one line", "a line for each"),
    ('a = "net"/\n', 1, "'/' stands beside the value", 'a = "net"'),
    ("a = ~[1, 2]\n", 1, "'~' stands beside the value", "a = [1, 2]"),
    ("the back\na = 1\n", 1, "neither KEY = VALUE nor a remark", "begins with #"),
    ("shrinkage = { along = 4 % }\n", 1, "4 % stands without quotes", 'along = "4 %"'),
]


@pytest.mark.parametrize(("typed", "line", "stands", "write"), SLIPS)
def test_a_slip_says_its_line_what_stands_there_and_what_to_write(
    typed: str, line: int, stands: str, write: str
) -> None:
    """In our own words; a parser's never stand alone, nor at all."""
    findings, data = explain_toml(typed, "s.toml")
    first = findings[0]
    assert first.line == line
    assert stands in first.message
    assert first.fix is not None
    assert write in first.fix
    assert len(findings) == 1
    assert data is not None
    assert not any(word in str(first) for word in PARSER_WORDS)


@pytest.mark.parametrize("typed", ["=3\n", "a = '''x\n", 'a = "x" "y"\n'])
def test_what_is_not_recognised_is_quoted_with_advice(typed: str) -> None:
    """The text of the line, and how lines are written in general."""
    findings, data = explain_toml(typed, "s.toml")
    assert data is None
    assert typed.strip() in findings[0].message
    assert "each line is KEY = VALUE" in (findings[0].fix or "")
    assert not any(word in str(findings[0]) for word in PARSER_WORDS)


def test_no_rule_finds_a_slip_in_a_sound_file() -> None:
    """Every line of the shelves passes every rule."""
    for path in [*SHELF.glob("*.toml"), *(SHELF.parents[1] / "fabrics/shelf").glob("*.toml")]:
        for line in path.read_text(encoding="utf-8").split("\n"):
            for rule in LINE_RULES:
                slip = rule(line)
                assert slip is None or slip.mended == line, (path.name, rule.__name__, line)


BODY = """title = "Bag
units = cm

[[piece]]
name = "side"
cut = { main = 2 same way }
drawn = "nett"
allowance = 1,5
grain = "up"
edges = [
  { name = "hem", to = (30, 0) }
  { name = "rest", to = [[30, 40] [0, 40], [0, 0]] },
]
"""


def test_all_slips_are_told_at_once_with_their_piece(tmp_path: Path) -> None:
    """And what is wrong otherwise, too: the file is read as if the slips were put right."""
    path = tmp_path / "bag.toml"
    path.write_text(BODY, encoding="utf-8")
    findings = check_garment(path)
    assert [finding.line for finding in findings] == [1, 2, 6, 7, 8, 11, 11, 12]
    assert {finding.piece for finding in findings[2:]} == {"side"}
    assert "'nett' is not known" in findings[3].message


def test_every_finding_of_the_reader_has_its_line(tmp_path: Path) -> None:
    """Of the field, of the entry in a list, or of the piece where the field is missing."""
    text = (
        BODY.replace('"Bag', '"Bag"').replace("= cm", '= "cm"').replace("2 same way", '"two"')
    ).replace("1,5", '"1.5 kg"')
    text = text.replace("(30, 0) }", "[30] },").replace("] [", "], [").replace('grain = "up"\n', "")
    path = tmp_path / "bag.toml"
    path.write_text(text, encoding="utf-8")
    found = {finding.field: finding.line for finding in check_garment(path)}
    assert found["cut.main"] == 6
    assert found["drawn"] == 7
    assert found["edges[1].to"] == 10
    assert found["grain"] == 5


@pytest.mark.parametrize("mark", [b"\xef\xbb\xbf", b""])
def test_a_byte_order_mark_does_no_harm(tmp_path: Path, mark: bytes) -> None:
    """Editors on Windows write one."""
    path = tmp_path / "g.toml"
    path.write_bytes(mark + (SHELF / "toy-hare.toml").read_bytes().replace(b"\n", b"\r\n"))
    assert load_garment(path).pieces[0].name == "body side"


def test_utf_16_is_read_and_latin_letters_are_explained(tmp_path: Path) -> None:
    """Saved in another coding: the line, and what to choose on saving."""
    path = tmp_path / "g.toml"
    path.write_text((SHELF / "toy-hare.toml").read_text(encoding="utf-8"), encoding="utf-16")
    assert load_garment(path).pieces[0].name == "body side"
    path.write_bytes('units = "cm"\ntitle = "Größe"\n'.encode("cp1252"))
    (finding,) = check_garment(path)
    assert finding.line == 2
    assert "Größe" in finding.message
    assert "UTF-8" in (finding.fix or "")


@pytest.mark.parametrize(
    ("units", "hint"),
    [("zoll", 'did you mean "in"?'), ("cms", 'did you mean "cm"?'), ("qqq", "one of mm, cm")],
)
def test_one_wrong_unit_is_one_error(tmp_path: Path, units: str, hint: str) -> None:
    """Not one for every bare number; and what is known is listed once."""
    path = tmp_path / "g.toml"
    text = (SHELF / "blouse.toml").read_text(encoding="utf-8")
    path.write_text(text.replace('units = "cm"', f'units = "{units}"'), encoding="utf-8")
    (finding,) = check_garment(path)
    assert hint in str(finding)
    assert str(finding).count("mm, cm, m, in") == 1


def test_no_unit_at_all_is_one_error(tmp_path: Path) -> None:
    """However many bare numbers there are."""
    path = tmp_path / "g.toml"
    text = (SHELF / "blouse.toml").read_text(encoding="utf-8")
    path.write_text(text.replace('units = "cm"', ""), encoding="utf-8")
    (finding,) = check_garment(path)
    assert finding.field == "units"
    assert 'write units = "cm"' in str(finding)


@pytest.mark.parametrize(
    ("typed", "hint"),
    [("[12,5, 40]", "[12.5, 40]"), ("[12,5, 40,2]", "[12.5, 40.2]")],
)
def test_decimal_commas_inside_a_point(tmp_path: Path, typed: str, hint: str) -> None:
    """Valid TOML, but three numbers or four."""
    path = tmp_path / "g.toml"
    text = (SHELF / "toy-hare.toml").read_text(encoding="utf-8").replace("[12, 0]", typed, 1)
    path.write_text(text, encoding="utf-8")
    assert hint in "\n".join(map(str, check_garment(path)))


SIGNS = [
    ("\\t", "a tab"),
    ("\\n", "a line break"),
    ("\\r", "a carriage return"),
    ("\\u001b", "an escape sign"),
    ("\\u0000", "a null sign"),
    ("\\u202e", "U+202E"),
]


@pytest.mark.parametrize(("sign", "name"), SIGNS)
@pytest.mark.parametrize(
    ("old", "line"),
    [
        ('"Soft toy hare', 1),
        ('"body side"', 7),
        ('"seat"', 13),
    ],
)
def test_signs_that_cannot_be_printed_are_refused(
    tmp_path: Path, sign: str, name: str, old: str, line: int
) -> None:
    """In titles, names of pieces and of edges, with line and field."""
    text = (SHELF / "toy-hare.toml").read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / "g.toml"
    path.write_text(text.replace(old, f'"{sign}{old[1:]}', 1), encoding="utf-8")
    finding = next(f for f in check_garment(path) if "cannot be printed" in f.message)
    assert name in finding.message
    assert finding.fatal
    typed = next(
        i
        for i, given in enumerate(path.read_text(encoding="utf-8").split("\n"), 1)
        if sign in given
    )
    assert finding.line == typed


def test_roles_groups_and_fabrics_hold_no_such_signs(tmp_path: Path) -> None:
    """A role is a key; a fabric file is read by the same rules; other scripts are welcome."""
    path = tmp_path / "g.toml"
    text = (SHELF / "toy-hare.toml").read_text(encoding="utf-8")
    path.write_text(text.replace("{ plush =", '{ "pl\\tush" ='), encoding="utf-8")
    assert any(f.field == "cut.pl?ush" for f in check_garment(path))
    path.write_text(text.replace("body side", "前身頃 🐇"), encoding="utf-8")
    assert check_garment(path) == []
    path.write_text('title = "a\\tb"\nwidth = "140 cm"\ncolour = "x\\u001b"\n', encoding="utf-8")
    assert [f.field for f in check_fabric(path)] == ["title", "colour"]


def test_what_follows_from_a_slip_is_not_told_as_well(tmp_path: Path) -> None:
    """A misspelt key is not also missing; a forgotten [[piece]] is one fault."""
    path = tmp_path / "g.toml"
    text = (SHELF / "toy-hare.toml").read_text(encoding="utf-8")
    for old, new in (
        ("allowance =", "alowance ="),
        ("edges =", "egdes ="),
        ("smooth =", "smoth ="),
        ("[[piece]]", "[[pieces]]"),
    ):
        path.write_text(text.replace(old, new, 1 if old != "[[piece]]" else -1), encoding="utf-8")
        (finding,) = check_garment(path)
        assert "did you mean" in (finding.fix or "")
    head = text.replace('\n[[piece]]\nname = "belly', '\nname = "belly', 1)
    path.write_text(head, encoding="utf-8")
    (finding,) = check_garment(path)
    assert "[[piece]] before the second piece" in (finding.fix or "")


@pytest.mark.parametrize(
    ("field", "hint"),
    [
        ("strip", 'length = "70 cm"'),
        ("shorten", 'edge = "hem"'),
        ("joinable", "min_part"),
        ("allowances", "hem ="),
    ],
)
def test_single_values_for_tables_show_how_one_is_written(
    tmp_path: Path, field: str, hint: str
) -> None:
    """With an example, not with braces and dots."""
    path = tmp_path / "g.toml"
    text = (SHELF / "toy-hare.toml").read_text(encoding="utf-8")
    if field == "strip":
        text = '[[piece]]\nname = "band"\ncut = "1"\ndrawn = "net"\nallowance = 0\ngrain = "up"\n'
    path.write_text(text.replace("grain =", f'{field} = "2 cm"\ngrain =', 1), encoding="utf-8")
    assert hint in "\n".join(map(str, check_garment(path)))


def test_a_bare_fraction_in_a_metric_file_is_asked_about(tmp_path: Path) -> None:
    """5/8 is hardly ever 0.6 cm."""
    path = tmp_path / "g.toml"
    text = (SHELF / "wrap-skirt.toml").read_text(encoding="utf-8")
    path.write_text(text.replace('allowance = "1.5 cm"', 'allowance = "5/8"', 1), encoding="utf-8")
    (finding,) = (f for f in check_garment(path) if f.field == "allowance")
    assert not finding.fatal
    assert "are inches meant?" in finding.message
    path.write_text(text.replace('"1.5 cm"', '"5/8 in"', 1), encoding="utf-8")
    assert check_garment(path) == []
