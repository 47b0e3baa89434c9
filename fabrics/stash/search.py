"""Finding cloth in the stash by fabric, colour, fibre or size."""

from __future__ import annotations

from dataclasses import dataclass

from fabrics.region import holds_rectangle
from fabrics.stash.records import Bolt, LeftoverRecord


@dataclass(frozen=True)
class Wish:
    """What is looked for; empty fields ask nothing.

    `size` is (along the grain, across it) in mm; with `either_way` the grain may lie along either
    side.
    """

    fabric: str = ""
    colour: str = ""
    fibre: str = ""
    size: tuple[float, float] | None = None
    either_way: bool = False


def matching(
    bolts: list[Bolt], leftovers: list[LeftoverRecord], wish: Wish
) -> tuple[list[Bolt], list[LeftoverRecord]]:
    """Return the bolts and leftovers that meet a wish; words may be parts, in any case."""
    return (
        [bolt for bolt in bolts if _words(bolt, wish) and _bolt_is_large(bolt, wish)],
        [one for one in leftovers if _words(one, wish) and _leftover_is_large(one, wish)],
    )


def _words(one: Bolt | LeftoverRecord, wish: Wish) -> bool:
    fabric = one.fabric
    pairs = (
        (wish.fabric, f"{fabric.name} {fabric.title}"),
        (wish.colour, fabric.colour),
        (wish.fibre, fabric.fibre),
    )
    return all(asked.lower() in text.lower() for asked, text in pairs)


def _sizes(wish: Wish) -> list[tuple[float, float]]:
    if wish.size is None:
        return []
    long, wide = wish.size
    return [(long, wide), (wide, long)] if wish.either_way else [(long, wide)]


def _bolt_is_large(bolt: Bolt, wish: Wish) -> bool:
    kept = bolt.as_fabric().kept_along
    length = bolt.length * kept
    usable = bolt.fabric.width_cut - 2.0 * bolt.fabric.selvage_cut
    sizes = _sizes(wish)
    return not sizes or any(long <= length and wide <= usable for long, wide in sizes)


def _leftover_is_large(one: LeftoverRecord, wish: Wish) -> bool:
    sizes = _sizes(wish)
    if not sizes or any(
        long <= one.region.long and wide <= one.region.wide for long, wide in sizes
    ):
        return True
    return any(holds_rectangle(one.region.polygon, long, wide) for long, wide in sizes)
