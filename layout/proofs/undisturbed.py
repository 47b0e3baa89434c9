"""Work that an interrupt must not cut in two: importing and compiling kernels.

An interrupt comes to the main thread, wherever that is. In the middle of an import or of a
compilation it leaves modules behind that are half there, and every later use of them fails.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TypeVar

Answer = TypeVar("Answer")

GRACE_S = 1.0
"""Seconds that work has to end by itself after an interrupt, so that what it has so far counts."""


def undisturbed(work: Callable[[], Answer]) -> Answer:
    """Do some work in a thread of its own and wait for it.

    Raises
    ------
    KeyboardInterrupt
        As soon as the work has ended, or a little later; then it ends by itself.
    """
    answers: list[Answer] = []
    errors: list[BaseException] = []

    def run() -> None:
        try:
            answers.append(work())
        except BaseException as error:
            errors.append(error)

    thread = threading.Thread(target=run, name="undisturbed")
    thread.start()
    try:
        thread.join()
    except KeyboardInterrupt:
        thread.join(GRACE_S)
        raise
    if errors:
        raise errors[0]
    return answers[0]
