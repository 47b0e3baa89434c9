"""Several garments that are cut together: one garment whose pieces say whose they are."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from pieces.drafting.draft import Draft, MatchPlace
from pieces.drafting.garment import Garment
from pieces.errors import PieceError
from pieces.piece import Cut, MatchPoint, Piece

MOST_GARMENTS = 100
"""Garments from one purchase, all together."""

OWN = "@"
"""Typed between a role and the garment that has cloth of its own for it: "lining@apron:S"."""

MOST_NAMES = 3
"""So many garments are named in the name of an outfit."""


class OutfitError(PieceError):
    """Garments that cannot be cut together as they were asked for."""


@dataclass(frozen=True)
class Ordered:
    """A garment of an order: how many are made, and what people call it.

    `called` is empty where its name and size say enough.
    """

    garment: Garment
    count: int = 1
    called: str = ""

    @property
    def owner(self) -> str:
        """What its pieces say of whose they are: "apron S"."""
        return self.called or f"{self.garment.name} {self.garment.size}".rstrip()


@dataclass(frozen=True)
class Outfit:
    """What an order cuts: one garment, how often it is made, and what it was put together from."""

    garment: Garment
    makes: int
    parts: tuple[Ordered, ...]
    own_roles: dict[str, str]
    """What the roles with cloth of their own are called in the garment, by how they were typed."""

    def roles(self, typed: str) -> str:
        """What "ROLE" or "ROLE+ROLE" is called in the garment."""
        names = [role.strip() for role in typed.split("+")]
        return "+".join(self.own_roles.get(role, role) for role in names)


def outfit_of(ordered: Iterable[Ordered], own_roles: Iterable[str] = ()) -> Outfit:
    """Put garments together into one.

    A garment that is alone stays as it is. Of several every piece is named after its owner, and
    match groups stay those of each garment. What all are made in equal number of is made so often
    as a whole.

    Parameters
    ----------
    ordered : iterable of Ordered
    own_roles : iterable of str
        Roles that one garment has cloth of its own for: "ROLE@GARMENT", where the garment is what
        it is called, its name in all sizes, or its name and size.

    Raises
    ------
    OutfitError
        If there is no garment, one too many, two of the same name, or no such garment or role.
    """
    parts = _one_each(tuple(ordered))
    owned = {role: _owners(role, parts) for role in own_roles}
    called = {role: _own_name(role, owners, parts) for role, owners in owned.items()}
    together = math.gcd(*(part.count for part in parts))
    if len(parts) == 1:
        alone = replace(parts[0].garment, title=_title_alone(parts[0]))
        return Outfit(alone, together, parts, called)
    named = [_named(_in_own_cloth(part, owned, called), part.count // together) for part in parts]
    whole = Garment(
        name=_name(parts),
        title=_title(parts, together),
        pieces=tuple(piece for one in named for piece in one.pieces),
        caution=" ".join(dict.fromkeys(one.caution for one in named if one.caution)),
        drafts=tuple(draft for one in named for draft in one.drafts),
        questions=tuple(question for one in named for question in one.questions),
    )
    return Outfit(whole, together, parts, called)


def _one_each(parts: tuple[Ordered, ...]) -> tuple[Ordered, ...]:
    """Refuse what is asked for twice, and more than anyone cuts at once."""
    if not parts:
        raise OutfitError("the order names no garment")
    seen: dict[str, Ordered] = {}
    for part in parts:
        other = seen.setdefault(part.owner, part)
        if other is part:
            continue
        if other.garment.source == part.garment.source:
            raise OutfitError(
                f"garment '{part.owner}' is asked for twice; say how many once "
                f"({other.count + part.count} of them)"
            )
        raise OutfitError(
            f"two garments are called '{part.owner}' ({other.garment.source} and "
            f"{part.garment.source}); say what to call one of them in an order file, with called"
        )
    return parts


def require_few(total: int) -> None:
    """Refuse more garments than anyone cuts from one purchase.

    Raises
    ------
    OutfitError
    """
    if total > MOST_GARMENTS:
        raise OutfitError(
            f"{total} garments in all are more than the {MOST_GARMENTS} that are planned at once"
        )


def _owners(role: str, parts: tuple[Ordered, ...]) -> frozenset[str]:
    """Owners of the garments that a role of its own names."""
    kind, _, text = role.rpartition(OWN)
    found = [
        part
        for part in parts
        if text in (part.owner, part.garment.name, f"{part.garment.name}:{part.garment.size}")
    ]
    if not found:
        known = ", ".join(f"'{part.owner}'" for part in parts)
        raise OutfitError(f"role '{role}': no garment is called '{text}'; there is {known}")
    having = frozenset(part.owner for part in found if kind in part.garment.roles)
    if not having:
        roles = dict.fromkeys(name for part in found for name in part.garment.roles)
        raise OutfitError(
            f"role '{role}': no piece of '{text}' is cut in '{kind}'; its roles are "
            + ", ".join(f"'{name}'" for name in roles)
        )
    return having


def _own_name(role: str, owners: frozenset[str], parts: tuple[Ordered, ...]) -> str:
    """The same name for the same garments, however they were typed."""
    kind, _, text = role.rpartition(OWN)
    if len(parts) == 1:
        return kind
    return f"{kind} of {next(iter(owners)) if len(owners) == 1 else text}"


def _in_own_cloth(
    part: Ordered, owned: dict[str, frozenset[str]], called: dict[str, str]
) -> Ordered:
    """Give the roles that have cloth of their own their names; the narrowest counts."""
    new: dict[str, str] = {}
    for role, owners in sorted(owned.items(), key=lambda entry: -len(entry[1])):
        if part.owner in owners:
            new[role.rpartition(OWN)[0]] = called[role]
    if not new:
        return part

    def renamed(cuts: tuple[Cut, ...]) -> tuple[Cut, ...]:
        return tuple(replace(cut, role=new.get(cut.role, cut.role)) for cut in cuts)

    garment = replace(
        part.garment,
        pieces=tuple(replace(piece, cuts=renamed(piece.cuts)) for piece in part.garment.pieces),
        drafts=tuple(replace(draft, cuts=renamed(draft.cuts)) for draft in part.garment.drafts),
    )
    return replace(part, garment=garment)


def _named(part: Ordered, times: int) -> Garment:
    """Return a garment whose pieces say whose they are."""
    owner = part.owner

    def of_owner(name: str) -> str:
        return f"{owner}: {name}" if name else name

    def group(point: MatchPoint) -> MatchPoint:
        return replace(point, group=of_owner(point.group))

    def place(one: MatchPlace) -> MatchPlace:
        return replace(one, point=group(one.point))

    def piece(one: Piece) -> Piece:
        return replace(
            one,
            name=of_owner(one.name),
            match_points=tuple(map(group, one.match_points)),
            owner=owner,
            times=times,
        )

    def draft(one: Draft) -> Draft:
        return replace(
            one,
            name=of_owner(one.name),
            like=of_owner(one.like),
            match_points=tuple(map(group, one.match_points)),
            match_places=tuple(map(place, one.match_places)),
            owner=owner,
        )

    return replace(
        part.garment,
        pieces=tuple(map(piece, part.garment.pieces)),
        drafts=tuple(map(draft, part.garment.drafts)),
    )


def _name(parts: tuple[Ordered, ...]) -> str:
    """Name of an outfit, fit for a folder: what it is put together from."""
    names = list(dict.fromkeys(part.garment.name for part in parts))
    more = len(names) - MOST_NAMES
    return "+".join(names[:MOST_NAMES]) + (f"+{more}-more" if more > 0 else "")


def _title_alone(part: Ordered) -> str:
    """Title of a garment that is cut by itself; its size is said by whoever prints it."""
    title = part.garment.title
    return f"{title}, called {part.called}" if part.called else title


def _title(parts: tuple[Ordered, ...], together: int) -> str:
    """Titles of the garments: "Apron, 3 x size S, size L; 2 x Skirt"."""
    listed: dict[str, list[str]] = {}
    for part in parts:
        said = [f"size {part.garment.size}"] if part.garment.size else []
        said += [f"called {part.called}"] if part.called else []
        times = f"{part.count // together} x " if part.count > together else ""
        title = part.garment.title
        if said:
            listed.setdefault(title, []).append(f"{times}{' '.join(said)}")
        else:
            listed[f"{times}{title}"] = []
    return "; ".join(", ".join((title, *wanted)) for title, wanted in listed.items())
