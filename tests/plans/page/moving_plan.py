"""A small plan in the plans folder of a page: an apron on 90 cm, quickly found."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

from layout.layout import Layout
from plans.answer.assemble import assemble
from plans.by_hand.asked import lay_of, order_behind
from plans.folds.jobs import job_for
from plans.orders.making import Load, load_by_name, order_of
from plans.orders.planning import plan_order
from plans.orders.request import GarmentAsked, Request
from plans.outputs.folder import write_plan_file
from plans.plan import Plan
from plans.problem.problem_builder import Misfit
from tests.plans.orders.aprons import write_apron


def keep_apron(folder: Path, name: str = "apron-plan", fold: str = "open", makes: int = 2) -> Plan:
    """Write an apron's garment file, and its plan into the folder of plans beside it."""
    write_apron(folder)
    place = folder / "plans" / name
    place.mkdir(parents=True, exist_ok=True)
    request = Request(
        (GarmentAsked(str(folder / "apron.toml"), "M"),), {"main": "90cm"}, fold=fold, makes=makes,
        effort="quick",
    )  # fmt: skip
    plan = plan_order(request, order_of(request), folder=place)
    write_plan_file(plan, place)
    return plan


def without_request(folder: Path, name: str = "apron-plan") -> None:
    """Make the plan one of an earlier version."""
    file = folder / "plans" / name / "plan.json"
    data = json.loads(file.read_text())
    del data["asked"]
    file.write_text(json.dumps(data))


def keep_many(folder: Path, name: str = "many", makes: int = 100) -> None:
    """Keep a plan of many aprons, that of one laid again and again along the cloth."""
    one = keep_apron(folder, name, makes=1)
    order = replace(
        order_behind(one, Request((GarmentAsked("apron"),)), _apron(folder)), makes=makes
    )
    small = lay_of(one, 0, replace(order, makes=1))
    job = job_for(order, one.fabrics[0].roles, one.fabrics[0].fabric)
    pairing = tuple(makes * pairs for pairs in small.built.pairing)
    built = job.built(job.demands, small.variant.sections, pairing)
    assert not isinstance(built, Misfit)
    step = small.layout.extents[0] + job.gap
    placements = tuple(
        replace(placement, x=placement.x + k * step)
        for k in range(makes)
        for placement in small.layout.placements
    )
    layout = Layout(placements, (makes * step - job.gap,))
    variant = replace(small.variant, built=built, demands=job.demands)
    entry = assemble(job, variant.laid(job, layout), ())
    asked = {**(one.asked or {}), "makes": makes}
    plan = replace(one, fabrics=(entry,), makes=makes, asked=asked)
    write_plan_file(plan, folder / "plans" / name)


def _apron(folder: Path) -> Load:
    return lambda _, __: load_by_name(str(folder / "apron.toml"), "M")
