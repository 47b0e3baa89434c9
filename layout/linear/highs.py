"""The one place that imports HiGHS, and how it is set up.

It is loaded when first asked for. One thread and no output, so that the same programme has the same
answer and nothing is printed among ours; the version is pinned, since 1.16.0 prints its name as
soon as a solver is made, before it can be told not to.
"""

from __future__ import annotations

from typing import Any


def highs() -> Any:
    """Return the library; it knows the types of programmes, and what stands for infinity."""
    import highspy

    return highspy


def quiet_solver(**options: object) -> Any:
    """Return a solver that prints nothing and keeps to one thread; options as HiGHS names them."""
    solver = highs().Highs()
    for name, value in {"output_flag": False, "threads": 1, **options}.items():
        solver.setOptionValue(name, value)
    return solver
