"""Random problems under every constraint, for as long as asked: python -m tests.bench.soak.

Never an invalid layout, never a crash, never a bound above a found length. Prints the seeds that
fail; each makes its problem again.
"""

from __future__ import annotations

import time
import traceback

import click

from layout.bounds.best import Care, best_bound, relaxed_bound
from layout.bounds.terms.relaxation import relaxed_copies
from layout.effort import Effort
from layout.errors import ProblemError
from layout.fit import NoLayoutError
from layout.layout import cloth_length
from layout.problem import Problem
from layout.solver import solve
from layout.strip_problem import StripProblem
from layout.validator import validate
from tests.layout.random_problems import random_leftover, random_strip


def fault(problem: Problem, effort: Effort, seconds: float) -> str:
    """What is wrong with the layout found; empty if nothing is."""
    try:
        layout = solve(problem, effort, time_limit=seconds)
    except (NoLayoutError, ProblemError):
        # Refused with a reason: no room for a piece.
        return ""
    violations = validate(problem, layout)
    if violations:
        return "; ".join(violation.message for violation in violations[:3])
    if isinstance(problem, StripProblem):
        length = cloth_length(problem, layout.extents)
        # Of placements as they are, and of copies however many of them are cut two at a time.
        copies = relaxed_bound(relaxed_copies(problem), Care.CLOSE)
        for bound in (best_bound(problem, Care.CLOSE), copies):
            if bound.length > length + 1e-6:
                return f"bound {bound.length:.3f} ({bound.kind.value}) above length {length:.3f}"
    return ""


@click.command()
@click.option("--seconds", type=float, default=60.0, show_default=True)
@click.option("--first", type=int, default=0, help="First seed.")
@click.option("--separate", type=float, default=0.3, help="Seconds of separation for each.")
def main(seconds: float, first: int, separate: float) -> None:
    """Lay random problems until the time is up."""
    begun = time.monotonic()
    seed = first
    failed = []
    while time.monotonic() - begun < seconds:
        for maker in (random_strip, random_leftover):
            try:
                problem = maker(seed)
            except ProblemError as error:
                failed.append(seed)
                click.echo(f"seed {seed} {maker.__name__} cannot be made: {error}")
                continue
            if problem is None:
                continue
            for effort in (Effort.GLANCE, Effort.ENDLESS):
                try:
                    found = fault(problem, effort, separate)
                except Exception:
                    found = traceback.format_exc()
                if found:
                    failed.append(seed)
                    click.echo(f"seed {seed} {maker.__name__} {effort.name}: {found}")
        seed += 1
    click.echo(f"{seed - first} seeds, {len(failed)} failures")


if __name__ == "__main__":
    main()
