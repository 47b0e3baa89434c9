"""Which program this is: an answer of another version is not to be taken for one of this."""

from __future__ import annotations

import hashlib
import platform
from functools import cache
from importlib.metadata import version
from pathlib import Path

FIGURES = ("numpy", "shapely", "numba")
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
