"""What a fabric file says, in a few lines that a person can check."""

from __future__ import annotations

from fabrics.fabric import Fabric
from fabrics.price import money
from pieces.lengths import System, format_in, format_purchase


def fabric_summary(fabric: Fabric) -> list[str]:
    """Return lines: width and what is usable of it, how it may be laid, how it is sold."""
    system = System.IMPERIAL if fabric.imperial else System.METRIC

    def size(length: float) -> str:
        return format_in(length, "in" if fabric.imperial else "cm")

    usable = fabric.width_cut - 2.0 * fabric.selvage_cut
    state = "" if fabric.washed or not fabric.shrink_across else " after washing"
    lines = [
        f"{fabric.title}: {size(fabric.width)} wide, of which {size(usable)} can be used{state} "
        f"(selvages of {size(fabric.selvage)})"
    ]
    traits = [
        words
        for is_so, words in (
            (fabric.one_way, "one way: all heads point alike"),
            (fabric.faces_alike, "both faces alike"),
            (fabric.grainless, "no grain"),
            (fabric.washed, "washed already"),
        )
        if is_so
    ]
    if fabric.shrink_along or fabric.shrink_across:
        along, across = (f"{100 * s:.3g} %" for s in (fabric.shrink_along, fabric.shrink_across))
        traits.append(f"shrinks by {along} along, {across} across")
    if fabric.repeat is not None:
        ways = [("along", fabric.repeat.along), ("across", fabric.repeat.across)]
        told = " and ".join(f"{size(length)} {way}" for way, length in ways if length > 0.0)
        traits.append(f"repeats every {told}")
    if fabric.flaws:
        traits.append(f"{len(fabric.flaws)} flaw{'s' if len(fabric.flaws) > 1 else ''}")
    if traits:
        lines.append("; ".join(traits))
    step = format_purchase(fabric.step, system)
    sold = f"sold in steps of {step}"
    if fabric.price is not None:
        unit = format_purchase(fabric.price_unit, system)
        sold += f" at {money(fabric.price)} {fabric.currency} for {unit}".replace("  ", " ")
    lines.append(sold)
    return lines
