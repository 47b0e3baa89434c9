"""Errors that survive the way to another process with all that they carry."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any


class PortableError(Exception):
    """An error that is made anew elsewhere as it is, whatever it was made of here.

    By itself Python calls the class once more with the message alone, which is not what a class
    with further fields takes: the pool or the pipe that it came through would break.
    """

    def __reduce__(
        self,
    ) -> tuple[Callable[..., PortableError], tuple[type[PortableError], tuple[Any, ...], Any]]:
        return _as_it_was, (type(self), self.args, self.__dict__)


def _as_it_was(
    kind: type[PortableError], arguments: tuple[Any, ...], fields: dict[str, Any]
) -> PortableError:
    error = kind.__new__(kind, *arguments)
    error.__dict__.update(fields)
    return error
