"""Errors of the room plans/: one root."""

from __future__ import annotations

import ast
import builtins
from pathlib import Path

import pytest

from plans.data.plan_json import PlanFileError
from plans.errors import FaultError, PlanError, PlansError
from plans.folds.on_hand import ShortageError

ROOM = Path(__file__).parents[2] / "plans"
NOT_OURS = {"EndedAtOnceError", "NobodyReadsError"}
"""Ways in which the program ends, rather than errors of planning."""


@pytest.mark.parametrize("kind", [PlanError, FaultError, PlanFileError, ShortageError])
def test_every_kind_has_the_root(kind: type[Exception]) -> None:
    """Whoever calls the room as a library catches one."""
    assert issubclass(kind, PlansError)


def test_no_error_stands_beside_the_root() -> None:
    """A class whose bases are only Python's own exceptions, or what carries one, is the root."""
    python = {name for name, kind in vars(builtins).items() if isinstance(kind, type)
              and issubclass(kind, BaseException)}  # fmt: skip
    python.add("PortableError")
    roots = {
        node.name
        for path in ROOM.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ClassDef) and node.bases
        and {getattr(base, "id", "") for base in node.bases} <= python
    }  # fmt: skip
    assert roots - NOT_OURS == {"PlansError"}
