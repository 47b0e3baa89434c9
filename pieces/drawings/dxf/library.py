"""The general-purpose library for DXF, loaded where it is used, and kept from talking."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def silent() -> Iterator[None]:
    """Keep the library's remarks off standard error: what matters is told as a finding."""
    logger = logging.getLogger("ezdxf")
    former = logger.level
    logger.setLevel(logging.CRITICAL)
    try:
        yield
    finally:
        logger.setLevel(former)
