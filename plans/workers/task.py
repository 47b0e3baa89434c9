"""A task on its way to a worker elsewhere, who runs it only if it is this very program."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from typing import Any

from plans.errors import PlanError
from plans.program import program
from plans.workers.where import at_work

Program = tuple[tuple[str, str], ...]


class OtherProgramError(PlanError):
    """A worker that is not this program."""


def packed(function: Callable[..., Any], arguments: tuple[Any, ...], options: Any) -> bytes:
    """Everything that a worker needs; a function of a module, and plain data."""
    return pickle.dumps((program(), function, arguments, options), pickle.HIGHEST_PROTOCOL)


def run_packed(task: bytes) -> bytes:
    """Run a task on a worker, if it is this very program, and return what it gave, packed.

    Raises
    ------
    OtherProgramError
        If it is not.
    """
    try:
        ours, function, arguments, options = pickle.loads(task)
    except (ImportError, AttributeError) as error:
        raise OtherProgramError("a worker has another laywright") from error
    if program() != ours:
        raise OtherProgramError(f"a worker has {differences(ours, program())}")
    with at_work():
        found = function(*arguments, **options)
    return pickle.dumps(found, pickle.HIGHEST_PROTOCOL)


def differences(ours: Program, theirs: Program) -> str:
    """What another program has that this one has not, in words."""
    there, here = dict(theirs), dict(ours)
    wrong = [name for name in here if there.get(name) != here[name]]
    if wrong == ["code"]:
        return "another laywright under the same version"
    return ", ".join(
        f"{name} {there.get(name, 'unknown')}, not {here[name]}" for name in wrong if name != "code"
    )
