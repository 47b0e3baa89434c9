"""Values without their quotes: lengths, fractions, words; decimal commas; unclosed strings."""

from __future__ import annotations

import re

from pieces.slips.line import HEADER, LineSlip, masked, quoted, replaced, shown, statement

_UNIT = r"(?:mm|cm|m|in|inch|inches|ft|yd|yds|yards?|%|°)"
_NUMBER = r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)?(?:[\s-]*\d+\s*/\s*\d+|\s*[¼½¾⅓⅔⅛⅜⅝⅞])?"
_MEASURE = re.compile(rf"^{_NUMBER}\s*{_UNIT}?\.?$", re.IGNORECASE)
_SCALAR = re.compile(
    r"^(?:true|false|[+-]?(?:inf|nan)|[+-]?(?:0|[1-9]\d*(?:_\d+)*)(?:\.\d+(?:_\d+)*)?(?:[eE][+-]?\d+)?"
    r"|0[xob][0-9a-fA-F_]+|\d{4}-\d\d-\d\d.*|\d\d:\d\d.*)$"
)
_TOKEN = re.compile(r"(?:[=\[,]\s*)(?P<token>[^\s\"'\[\]{},=#][^\[\]{},=]*?)\s*(?=[\],}]|$)")
_INCHES = re.compile(
    r"(?P<lead>[=\[,(]\s*)(?P<open>\"?)(?P<number>\d[\d\s./-]*?|\d*\s*[¼½¾⅛⅜⅝⅞])\s*"
    r"(?P<mark>\"|''|”|″)(?P<again>\"?)\s*(?=[,}\])]|#|$)"
)
_TRUTH = {"yes": "true", "no": "false", "true": "true", "false": "false", "on": "true"}


def inch_marks(line: str) -> LineSlip | None:
    """`3/8"` without quotes, or with its inch mark taken for the end of the string."""
    for found in _INCHES.finditer(line):
        twice = bool(found["open"])
        if twice and not found["again"]:
            continue  # A sound string such as "12".
        if not twice and (found["again"] or line[: found.start("number")].count('"') % 2):
            continue
        part = line[found.start("open") : found.end()].strip()
        new = f'"{found["number"].strip()} in"'
        end = max(found.end("mark"), found.end("again"))
        mended = replaced(line, found.start("open"), end, new)
        why = "an inch mark that ends the text too early" if twice else "an inch mark and no quotes"
        return LineSlip(f"{part} has {why}", f"in for inches: {statement(mended)}", mended)
    return None


def decimal_commas(line: str) -> LineSlip | None:
    """`12,5` for twelve and a half, where one number is wanted."""
    outside = masked(line)
    found = re.search(r"=\s*([+-]?\d+),(\d+)(\s*(?:mm|cm|m|in|yd))?\s*(?=$|[},#])", outside)
    if found is None:
        found = re.search(r"(?<=[\[,])\s*([+-]?\d+),(\d+)(\s*(?:mm|cm|m|in))(?=\s*[\],])", outside)
    if found is None:
        return None
    number = f"{found[1]}.{found[2]}"
    if found[3]:
        number = f'"{number}{found[3]}"'
    end = found.end(3) if found[3] else found.end(2)
    mended = replaced(line, found.start(1), end, number)
    return LineSlip(
        f"{found[1]},{found[2]} has a decimal comma, which parts two values here",
        f"a point: {statement(mended)}",
        mended,
    )


def bare_points(line: str) -> LineSlip | None:
    """`to = 12, 4` without its brackets."""
    outside = masked(line)
    number = r"[+-]?\d+(?:\.\d+)?"
    found = re.search(
        rf"\b(?:to|smooth|at|start|line|centre)\s*=\s*({number}\s*,\s*{number})\s*(?=$|[}}\],])",
        outside,
    )
    if found is None or outside[found.end() : found.end() + 1] == "]":
        return None
    mended = replaced(line, found.start(1), found.end(1), f"[{found[1]}]")
    return LineSlip(f"the point {found[1]} has no brackets", f"[x, y]: {statement(mended)}", mended)


def bare_values(line: str) -> LineSlip | None:
    """Lengths and words that stand without quotes."""
    outside = masked(line)
    if HEADER.match(outside):
        return None
    for found in _TOKEN.finditer(outside):
        token = found["token"].strip()
        if _SCALAR.match(token) or "\x01" in token:
            continue
        slip = _bare(line, found.start("token"), found.start("token") + len(token), token)
        if slip is not None:
            return slip
    return None


def _bare(line: str, start: int, end: int, token: str) -> LineSlip | None:
    if token.lower() in _TRUTH:
        mended = replaced(line, start, end, _TRUTH[token.lower()])
        return LineSlip(f"{token} is not known", f"in small letters: {statement(mended)}", mended)
    money = re.fullmatch(r"[€$£¥]\s*(\d+(?:\.\d+)?)|(\d+(?:\.\d+)?)\s*[€$£¥]", token)
    if money:
        mended = replaced(line, start, end, money[1] or money[2])
        why = f"{token} has the sign of its currency"
        return LineSlip(why, f"the figure alone: {statement(mended)}", mended)
    if re.fullmatch(r"[+-]?0\d+(?:\.\d+)?", token):
        mended = replaced(line, start, end, re.sub(r"0+(?=\d)", "", token, count=1))
        return LineSlip(f"{token} begins with 0", f"without it: {statement(mended)}", mended)
    if re.fullmatch(r"[+-]?(?:\.\d+|\d+\.)", token):
        new = token + "0" if token.endswith(".") else token.replace(".", "0.")
        mended = replaced(line, start, end, new)
        return LineSlip(
            f"{token} lacks a figure beside its point",
            f"figures on both sides: {statement(mended)}",
            mended,
        )
    if re.search(r"[;:|]", token):
        return None
    mended = replaced(line, start, end, quoted(token))
    kind = (
        "the length "
        if "%" not in token and _MEASURE.match(token) and token[0] in "+-.0123456789"
        else ""
    )
    return LineSlip(
        f"{kind}{shown(token, 40)} stands without quotes",
        f"in quotes: {statement(mended)}",
        mended,
    )


def unclosed_strings(line: str) -> LineSlip | None:
    """A quote that is missing before or after a text."""
    bare = line.rstrip()
    for quote in ('"', "'"):
        if quote == "'" and '"' in bare:
            break
        opened: int | None = None
        for index, sign in enumerate(bare):
            if sign == "#" and opened is None:
                break
            if sign != quote or bare[index - 1 : index] == "\\":
                continue
            before, after = bare[:index].rstrip()[-1:], bare[index + 1 :].lstrip()[:1]
            may_open = not before or before in "=[,{("
            may_close = not after or after in ",]}#=.:)"
            if opened is None:
                start = max(bare.rfind(mark, 0, index) for mark in "=[,{") + 1
                if not may_open and may_close and quote == '"' and '"' not in bare[start:index]:
                    return _opening(bare, index, start)
                opened = index if may_open else None
            elif may_close or not may_open:
                opened = None
            else:
                return _closing(bare, opened, quote)
        if opened is not None:
            return _closing(bare, opened, quote)
    return None


def _opening(line: str, closes: int, start: int) -> LineSlip:
    while line[start : start + 1] == " ":
        start += 1
    mended = replaced(line, start, start, '"')
    return LineSlip(
        f"the quote before {shown(line[start : closes + 1], 40)} is missing",
        f"quotes on both sides: {statement(mended)}",
        mended,
    )


def _closing(line: str, opens: int, quote: str) -> LineSlip:
    other = "'" if quote == '"' else '"'
    rest = line[opens + 1 :]
    end = re.search(r"\s*(?:,\s*[\w-]+\s*=|,\s*[\"\[{]|\}|\]\s*[,}\]]|\]\s*$|$)", rest)
    cut = opens + 1 + (end.start() if end else len(rest))
    part = line[opens:cut].rstrip()
    if part.endswith((other, "”", "“", "’")) and len(part) > 2:
        mended = line[:opens] + part[:-1] + quote + line[cut:]
        why = f"opens with {quote} and closes with {part[-1]}"
        return LineSlip(f"{shown(part, 40)} {why}", f"one sign: {statement(mended)}", mended)
    mended = line[:opens] + part + quote + line[cut:]
    return LineSlip(
        f"the quote after {shown(part, 40)} is missing",
        f"quotes on both sides: {statement(mended)}",
        mended,
    )


RULES = (inch_marks, decimal_commas, bare_points)
LATE_RULES = (unclosed_strings, bare_values)
