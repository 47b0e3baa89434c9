"""Keys and the signs between them: `=`, commas, names of more than one word."""

from __future__ import annotations

import re

from pieces.slips.line import HEADER, LineSlip, masked, replaced, shown, statement

_LISTED = {
    "piece": "piece", "pieces": "piece", "flaws": "flaws", "garment": "garment",
    "garments": "garment",
}  # fmt: skip
"""Tables that come in lists, by what is typed for them."""


def headers(line: str) -> LineSlip | None:
    """`[[piece]` and the like."""
    found = HEADER.match(masked(line))
    if found is None or (
        len(found["open"]) == len(found["close"]) <= 2
        and re.fullmatch(r"[\w.\"\x01-]+", found["name"])
    ):
        return None
    name = line[found.start("name") : found.end("name")].strip()
    listed = _LISTED.get(name.lower())
    new = f"[[{listed}]]" if listed else f"[{name}]"
    return LineSlip(f"{shown(line.strip())} begins no table", f"write {new}", new)


def signs_for_equals(line: str) -> LineSlip | None:
    """`:` and others for `=`."""
    outside = masked(line)
    found = re.search(r"(?:^|[{,])\s*[\w\"'\x01-]+[\w\"'\x01 -]*?\s*(:=|=>|==|->|:)\s*", outside)
    if found is None:
        return None
    mended = replaced(
        line, found.start(1), found.end(1), " =" if line[found.start(1) - 1] != " " else "="
    )
    return LineSlip(f"'{found[1]}' stands where = belongs", f"write {statement(mended)}", mended)


def missing_equals(line: str) -> LineSlip | None:
    """`title "Skirt"`."""
    outside = masked(line)
    found = re.search(
        r"(?:^\s*|[{,]\s*)([A-Za-z_][\w-]*)\s+(?=[\"'\[{]|[\d.-]+\s*(?:$|[,}]))", outside
    )
    if found is None:
        return None
    mended = replaced(line, found.end(1), found.end(), " = ")
    return LineSlip(f"= is missing after '{found[1]}'", f"write {statement(mended)}", mended)


def names_of_words(line: str) -> LineSlip | None:
    """A name of several words, or with letters beyond a to z, before `=`."""
    outside = masked(line)
    found = re.search(
        r"(?:^\s*|[{,]\s*)((?:[^\W\d_][\w-]*)(?:\s+[\w-]+)+|[\w-]*[^\x00-\x7f][\w-]*)\s*(?==)",
        outside,
    )
    if found is None:
        return None
    mended = replaced(line, found.start(1), found.end(1), f'"{found[1]}"')
    return LineSlip(f"the name {found[1]} needs quotes", f"write {statement(mended)}", mended)


def missing_commas(line: str) -> LineSlip | None:
    """Points, texts or keys of one line without a comma between them."""
    outside = masked(line)
    found = re.search(r"[\]}](\s*)(?=[\[{])", outside)
    if found is None:
        found = re.search(
            r"(?<=[\[,])\s*[+-]?\d+(?:\.\d+)?(\s+)[+-]?\d+(?:\.\d+)?\s*(?=\])", outside
        )
    if found is None:
        found = re.search(r"[\[,][^\[\]{}=]*[\"'](\s+)(?=[\"'])", outside)
    if found is None and "{" in outside:
        found = re.search(r"\{.*(?:[\"'\]}]|\d)(\s+)(?=[A-Za-z_\"][\w\x01\" -]*=)", outside)
        if found is not None and not re.search(r"[\"'\]}\d]$", outside[: found.start(1)]):
            found = None
    if found is None or found.start(1) == 0:
        return None
    if HEADER.match(outside):
        return None
    mended = replaced(line, found.start(1), found.end(1), ", ")
    around = shown(line[max(0, found.start(1) - 14) : found.end(1) + 14].strip(), 40)
    return LineSlip(f"a comma is missing in '{around}'", f"write {statement(mended)}", mended)


def needless_signs(line: str) -> LineSlip | None:
    """A comma before } or twice, or after the end of a line."""
    outside = masked(line)
    found = re.search(r"(,)\s*\}", outside) or re.search(r"(,)\s*,", outside)
    if found is not None:
        mended = replaced(line, found.start(1), found.end(1), "")
        return LineSlip("there is a comma too many", f"write {statement(mended)}", mended)
    if re.search(r"(?<=\d|\])\s*;\s*(?=[\d\[-])", outside):
        mended = "".join("," if s == ";" and outside[i] == ";" else s for i, s in enumerate(line))
        return LineSlip("';' parts no values", f"a comma: {statement(mended)}", mended)
    return None


def stray_text(line: str) -> LineSlip | None:
    """Words that are neither a key nor a remark; only for lines outside all brackets."""
    outside = masked(line)
    if "=" in outside or HEADER.match(outside) or not re.match(r"\s*[^\W\d_]", line):
        return None
    mended = f"# {line}"
    return LineSlip(
        f"'{shown(line.strip(), 40)}' is neither KEY = VALUE nor a remark",
        "a remark begins with #; a key is followed by = and its value",
        mended,
    )


def sign_at_end(line: str) -> LineSlip | None:
    """A comma, semicolon or full stop after a statement; only for lines outside all brackets."""
    outside = masked(line)
    found = re.search(r"=.*?(\s*[,;.])\s*$", outside)
    if found is None or any(outside.count(a) != outside.count(b) for a, b in ("[]", "{}")):
        return None
    mended = replaced(line, found.start(1), found.end(1), "")
    return LineSlip(
        f"'{found[1].strip()}' at the end of the line is one too many",
        f"write {statement(mended)}",
        mended,
    )


def two_statements(line: str) -> LineSlip | None:
    """Two keys on one line."""
    outside = masked(line)
    value = r"(?:\"[^\"]*\"|'[^']*'|[\d.+-]+|true|false)"
    found = re.match(
        rf"\s*[\w-]+\s*=\s*{value}\s*(?:[,;]?\s+|(?<=[\"']))(?=[A-Za-z_][\w-]*\s*=)", outside
    )
    if found is None:
        return None
    return LineSlip(
        f"two things are set on one line ('{shown(line.strip())}')",
        f"a line for each: {shown(line[: found.end()].strip())} and {shown(line[found.end() :])}",
        line[: found.end()].rstrip().rstrip(",;"),
    )


def table_in_brackets(line: str) -> LineSlip | None:
    """`[ edge = ... ]` where braces belong."""
    outside = masked(line)
    found = re.search(r"([\w-]+)\s*=\s*(\[)\s*[\w-]+\s*=[^\[\]{}]*(\])", outside)
    if found is None:
        return None
    listed = found[1] in ("edges", "notches", "flaws")
    opens, closes = ("[{", "}]") if listed else ("{", "}")
    mended = replaced(line, found.start(3), found.end(3), closes)
    mended = replaced(mended, found.start(2), found.end(2), opens)
    part = shown(line[found.start(2) : found.end(3)], 40)
    return LineSlip(f"{part} has = inside [ ]", f"braces: {statement(mended)}", mended)


def stray_signs(line: str) -> LineSlip | None:
    """A sign or a word between = and the value, or after the value."""
    outside = masked(line)
    found = re.search(r"=\s*([^\s\w\"'\[\]{}()+.,#-]+)\s*(?=[\"'\[{\d])", outside) or re.search(
        r"=\s*(?:\"[^\"]*\"|'[^']*'|.*[\]}])\s*([^\s\"'\[\]{}()=,;#]+)\s*$", outside
    )
    if found is None:
        return None
    mended = replaced(line, found.start(1), found.end(1), "")
    return LineSlip(
        f"'{shown(found[1])}' stands beside the value", f"leave it out: {statement(mended)}", mended
    )


def missing_values(line: str) -> LineSlip | None:
    """Nothing after `=`."""
    outside = masked(line)
    found = re.search(r"([\w-]+|[\"'][^\"']+[\"'])\s*=\s*(?=$|[,}\]])", outside)
    if found is None:
        return None
    name = line[found.start(1) : found.end(1)].strip("\"'")
    mended = replaced(line, found.end(), found.end(), ' ""')
    return LineSlip(f"nothing stands after {name} =", "write its value on the same line", mended)


RULES = (
    headers,
    two_statements,
    table_in_brackets,
    signs_for_equals,
    missing_commas,
    names_of_words,
    missing_equals,
)
LATE_RULES = (needless_signs, stray_signs, missing_values)
