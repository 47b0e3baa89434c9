"""A purchase in words: what to ask for in the shop, or to take of the cloth that there is."""

from __future__ import annotations

import math

from fabrics.price import money
from pieces.lengths import INCH_MM, System, format_length, format_purchase, shown_rest
from plans.plan import FabricPlan


def sold_by(entry: FabricPlan, system: System) -> System:
    """Units in which this cloth is sold; what is on hand is measured in those asked for."""
    if entry.fabric.on_hand is not None:
        return system
    return System.IMPERIAL if entry.fabric.imperial else System.METRIC


def sold_text(entry: FabricPlan, length: float, system: System) -> str:
    """Write a purchase in the shop's own measure: eighths of a yard, or metres.

    What is taken of cloth on hand is written as a tape shows it.
    """
    if entry.fabric.on_hand is not None and system is System.IMPERIAL:
        return format_length(length, system)
    return format_purchase(length, sold_by(entry, system))


def step_text(entry: FabricPlan) -> str:
    """What a purchase is rounded up to: as a shop cuts, or whole centimetres of cloth on hand."""
    if entry.fabric.on_hand is not None:
        return format_length(entry.fabric.step, System.METRIC)
    return sold_text(entry, entry.fabric.step, System.METRIC)


def purchase_text(entry: FabricPlan, length: float, system: System) -> str:
    """Write a purchase in the shop's own measure, and about how much that is in other units."""
    about = about_text(entry, length, system).removeprefix("; ")
    return sold_text(entry, length, system) + (f" ({about})" if about else "")


def about_text(entry: FabricPlan, length: float, system: System) -> str:
    """How much a purchase is in the units asked for, where those are not the shop's."""
    same = sold_by(entry, system) is system
    return "" if same else f"; about {format_length(length, system)}"


def shown_ends(entry: FabricPlan, system: System) -> float:
    """What squaring off takes (mm), as it is shown between what the pieces take and the total.

    Both of those stand elsewhere, too; what is cut off besides was mostly stated in a whole number
    of other units, so that it takes up what rounding leaves.
    """
    pieces = entry.length - entry.ends - entry.slide
    return shown_rest(system, entry.length, entry.slide, pieces)


def buy_words(entry: FabricPlan) -> str:
    """What is done with the length: bought, or taken of what there is."""
    return "to buy" if entry.fabric.on_hand is None else "to take"


def shopping_line(entry: FabricPlan, system: System) -> str:
    """Say what to ask for in the shop, or what to take of the cloth that there is."""
    if entry.fabric.on_hand is not None:
        tag = f" ({entry.fabric.bolt})" if entry.fabric.bolt else ""
        return (
            f"Take {purchase_text(entry, entry.purchase.bought, system)} of the "
            f"{entry.fabric.title} that you have{tag}."
        )
    text = (
        f"Ask for {purchase_text(entry, entry.purchase.bought, system)} of {entry.fabric.title}, "
        f"{width_words(entry, system)}"
    )
    if entry.purchase.cost is not None:
        text += f" ({money(entry.purchase.cost)} {entry.purchase.currency})".replace(" )", ")")
    least = up_to_tape(entry, system)
    if least == format_length(entry.fabric.width, system):
        return text + "."
    return (
        f"{text}. Narrower cloth needs a new plan before it is cut: at least {least} if you plan "
        "again on its width."
    )


def width_words(entry: FabricPlan, system: System) -> str:
    """How wide the cloth is to be: as it was planned on, for on less the figures no longer hold."""
    return f"at least {format_length(entry.fabric.width, system)} wide"


def up_to_tape(entry: FabricPlan, system: System) -> str:
    """Round the least width up to what a tape shows, but not past the cloth that was planned on."""
    step = INCH_MM / 8.0 if system is System.IMPERIAL else 10.0
    shown = math.ceil(entry.min_width / step - 1e-6) * step
    return format_length(min(shown, entry.fabric.width), system)
