"""What a finding says on the form: fields as the form calls them, remedies that it offers.

`laywright check` speaks of the file, where `edges[1].to` is a place and `fold = "hem"` a remedy;
who types into a form has never seen either.
"""

from __future__ import annotations

import re

PART = re.compile(r"([^.\[\]]+)|\[(\d+)\]")

_ROWS = {
    "edges": "edge", "notches": "notch", "edits": "change", "sew": "seam", "match": "match point",
    "shorter": "shorter edge", "smooth": "point", "to": "point", "piece": "piece",
}  # fmt: skip
"""Lists whose rows are counted on the form."""

_CALLED = {
    "x": "across", "y": "up", "start": "beginning", "description": "what it is",
    "caution": "caution to print with it", "units": "a figure without a unit",
    "allowance": "allowance", "drawn": "how the allowance is drawn", "fold": "on the fold",
    "turned_up": "turned up", "turns": "grain along the cloth", "hand": "hand that is drawn",
    "heading_free": "heading free on one-way cloth", "opened_out": "laid whole",
    "like": "piece that it is like", "of": "of piece", "min_part": "shortest part",
    "joinable": "cut in parts and joined", "on_grain": "joined on the grain", "band": "band",
    "binding": "bias strip", "longer": "longer by", "path": "SVG path data",
    "path_unit": "one unit of the path", "square": "square to its neighbour", "arc": "arc",
    "angle": "angle, degrees", "turn": "bends to the", "long_way": "the long way",
    "on_top": "lies on top", "leave": "leave open", "smooth": "points", "sew": "sewn edges",
    "way": "outline", "drawn_size": "size that is drawn", "match": "match point",
    "bar": "on the design",
}  # fmt: skip

_SIDES = {"1": "sewn", "2": "to"}

_ARROW = {"1": "tail", "2": "head"}

_SEWN = ("sew", "edges")
"""Where the two sides of a seam stand if more is said of it."""

_PLACE = re.compile(r"\b(?:edges|edits|notches|shorter|sew|piece|match)\[\d+\](?:\.\w+|\[\d+\])*")

_CUTS = 'such as "1 on fold", "2", "1 pair" or "2 same way"'

_REMEDIES: tuple[tuple[str, str], ...] = (
    (r'name it: fold = "EDGE"', 'tick "on the fold" at an edge'),
    (r'write name = "front"', "give it a name"),
    (r"write drawn = .*", 'choose "net" or "with allowance"'),
    (r'write "up", or .*', 'choose a direction, or "from a point to another"'),
    (r"write cut = \{ ROLE .*", f"say how often, {_CUTS}"),
    (r"write cut = .*", 'say at "Cut" of a piece how often it is cut'),
    (r"write \[\[piece\]\].*", 'press "One more piece"'),
    (r"write edges = .*", 'press "One more edge"'),
    (r"write one of to \(straight\).*", "choose its kind"),
    (r"write units = .*", 'choose a unit at "The garment", or type one with each length'),
    (r'(say how \w+): \w+ = "(.*)"', r"\1, such as \2"),
    (r"write along = .*", "such as front.neck + back.neck"),
    (r'write ("[^"]* on fold"), or leave fold out', r'type \1, or untick "on the fold"'),
    (r"give one more point .*", 'press "+ point", or choose the kind "straight"'),
    (r"leave cut or block out", 'untick "a block, only drafted from"'),
    (r"a lesser min_part, .*", 'a lesser "shortest part", or untick that it may be joined'),
    (r"draw it as strip = .*", 'choose the outline "as a strip"'),
    (r"draw a piece by edges, .*", "choose its outline"),
    (r"leave hand out, .*", 'choose "not said", or type "1" or "2" for what is cut by hand'),
    (r'name the new edge: name = "(.*)"', r"name the new edge, such as \1"),
    (r'write spread = "(.*)"', r"type one of them, such as \1"),
    (r"write dart = .*", "such as dart in + dart out"),
    (r'write \["front\.side".*', "such as front.side"),
    (r'(.*), or state what is meant: ease = "([^"]*)"(.*)', r'\1, or type \2 at "ease"\3'),
    (
        r"(.*), or say that it is meant: leave = .*",
        r"\1, or say in the file's text that it is meant",
    ),
    (r"give the edge a name .*", "give the edge a name"),
    (r'write sizes = \["S".*', "give each size a name of its own"),
    (r"write \[piece\.sizes.*", "mend it in the file's text"),
    (r"name one: notches = .*", 'give one a name at "Notches"'),
    (r"pieces of one group match: .*", "pieces of one group match"),
    (r'"axis" \(.*', 'choose one, or type how far from the axis, such as "3 cm"'),
)

_SYNTAX = re.compile(r"[\[\]{}]|\w = |known keys|put it in quotes|without quotes|write to\b")
"""A remedy that still holds any of this is for the file, and left out."""

_MESSAGES: tuple[tuple[str, str], ...] = (
    (r"is missing, and (.*) \((\S+)( of '.*')?\) has no unit", r"\1 (\2\3) has no unit"),
    (r' \(fold = "([^"]*)"\)', r" ('\1' is on the fold)"),
    (r'hand = "(\w+)" says', r"the \1 hand says"),
    (r"a joinable strip needs min_part and allowance",
     "say the shortest part, and the allowance at a join"),
)  # fmt: skip


def place_words(field: str) -> str:
    """A field as the form calls it: `edges[1].to[1].x` is "edge 1, across"."""
    words: list[str] = []
    parts = [key or f"[{index}" for key, index in PART.findall(field)]
    for number, part in enumerate(parts):
        before = parts[number - 1] if number else ""
        after = parts[number + 1] if number + 1 < len(parts) else ""
        count = part.removeprefix("[")
        if part.startswith("["):
            if before == "grain" and count in _ARROW:
                words.append(_ARROW[count])
            elif before in _ROWS and not (before == "to" and count == "1"):
                words.append(f"{_ROWS[before]} {count}")
        elif parts[0] == "sew" and part in _SIDES:
            words.append(_SIDES[part])
        elif before in ("cut", "allowances"):
            words.append(f"cut from {part}" if before == "cut" else f"allowance at '{part}'")
        elif part == "allowances" or (part == "cut" and after) or (parts[0], part) == _SEWN:
            continue
        elif not (after.startswith("[") and part in _ROWS):
            words.append("end" if part == "to" and parts[0] == "edges" else _CALLED.get(part, part))
    return ", ".join(words)


def message_words(message: str) -> str:
    """What is wrong, without the syntax of the file."""
    for pattern, plain in _MESSAGES:
        message = re.sub(pattern, plain, message)
    return _PLACE.sub(lambda found: place_words(found[0]), message)


def remedy_words(fix: str | None) -> str:
    """What would be right, as it is done on the form; empty where only the file has words."""
    if not fix:
        return ""
    for pattern, plain in _REMEDIES:
        if re.fullmatch(pattern, fix):
            return re.sub(pattern, plain, fix)
    return "" if _SYNTAX.search(fix) else _PLACE.sub(lambda found: place_words(found[0]), fix)


_LEGS = "name its legs, such as dart in + dart out"

_ASKED = {
    "x": "type how far across", "y": "type how far up", "name": "give it a name",
    "cut": f"say how often it is cut, {_CUTS}", "length": "type how long it is",
    "width": "type how wide it is", "radius": "type the radius", "angle": "type the angle",
    "grain": "choose how the grain runs", "drawn": "choose whether the allowance is drawn",
    "allowance": "type how wide it is, even if it is 0", "edge": "name the edge",
    "of": "name the piece", "like": "name the piece", "by": "type by how much",
    "at": "type how far along the edge", "along": "type how far along the edge",
    "spread": "type by how much", "depth": "type how deep", "dart": _LEGS, "close": _LEGS,
    "min_part": "type how long the shortest part is",
    **dict.fromkeys(
        ("lengthen", "shorten", "drop", "raise", "true", "join", "its", "keep"), "name the edge"
    ),
    "group": "type one name for all points that must meet", "bar": "type how far from the axis",
    "edges": 'press "One more edge"', "units": "choose the unit", "than": "name the edge",
    "path": "paste the path data", "path_unit": "type how long one unit is",
}  # fmt: skip


def asked_words(field: str, both: bool = False) -> str:
    """What is to be typed into a field that is empty; `both`: a point of which nothing is typed."""
    if both:
        return "type how far across and how far up"
    keys = [key for key, _ in PART.findall(field) if key]
    if keys and keys[0] == "sew" and keys[-1] in ("1", "2"):
        return "name an edge by its piece, such as front.side"
    if keys and keys[0] == "match" and keys[-1] == "at":
        return "name a notch"
    if keys and keys[0] in ("cut", "allowances"):
        return _ASKED[keys[0].rstrip("s")]
    if keys and keys[0] in ("band", "binding") and keys[-1] == "along":
        return "name the edges by their pieces, such as front.neck + back.neck"
    return _ASKED.get(keys[-1] if keys else "", "type it")
