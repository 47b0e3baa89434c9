"""What is possible but hardly meant: questions that a person answers with a look at the draft.

The bounds are common practice, no source; they only decide what is asked.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from pieces.drafting.alter import open_out
from pieces.drafting.draft import Draft
from pieces.drafting.slits import Slit, closed_slits
from pieces.files.toml_file import nearest
from pieces.geometry_types import Ring
from pieces.lengths import INCH_MM, format_in, format_point
from pieces.outline import CLOSED_MM, OutlineError, ring_of
from pieces.piece import CutKind, Piece

LARGEST_MM, SMALLEST_MM = 4000.0, 5.0
"""Pieces larger or smaller than this are questioned: a 4 m cuff is a slip of the unit."""

WORN_MM = (350.0, 1700.0)
"""The longest piece of what a person wears is usually between these."""

SMALL_WORN_MM, BROAD_MM, LONG_MM = WORN_MM[0], 1500.0, 1800.0
"""Garments below the first, and pieces broader or longer than the others, are questioned."""

WIDE_ALLOWANCE_MM, NARROW_ALLOWANCE_MM = 150.0, 3.0
"""Allowances beyond these are questioned; hems of 10 cm exist, seams of 2 mm hold nothing."""

SHARE_ALLOWANCE, LEAST_SHARE_MM = 0.5, 50.0
"""So are those of more than this share of the piece's smaller extent, from this width on."""

LOOK = "look at the figures again; if they are meant, all is well"

OUTSIDE_MM = 1.0
"""A point farther than this outside its piece lies outside."""

_WORN = frozenset((
    "front", "back", "sleeve", "bodice", "skirt", "trousers", "pants", "leg", "dress", "top",
    "shirt", "blouse", "coat", "jacket", "vest", "waistband", "yoke", "gown", "tunic", "apron",
))  # fmt: skip
_SMALL = frozenset((
    "toy", "doll", "dolls", "doll's", "teddy", "bear", "hare", "rabbit", "puppet", "baby",
    "newborn", "pram", "bag", "purse", "pouch", "mask", "hat", "cap", "cushion", "case", "mitten",
    "mittens", "glove", "gloves", "sock", "socks", "bootee", "bootees", "slipper", "pocket",
))  # fmt: skip
_LARGE = frozenset((
    "curtain", "curtains", "sheet", "tablecloth", "quilt", "cover", "blanket", "tent", "sail",
    "cloak", "duvet", "banner", "train", "veil", "bridal", "wedding",
))  # fmt: skip
_UNITS = {"mm": 1.0, "cm": 10.0, "in": INCH_MM}


@dataclass(frozen=True)
class Question:
    """Something to ask: the piece (None: the whole file), the field, what, and what was meant."""

    piece: str | None
    field: str
    message: str
    fix: str


def piece_questions(
    draft: Draft, piece: Piece, unit: str | None, told_in: str | None = None
) -> list[Question]:
    """List what is doubtful about one piece as it is drafted and made.

    Parameters
    ----------
    draft : Draft
    piece : Piece
    unit : str or None
        Unit of the file's bare numbers.
    told_in : str, optional
        Unit that measured figures are given in; `unit` unless named.
    """
    told = told_in or unit
    found = [*_size(piece, told), *_allowances(draft, unit, told), *_half_alone(draft, piece)]
    found += [_slit_closed(draft, slit, told) for slit in closed_slits(draft)]
    return [
        *found, *_never_joined(piece, told), *_points_outside(piece, told), *_no_hand(piece)
    ]  # fmt: skip


def garment_questions(pieces: tuple[Piece, ...], words: str, unit: str | None) -> list[Question]:
    """List what is doubtful about a garment as a whole.

    Parameters
    ----------
    pieces : tuple of Piece
    words : str
        Title, description and file name, which tell what it is.
    unit : str, optional
        Unit of the file's bare numbers.
    """
    return [*_unit_slip(pieces, words, unit), *_lonely_groups(pieces)]


def _size(piece: Piece, unit: str | None) -> Iterator[Question]:
    size = max(_extents(_whole(piece)))
    if size > LARGEST_MM and piece.strip is not None:
        yield Question(
            piece.name, "edges", f"it is {format_in(size, unit)} long; is the unit right?", LOOK
        )
    elif size < SMALLEST_MM:
        yield Question(
            piece.name,
            "edges",
            f"it is only {format_in(size, unit)} long; is the unit right?",
            LOOK,
        )


def _allowances(draft: Draft, unit: str | None, told: str | None) -> Iterator[Question]:
    if not draft.net:
        return
    smaller = min(_extents(ring_of(draft.edges)))
    given = {"allowance": draft.allowance}
    given |= {f"allowances.{name}": width for name, width in draft.allowances.items()}
    for field, width in given.items():
        edge = field.partition(".")[2]
        which = f"at '{edge}' " if edge else ""
        if width > WIDE_ALLOWANCE_MM or (
            width > LEAST_SHARE_MM and width > SHARE_ALLOWANCE * smaller
        ):
            yield Question(
                draft.name,
                field,
                f"an allowance {which}of {format_in(width, told)} on a piece that is "
                f"{format_in(smaller, told)} across; is that meant?",
                _meant_allowance(width, unit),
            )
        elif 0.0 < width < NARROW_ALLOWANCE_MM:
            yield Question(
                draft.name,
                field,
                f"an allowance {which}of {format_in(width, told)} holds no seam; is that meant?",
                "1 cm, 1.5 cm and 5/8 in are usual",
            )


def _slit_closed(draft: Draft, slit: Slit, unit: str | None) -> Question:
    """A dart or a neck slit of which the cutting line shows nothing."""
    one, two = slit.edges
    sides = f"the two sides of '{one}'" if one == two else f"'{one}' and '{two}'"
    how = " and ".join(dict.fromkeys(format_in(width, unit) for width in slit.allowances))
    gap = f"are {format_in(slit.gap, unit)} apart" if slit.gap > CLOSED_MM else "meet"
    return Question(
        draft.name,
        f"allowances.{one}" if one in draft.allowances else "allowance",
        f"{sides} {gap} near {format_point(slit.at, unit)}, so that their allowance of {how} "
        "closes the slit; is that meant?",
        "allowances of less than half the width of the slit, or 0 where it is cut open later",
    )


def _meant_allowance(width: float, unit: str | None) -> str:
    """Guess what was meant: 38 in is 3/8 in without its stroke, 15 cm is 15 mm."""
    inches = width / INCH_MM
    whole = round(inches)
    if abs(inches - whole) < 1e-6 and 10 <= whole < 100:
        numerator, denominator = divmod(whole, 10)
        if denominator in (2, 4, 8) and 0 < numerator < denominator:
            return f"{Fraction(numerator, denominator)} in?"
    if unit == "in" or abs(inches - whole) < 1e-6:
        return "3/8 in and 5/8 in are usual for seams, up to 4 in for hems"
    return f"{format_in(width / 10.0, unit)}?"


def _never_joined(piece: Piece, unit: str | None) -> Iterator[Question]:
    joining, strip = piece.joining, piece.strip
    if joining is None or strip is None:
        return
    half = strip[0] / 2.0 + joining.allowance
    if joining.min_part > half:
        yield Question(
            piece.name,
            "joinable",
            f"no part may be shorter than {format_in(joining.min_part, unit)}, and in two it would "
            f"be {format_in(half, unit)}, so that it is never joined; is that meant?",
            "a lesser min_part, or no joinable at all",
        )


def _half_alone(draft: Draft, piece: Piece) -> Iterator[Question]:
    if piece.fold is None or draft.fold is None:
        return
    for cut in piece.cuts:
        if cut.kind is not CutKind.FOLD:
            label = cut.label.removeprefix("cut ")
            yield Question(
                piece.name,
                f"cut.{cut.role}",
                f"it is drawn as a half (fold = \"{draft.fold}\") but cut '{label}': that cuts the "
                "half alone, without allowance at that edge; is that meant?",
                f'write "{cut.count} on fold", or leave fold out',
            )


def _no_hand(piece: Piece) -> Iterator[Question]:
    """A half laid on a fold is left and right at once."""
    hand = piece.drawn_hand
    if hand is None or not piece.cuts or any(cut.kind is not CutKind.FOLD for cut in piece.cuts):
        return
    yield Question(
        piece.name,
        "hand",
        f'hand = "{hand.value}" says nothing here: what is cut on the fold is left and right in '
        "one; is it meant to be cut on the fold?",
        'leave hand out, or write "1" or "2" for what is cut by hand',
    )


def _points_outside(piece: Piece, unit: str | None) -> Iterator[Question]:
    if not piece.match_points:
        return
    from shapely.geometry import Point, Polygon

    outline = Polygon(piece.outline)
    for match in piece.match_points:
        away = outline.distance(Point(match.at))
        if away > OUTSIDE_MM:
            yield Question(
                piece.name,
                "match",
                f"its match point of group '{match.group}' lies {format_in(away, unit)} outside "
                "the piece; is that meant?",
                "it belongs on the stitching line",
            )


def _lonely_groups(pieces: tuple[Piece, ...]) -> Iterator[Question]:
    owners: dict[str, list[Piece]] = {}
    for piece in pieces:
        for group in dict.fromkeys(match.group for match in piece.match_points):
            owners.setdefault(group, []).append(piece)
    for group, found in owners.items():
        others = [name for name in owners if name != group]
        copies = sum(cut.count for cut in found[0].cuts)
        if len(found) > 1 or (copies > 1 and not others):
            continue  # Panels of one piece match one another.
        yield Question(
            found[0].name,
            "match",
            f"no other piece has a match point of group '{group}'; what is it to match?",
            nearest(group, others) if others else "give the same group to the piece it meets",
        )


def _unit_slip(pieces: tuple[Piece, ...], words: str, unit: str | None) -> Iterator[Question]:
    shaped = [piece for piece in pieces if piece.strip is None] or list(pieces)
    if not shaped:
        return
    spoken = _words([words, *(piece.name for piece in pieces)])
    longest = max(shaped, key=lambda piece: max(_extents(_as_measured(piece))))
    size = max(_extents(_as_measured(longest)))
    name = unit if unit in _UNITS else None
    if size < SMALL_WORN_MM and spoken & _WORN and not _words([words]) & _SMALL:
        yield Question(
            None,
            "units",
            f"the longest piece, '{longest.name}', is only {format_in(size, unit)}, little for "
            f"something to wear; {_other_unit(size, name)}",
            "mend the unit; for a doll or a child in arms all is well",
        )
        return
    broad = [p for p in pieces if p.strip is None and _too_large(p)]
    if broad and not spoken & _LARGE:
        sizes = " x ".join(format_in(value, unit) for value in _extents(_as_measured(broad[0])))
        low, big = sorted(_extents(_as_measured(broad[0])))
        how = "wider than cloth is" if low > BROAD_MM else "longer than most clothes"
        yield Question(
            None,
            "units",
            f"'{broad[0].name}' is {sizes}, {how}; {_other_unit(big, name)}",
            "mend the unit, or the point that is so far off; if it is so large, all is well",
        )


def _too_large(piece: Piece) -> bool:
    low, high = sorted(_extents(_as_measured(piece)))
    return low > BROAD_MM or high > LONG_MM


def _other_unit(size: float, unit: str | None) -> str:
    """Ask for the unit in which the figure would be usual."""
    usual = math.sqrt(WORN_MM[0] * WORN_MM[1])
    fits = {
        name: size / _UNITS[unit] * scale
        for name, scale in _UNITS.items()
        if unit is not None and name != unit
    }
    fits = {name: mm for name, mm in fits.items() if WORN_MM[0] <= mm <= WORN_MM[1]}
    if not fits:
        return "is the unit right?"
    name = min(fits, key=lambda key: abs(math.log(fits[key] / usual)))
    words = {"mm": "millimetres", "cm": "centimetres", "in": "inches"}
    return f"are the numbers {words[name]} (then it is {format_in(fits[name], name)})?"


def _words(texts: Iterable[str]) -> set[str]:
    return {word for text in texts for word in re.findall(r"[a-z']+", text.lower())}


def _extents(ring: Ring) -> tuple[float, float]:
    size = np.ptp(np.asarray(ring), axis=0)
    return float(size[0]), float(size[1])


def _as_measured(piece: Piece) -> Ring:
    """The outline without allowance where that is known: the figures that were typed."""
    return piece.outline if piece.stitching is None else piece.stitching


def _whole(piece: Piece) -> Ring:
    try:
        return open_out(piece).outline
    except OutlineError:
        return piece.outline
