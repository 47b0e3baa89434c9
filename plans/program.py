"""Which program this is: an answer of another version is not to be taken for one of this."""

from __future__ import annotations

import hashlib
import platform
from dataclasses import fields, is_dataclass
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

FIGURES = ("numpy", "shapely", "numba", "highspy")
"""Libraries that figures come out of."""


@cache
def sources() -> str:
    """Digest of the program itself."""
    root = Path(__file__).parents[1]
    digest = hashlib.sha256()
    for room in ("pieces", "fabrics", "layout", "plans"):
        for source in sorted((root / room).rglob("*.py")):
            digest.update(source.read_bytes())
    return digest.hexdigest()


@cache
def program() -> tuple[tuple[str, str], ...]:
    """Names and versions of all that must be the same elsewhere for answers to be the same."""
    python = ".".join(platform.python_version_tuple()[:2])
    libraries = [(name, version(name)) for name in FIGURES]
    return (
        ("laywright", version("laywright")),
        ("Python", python),
        *libraries,
        ("code", sources()),
    )


def fingerprint(*values: Any) -> str:
    """Digest of the program and of values: of answers to equal ones, one will do.

    Values are plain: frozen dataclasses, enums, tuples, sets, dictionaries, texts and numbers.
    """
    return hashlib.sha256(repr((program(), *map(_spelt, values))).encode()).hexdigest()


def _spelt(value: Any) -> str:
    """Say all of a value, the same in every process: sets have no order of their own."""
    if is_dataclass(value) and not isinstance(value, type):
        told = (f"{one.name}={_spelt(getattr(value, one.name))}" for one in fields(value))
        return f"{type(value).__name__}({', '.join(told)})"
    if isinstance(value, (set, frozenset)):
        return f"{{{', '.join(sorted(map(_spelt, value)))}}}"
    if isinstance(value, (tuple, list)):
        return f"({', '.join(map(_spelt, value))})"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{_spelt(key)}: {_spelt(one)}' for key, one in value.items())}}}"
    return repr(value)
