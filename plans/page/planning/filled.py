"""What the form of a new plan is filled with: by an address, or by what was asked before."""

from __future__ import annotations

from collections.abc import Mapping

from pieces.lengths import LengthError, System, format_length, parse_length
from plans.orders.request import Request
from plans.page.planning.choices import TYPED, WITH, Group

Fields = dict[str, str]
"""Values by the names of fields; boxes that are ticked say "yes"."""

YES = "yes"

PLAIN = (
    "fold", "makes", "gap", "ends", "margin", "effort", "seed", "members", "leftover_size",
    "leftover_neck", "leftovers", "nap_optional", "prove", "title",
)  # fmt: skip
"""Fields that are neither of a garment nor of a role."""

BY_ROLE = ("cloth-", "width-", "measured-", "onhand-")

NUMBERED = ("garment-", "size-", "count-")

LONGEST = 300


def from_query(query: Mapping[str, str], cloths: tuple[Group, ...]) -> Fields:
    """Fields that an address fills; `garment`, `size` and `count` alone are those of the first.

    `cloth` alone is a bolt or a fabric for the first role of whatever garment is chosen.

    Cloth that is no choice is taken as a width that was typed.
    """
    known = {choice.value for group in cloths for choice in group.choices}
    found: Fields = {}
    for name, value in query.items():
        text = value.strip()[:LONGEST]
        if name in ("garment", "size", "count"):
            found[f"{name}-1"] = text
        elif name == "cloth" and text in known:
            found[name] = text
        elif name.startswith("cloth-") and text and not _is_choice(text, known):
            found[name], found[f"width-{name.removeprefix('cloth-')}"] = TYPED, text
        elif name in PLAIN or name.startswith((*BY_ROLE, *NUMBERED)):
            found[name] = text
    return found


def _is_choice(text: str, known: set[str]) -> bool:
    return text in known or text == TYPED or text.startswith(WITH)


def from_request(request: Request, cloths: tuple[Group, ...]) -> Fields:
    """Fields that say the same as a request."""
    usual = Request(())
    found: Fields = {"fold": request.fold, "makes": str(request.makes), "effort": request.effort}
    for row, asked in enumerate(request.garments, start=1):
        found[f"garment-{row}"] = asked.name
        found[f"size-{row}"] = asked.size or ""
        found[f"count-{row}"] = str(asked.count)
    for roles, text in request.cloth.items():
        first, *others = roles.split("+")
        found |= from_query({f"cloth-{first}": text}, cloths)
        found |= {f"cloth-{other}": f"{WITH}{first}" for other in others}
    system = request.system
    for role, width in request.measured_width.items():
        found[f"measured-{role}"] = exact(width, system)
    for role, (length, washed) in request.on_hand.items():
        state = {None: "", True: " washed", False: " unwashed"}[washed]
        found[f"onhand-{role}"] = exact(length, system) + state
    for field in ("gap", "ends", "margin", "leftover_neck"):
        value = getattr(request, field)
        if value != getattr(usual, field):
            found[field] = exact(value, system)
    if request.leftover_size != usual.leftover_size:
        found["leftover_size"] = " x ".join(exact(side, system) for side in request.leftover_size)
    for field in ("leftovers", "nap_optional"):
        if getattr(request, field):
            found[field] = YES
    if request.prove:
        found["prove"] = f"{request.prove:g}"
    for field in ("seed", "members", "title"):
        value = getattr(request, field)
        if value != getattr(usual, field):
            found[field] = str(value)
    return found


def exact(length: float, system: System) -> str:
    """A length as it is read back; in the units of the person where that loses nothing."""
    shown = format_length(length, system)
    try:
        if abs(parse_length(shown) - length) < 1e-9:
            return shown
    except LengthError:
        pass
    return f"{length:g} mm"
