"""What flaws cost where cloth is folded across: python -m tests.bench.flaws.

Demo garments, all roles on one cloth, on a crosswise or turned fold: the length on sound cloth, and
how much longer it is on cloth with flaws, which lie where the sound layout has its pieces (places
are shares of its length and of the cloth's width). Prints per cent for each case and processor
seconds of both.
"""

from __future__ import annotations

import json
import statistics
import time
from dataclasses import replace
from typing import Any

import click

from fabrics.fabric import Fabric
from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from pieces.geometry_types import Ring
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment
from plans.folds.fold_search import deepen, screen
from plans.folds.jobs import job_for
from plans.folds.levels import EFFORTS, level_for
from plans.folds.outcome import FoldResult
from plans.order import Order

CELLS = (
    ("layered-top", "demo-linen", Fold.CROSSWISE),
    ("blouse", "demo-linen", Fold.CROSSWISE),
    ("layered-top", "demo-velveteen", Fold.TURNED),
    ("wrap-skirt", "demo-linen", Fold.CROSSWISE),
)

Spot = tuple[float, float, float, float]
"""Middle (shares of the sound length and of the width), then length and width, mm."""

CASES: dict[str, tuple[Spot, ...]] = {
    "middle": ((0.5, 0.5, 200.0, 120.0),),
    "under": ((0.25, 0.4, 30.0, 15.0),),
    "above": ((0.8, 0.6, 30.0, 15.0),),
    "two": ((0.25, 0.3, 30.0, 15.0), (0.6, 0.7, 20.0, 20.0)),
    "three": ((0.2, 0.3, 20.0, 20.0), (0.45, 0.7, 20.0, 20.0), (0.8, 0.5, 20.0, 20.0)),
    "slub": ((0.35, 0.45, 600.0, 10.0),),
    "edge": ((0.7, 0.9, 200.0, 120.0),),
}


def with_flaws(cloth: Fabric, spots: tuple[Spot, ...], length: float) -> Fabric:
    """The cloth with flaws, of which pieces need `length` (mm) where it is sound."""
    rings: list[Ring] = []
    for along, across, long, wide in spots:
        x, y = along * length - long / 2.0, across * cloth.width_cut - wide / 2.0
        rings.append(((x, y), (x + long, y), (x + long, y + wide), (x, y + wide)))
    return replace(cloth, flaws=tuple(rings))


def laid(garment: str, cloth: Fabric, fold: Fold, effort: str) -> tuple[FoldResult, float]:
    """The result of one fold, and processor seconds."""
    loaded = load_garment(find_garment(garment))
    job = job_for(Order(loaded, {}), loaded.roles, cloth)
    level = level_for(effort)
    begun = time.process_time()
    found = screen(job, fold, level.screen, level.glance)
    if isinstance(found, FoldResult) and level.refine is not None:
        found = deepen(job, found, level.refine)
    spent = time.process_time() - begun
    if not isinstance(found, FoldResult):
        raise click.ClickException(f"{garment} on {cloth.name}, {fold.value}: {found.reason}")
    return found, spent


@click.command()
@click.option("--effort", type=click.Choice(EFFORTS), default="quick", show_default=True)
@click.option("--garment", "garments", multiple=True, help="Only these.")
@click.option("--case", "cases", multiple=True, type=click.Choice(list(CASES)), default=CASES)
@click.option("--json", "as_json", is_flag=True, help="One row a line.")
def main(effort: str, garments: tuple[str, ...], cases: tuple[str, ...], as_json: bool) -> None:
    """Measure what flaws cost on folds across."""
    rows: list[dict[str, Any]] = []
    for garment, fabric, fold in CELLS:
        if garments and garment not in garments:
            continue
        # Sold by the millimetre, so that exact length alone counts.
        cloth = replace(find_fabric(fabric), step=1.0, own_step=True)
        sound, sound_s = laid(garment, cloth, fold, effort)
        for case in cases:
            flawed = with_flaws(cloth, CASES[case], sound.length)
            found, spent = laid(garment, flawed, fold, effort)
            row: dict[str, Any] = {
                "garment": garment, "fabric": fabric, "fold": fold.value, "case": case,
                "sound_mm": sound.length, "length_mm": found.length,
                "longer": found.length / sound.length - 1.0,
                "sound_s": sound_s, "seconds": spent,
            }  # fmt: skip
            rows.append(row)
            click.echo(
                json.dumps(row) if as_json else
                f"{garment:<12} {fabric:<15} {fold.value:<10} {case:<7} {sound.length:7.1f} "
                f"{found.length:7.1f} {100 * row['longer']:+6.2f} %  {sound_s:5.1f} {spent:5.1f} s"
            )  # fmt: skip
    if not as_json:
        longer = [row["longer"] for row in rows]
        click.echo(
            f"{effort}, {len(rows)} cells: flaws cost {100 * statistics.mean(longer):.2f} % in the "
            f"mean, {100 * max(longer):.2f} % at most; {sum(r['seconds'] for r in rows):.1f} s"
        )


if __name__ == "__main__":
    main()
