"""Garments of rectangles on cloth that is too short: what would help is known by hand."""

from __future__ import annotations

import pytest

from fabrics.fabric import Fabric
from pieces.garment import Garment
from plans.on_hand import Shortage, ShortageError
from plans.order import Order
from plans.planner import plan_garment
from plans.rescue.rescue import Rescue, rescue
from plans.rescue.trial import Trial
from tests.plans.rectangles import INCH, rectangle

__all__ = ["answer", "bolt", "mm", "shortage", "told"]


def bolt(width: float, length: float, **more: object) -> Fabric:
    """So much cloth (mm), usable to both edges."""
    return Fabric(
        name="cloth", title="cloth", width=width, selvage=0.0, faces_alike=True, step=10.0,
        on_hand=length, **more,  # type: ignore[arg-type]
    )  # fmt: skip


def mm(name: str, along: float, across: float, count: int = 1):  # type: ignore[no-untyped-def]
    """A rectangle in mm."""
    return rectangle(name, along / INCH, across / INCH, count)


def shortage(garment: Garment, cloth: Fabric, **more: object) -> Shortage:
    """The one shortage of an order that does not fit."""
    settings: dict[str, object] = {"effort": "quick", "gap": 0.0, "ends": 0.0, **more}
    with pytest.raises(ShortageError) as caught:
        plan_garment(Order(garment, {"cloth": cloth}, **settings))  # type: ignore[arg-type]
    (one,) = caught.value.shortages
    return one


def answer(garment: Garment, cloth: Fabric, **more: object) -> Rescue:
    """What would help an order that does not fit."""
    return rescue(shortage(garment, cloth, **more))


def told(found: Rescue, words: str) -> Trial:
    """The idea whose words hold these; exactly one does."""
    system = found.shortage.job.system
    (trial,) = (
        trial
        for trial in found.trials
        if len(trial.changes) == 1 and words in trial.changes[0].words(system)
    )
    return trial
