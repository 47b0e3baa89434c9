"""Why no layout is shorter: the argument behind a bound, naming the pieces that it rests on."""

from __future__ import annotations

from fabrics.buying import purchase, within_one_step
from fabrics.spread import Fold
from layout.bounds.terms.bound import BoundKind, Share
from pieces.lengths import EXCESS_MM, System, format_length
from plans.listed import listed
from plans.plan import FabricPlan
from plans.words.purchase_words import shown_ends

BOUND_NAMES = {
    BoundKind.AREA: "by the area of the pieces",
    BoundKind.LONGEST_PIECE: "by the longest piece",
    BoundKind.FOLD_EDGES: "by what needs the fold",
    BoundKind.SIDE_BY_SIDE: "by pieces too wide to lie side by side",
    BoundKind.SO_MANY_ACROSS: "by how many pieces lie side by side",
    BoundKind.WIDTHS: "by how wide the pieces are",
    BoundKind.SLICES: "by what lies side by side anywhere",
    BoundKind.LINES: "by long pieces that meet side by side",
    BoundKind.ARRANGED: "by every order of the pieces",
    BoundKind.PLACED: "by every place of the pieces",
}
"""Arguments of bounds for the person who buys; files and programs have their own words."""

MOST_NAMED = 6
"""An argument that rests on more pieces names none of them."""

DEEP = (Fold.PARTIAL, Fold.DOUBLE)
"""Folds of which the depth is chosen: what is proved of one depth is not of another."""

SAME_MM = 0.5
"""Lengths that differ by less look the same on a tape."""


def least_purchase(entry: FabricPlan) -> float:
    """The least that any layout in this fold would buy (mm)."""
    return purchase(entry.bound, entry.fabric, entry.purchase.margin).bought


def proof_words(entry: FabricPlan, system: System) -> str:
    """Say why this plan cannot be shorter, or buy less; empty where it is not known."""
    if any(section.folded_at is not None for section in entry.sections):
        # The bound takes both plies to be as long; with the fold elsewhere they need not be.
        return ""
    if entry.length <= entry.bound + SAME_MM:
        return f"no layout {_where(entry)} is shorter: {_because(entry, system)}"
    least = least_purchase(entry)
    if entry.purchase.bought <= least + EXCESS_MM:
        return f"no layout {_where(entry)} buys less: {_because(entry, system)}"
    if within_one_step(entry.purchase.bought, least, entry.fabric):
        return f"at most one cutting step could be saved {_where(entry)}: {_because(entry, system)}"
    return ""


def _where(entry: FabricPlan) -> str:
    """Of which layouts it is true: another fold, or another depth of it, may be shorter."""
    if any(section.spread.fold in DEEP for section in entry.sections):
        return "folded just so deep"
    folded = any(section.spread.fold is not Fold.OPEN for section in entry.sections)
    return "so folded" if folded else "in a single layer"


def _because(entry: FabricPlan, system: System) -> str:
    """The argument in words, with the lengths that the pieces take and what is cut off besides."""
    text = _argument(entry, system)
    beyond = entry.ends + entry.slide
    if beyond > SAME_MM:
        shown = shown_ends(entry, system) + entry.slide
        text += f"; {format_length(shown, system)} more for the ends"
    return text


def _argument(entry: FabricPlan, system: System) -> str:
    shares = entry.bound_shares
    if entry.bound_kind is BoundKind.AREA or not shares:
        return "the pieces have no less area"
    names, lengths = _names(shares), _lengths(entry, system)
    if entry.bound_kind is BoundKind.LONGEST_PIECE:
        return f"{names} alone takes {lengths}"
    if entry.bound_kind is BoundKind.FOLD_EDGES:
        return f"{names} {_need(shares)} the fold: {lengths}"
    if entry.bound_kind is BoundKind.SIDE_BY_SIDE:
        fold = " or on the fold" if _is_folded(entry) else ""
        return f"of {names} no two fit side by side{fold} where they are wide: {lengths}"
    if entry.bound_kind is BoundKind.SO_MANY_ACROSS:
        return f"of {names} no more than {entry.bound_across} fit side by side where they are wide"
    if entry.bound_kind is BoundKind.LINES:
        return f"{names} are so long that they meet, and do not fit side by side there"
    if entry.bound_kind is BoundKind.PLACED:
        return f"{names} {_placed_need(entry, system)}, wherever each of them lies"
    return f"{names} leave each other no room side by side, in whatever order they lie"


def _placed_need(entry: FabricPlan, system: System) -> str:
    """What they need, in figures where this plan is longer than that."""
    alone = sum(share.copies for share in entry.bound_shares) == 1
    if entry.length <= entry.bound + SAME_MM:
        return f"{'fits' if alone else 'fit'} on nothing shorter"
    least = format_length(entry.bound - entry.ends - entry.slide, system)
    return f"{'needs' if alone else 'need'} {least} at least"


def _is_folded(entry: FabricPlan) -> bool:
    return any(edge.along for section in entry.sections for edge in section.spread.fold_edges)


def _need(shares: tuple[Share, ...]) -> str:
    if sum(share.copies for share in shares) == 1:
        return "needs"
    both = len(shares) == 2 and all(share.copies == 1 for share in shares)
    return "both need" if both else "need"


def _names(shares: tuple[Share, ...]) -> str:
    if len(shares) > MOST_NAMED:
        return f"{len(shares)} kinds of piece"
    names = [
        share.key if share.copies == 1 else f"{share.copies} x {share.key}" for share in shares
    ]
    return listed(names)


def _lengths(entry: FabricPlan, system: System) -> str:
    """The lengths that the pieces take one after another, with the gaps between them."""
    shares = entry.bound_shares
    copies = sum(share.copies for share in shares)
    # Of what lies in a row each length has a gap in it, that behind the last piece, too.
    within = entry.gap if entry.bound_kind is BoundKind.SIDE_BY_SIDE else 0.0
    alone = sum(share.length for share in shares) - copies * within
    between = (copies - 1) * entry.gap
    if abs(alone + between + entry.ends + entry.slide - entry.bound) > SAME_MM:
        # Another argument than that of one row, of which this is no sum.
        within = between = 0.0
    if len(shares) > MOST_NAMED:
        whole = sum(share.length for share in shares) - copies * within + between
        return format_length(whole, system)
    terms = []
    for share in shares:
        each = format_length(share.length / share.copies - within, system)
        terms.append(each if share.copies == 1 else f"{share.copies} x {each}")
    text = " + ".join(terms)
    if between > SAME_MM:
        gap = format_length(entry.gap, system)
        text += f", and {gap if copies == 2 else f'{copies - 1} x {gap}'} between them"
    return text
