"""The server: this machine only, and how it ends."""

from __future__ import annotations

import signal
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType

import uvicorn

from pieces.system_words import system_words
from plans.errors import PlanError
from plans.page.front.app import make_app
from plans.page.guard.keys import Keys
from plans.page.guard.safety import OPEN
from plans.page.surroundings import Surroundings
from plans.page.work.jobs import Jobs

HERE = "127.0.0.1"


class PortError(PlanError):
    """A port that cannot be had."""


def serve(
    surroundings: Surroundings, port: int, tell: Callable[[str], None], with_browser: bool
) -> None:
    """Serve the page until a signal comes.

    Parameters
    ----------
    surroundings : Surroundings
    port : int
        0 for any that is free.
    tell : callable
        Given the address that opens the page, once it answers.
    with_browser : bool
        Whether to open it in the browser of whoever asks.

    Raises
    ------
    PortError
        If the port is taken or not for us.
    """
    listening = _listening(port)
    keys = Keys()
    number = listening.getsockname()[1]
    app = make_app(surroundings, keys, number)
    address = f"http://{HERE}:{number}{OPEN}{keys.token}"

    def begun() -> None:
        tell(address)
        if with_browser:
            # A browser may hold whoever starts it.
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()

    config = uvicorn.Config(
        app, log_level="warning", access_log=False, server_header=False, ws="none", http="h11",
        loop="asyncio", timeout_graceful_shutdown=2, timeout_keep_alive=30,
    )  # fmt: skip
    _Server(config, app.state.jobs, begun).run(sockets=[listening])


def _listening(port: int) -> socket.socket:
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if sys.platform != "win32":
        # There it would let two programs share a port; elsewhere it only spares a wait.
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        found.bind((HERE, port))
    except (OSError, OverflowError) as error:
        found.close()
        why = system_words(error) if isinstance(error, OSError) else "no such port"
        raise PortError(f"--port {port}: {why}; another, or none for one that is free") from error
    return found


class _Server(uvicorn.Server):
    """Ends at the first signal with the best of what is searched, at the second one at once."""

    def __init__(self, config: uvicorn.Config, jobs: Jobs, begun: Callable[[], None]) -> None:
        super().__init__(config)
        self._jobs = jobs
        self._begun = begun

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            self._begun()

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        former = {
            number: signal.signal(number, self._heard)
            for name in ("SIGINT", "SIGTERM", "SIGHUP")
            if (number := getattr(signal, name, None)) is not None
            and signal.getsignal(number) is not signal.SIG_IGN
        }
        try:
            yield
        finally:
            for number, handler in former.items():
                signal.signal(number, handler)

    def _heard(self, _: int, __: FrameType | None) -> None:
        if self.should_exit:
            self._jobs.end_at_once()
            self.force_exit = True
            return
        at_work = [job.title for job in self._jobs.all() if not job.state.is_over]
        if at_work:
            said = f"keeping what was found ({', '.join(at_work)}); once more ends at once"
            print(said, file=sys.stderr)
        self.should_exit = True
        self._jobs.ending_soon()
