"""Plans of the demo garments, made once for a test run."""

from __future__ import annotations

from functools import lru_cache

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


@lru_cache(maxsize=64)
def demo_plan(name: str, fold: str = "auto", makes: int = 1, units: str = "metric") -> Plan:
    """A quick plan of a demo garment on its demo cloth."""
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
