"""What is cut from leftovers, in words and rows that every output renders alike."""

from __future__ import annotations

from fabrics.price import money
from pieces.lengths import System, format_length, format_purchase, format_tape
from plans.plan import LeftoverCopy, LeftoverCut, Plan, Saving
from plans.words.piece_names import merged, named, piece_words

HEADS = (
    "no.",
    "piece",
    "cut",
    "lies",
    "tail, along",
    "tail, across",
    "head, along",
    "head, across",
)

FRAME_WORDS = (
    "Lay the leftover right side up in a single layer, warp to the right. Distances are measured "
    "along the warp from its leftmost point, and across from its lowest point, to the tail and the "
    "head of each grain arrow; the same figures stand at its tail (ring) and head where there is "
    "room. Every piece is traced whole. Hatched: printed side of the paper down. Broken outline: "
    "what is left and worth keeping."
)


def saving_line(saving: Saving, system: System) -> str:
    """Say what leftovers save of a fabric."""

    def buy(length: float) -> str:
        return format_purchase(length, System.IMPERIAL if saving.fabric.imperial else system)

    kept = saving.without - saving.bought
    text = (
        f"Leftovers save {buy(kept)} of {saving.fabric.title} ({', '.join(saving.roles)}): "
        f"{buy(saving.bought) if saving.bought else 'nothing'} instead of {buy(saving.without)}"
    )
    if saving.cost is not None:
        text += f", {money(saving.cost)} {saving.currency}".rstrip() + " less"
    return text + "."


def cut_line(cut: LeftoverCut) -> str:
    """Say what comes from one leftover, and what is left of it."""
    alike: dict[str, list[LeftoverCopy]] = {}
    for copy in cut.copies:
        alike.setdefault(named(copy.piece, None, copy.sides), []).append(copy)
    listed = ", ".join(
        f"{named(same[0].piece, merged(c.whose for c in same), same[0].sides)} x {len(same)}"
        for same in alike.values()
    )
    rest = f"; {len(cut.left)} worth keeping of it" if cut.left else "; nothing worth keeping of it"
    return f"From leftover {cut.tag} ({cut.fabric.title}): {listed}{rest}."


def pin_rows(cut: LeftoverCut, system: System) -> tuple[tuple[str, ...], ...]:
    """Rows of the table that a person pins by."""
    return tuple(
        (
            str(copy.number),
            piece_words(copy),
            copy.label,
            "printed side down" if copy.face_down else "printed side up",
            *(format_tape(place, system) for end in arrow_ends(cut, copy) for place in end),
        )
        for copy in cut.copies
    )


def end_figures(cut: LeftoverCut, copy: LeftoverCopy, system: System) -> tuple[str, str]:
    """Figures of the table at the tail and the head of an arrow, for the drawing."""
    tail, head = (
        f"{format_tape(along, system)} | {format_tape(across, system)}"
        for along, across in arrow_ends(cut, copy)
    )
    return tail, head


def arrow_ends(
    cut: LeftoverCut, copy: LeftoverCopy
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Places of tail and head, along and across from the leftover's lowest coordinates, mm."""
    low_x = min(x for x, _ in cut.outline)
    low_y = min(y for _, y in cut.outline)
    (x1, y1), (x2, y2) = copy.grain
    return (x1 - low_x, y1 - low_y), (x2 - low_x, y2 - low_y)


def leftover_lines(plan: Plan, system: System) -> list[str]:
    """All that a terminal is told about leftovers: savings, and each leftover with its table."""
    from plans.words.lists.tables import grid_table

    if not plan.on_leftovers:
        return []
    lines = [saving_line(saving, system) for saving in plan.savings]
    lines.append("")
    for cut in plan.on_leftovers:
        lines += [cut_line(cut), grid_table(HEADS, pin_rows(cut, system)), ""]
    return lines


def remaining_words(cut: LeftoverCut, system: System) -> str:
    """What is left of a leftover, by rectangles."""
    sizes = [
        f"{format_length(left.long, system)} x {format_length(left.wide, system)}"
        for left in cut.left
    ]
    return f"Left of it and worth keeping: {', '.join(sizes)}." if sizes else ""
