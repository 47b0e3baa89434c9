"""What is wrong with an order file, and what it says."""

from __future__ import annotations

from pathlib import Path

from fabrics.folds.errors import FabricError
from pieces.errors import PieceError
from pieces.findings import Finding, InputError
from plans.errors import PlanError
from plans.folds.jobs import jobs_for, role_names
from plans.orders.making import order_of
from plans.orders.order_file import check_order_file, read_order_file


def check_order(path: Path) -> list[Finding]:
    """List everything wrong with an order file, and then with what it names."""
    findings = check_order_file(path)
    if any(finding.fatal for finding in findings):
        return findings
    try:
        jobs_for(order_of(read_order_file(path)))
    except InputError as error:
        findings += error.findings
    except (PieceError, FabricError, PlanError) as error:
        findings.append(Finding(str(path), str(error).removeprefix(f"{path}, ")))
    return findings


def order_summary(path: Path) -> list[str]:
    """Say what a sound order file asks for: garments, then roles by cloth."""
    order = order_of(read_order_file(path))
    counts = {piece.owner: piece.times * order.makes for piece in order.garment.pieces}
    lines = [order.garment.title]
    lines += [f"{count} x {owner or order.garment.name}" for owner, count in counts.items()]
    for job in jobs_for(order):
        lines.append(f"{role_names(list(job.roles))} from {job.fabric.title}")
    return lines
