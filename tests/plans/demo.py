"""Plans of the demo garments, made once for a test run, whichever of its processes asks first."""

from __future__ import annotations

import os
import pickle
from functools import lru_cache
from pathlib import Path

from fabrics.fabric import Fabric
from fabrics.shelf import find_fabric
from pieces.drafting.garment import Garment
from pieces.lengths import System
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment
from plans.answer.planner import plan_garment
from plans.order import Order
from plans.plan import Plan

CLOTH = {
    "layered-top": {"base": "demo-cotton-lawn", "overlay": "demo-sheer-voile"},
    "wrap-skirt": {"main": "demo-linen"},
    "trousers": {"main": "demo-flawed-twill"},
    "pinafore": {"main": "demo-quilting-cotton", "interfacing": "demo-interfacing"},
    "toy-hare": {"plush": "demo-velveteen", "cotton": "demo-check"},
    "top-from-block": {"base": "demo-cotton-lawn", "overlay": "demo-sheer-voile"},
    "blouse": {"main": "demo-check", "interfacing": "demo-interfacing"},
}


@lru_cache(maxsize=32)
def garment(name: str) -> Garment:
    """A demo garment."""
    return load_garment(find_garment(name))


def cloth_for(name: str) -> dict[str, Fabric]:
    """Demo cloth for each role of a demo garment."""
    return {role: find_fabric(fabric) for role, fabric in CLOTH[name].items()}


SHARED: list[Path] = []
"""Folder that the processes of a run share, once it is known."""


def demo_plan(name: str, fold: str = "auto", makes: int = 1, units: str = "metric") -> Plan:
    """A quick plan of a demo garment on its demo cloth."""
    # Whichever of these are left to their defaults, it is one plan.
    return _found(name, fold, makes, units)


@lru_cache(maxsize=64)
def _found(name: str, fold: str, makes: int, units: str) -> Plan:
    if not SHARED:
        return _made(name, fold, makes, units)
    kept = SHARED[0] / f"{name}-{fold}-{makes}-{units}.pickle"
    if kept.exists():
        found: Plan = pickle.loads(kept.read_bytes())
        return found
    plan = _made(name, fold, makes, units)
    aside = kept.with_suffix(f".{os.getpid()}")
    aside.write_bytes(pickle.dumps(plan))
    aside.replace(kept)
    return plan


def _made(name: str, fold: str, makes: int, units: str) -> Plan:
    return plan_garment(
        Order(
            garment=garment(name),
            cloth=cloth_for(name),
            fold=fold,
            makes=makes,
            effort="quick",
            system=System(units),
        )
    )
