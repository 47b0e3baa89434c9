"""The page under test: its views asked in this process, or the whole program in a real browser."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from subprocess import Popen
from typing import Any

import pytest
from starlette.testclient import TestClient

from plans.page.front.app import make_app
from plans.page.guard.keys import Keys
from plans.page.surroundings import Surroundings
from tests.cli.programs import started

PORT = 8123
HOST = f"http://127.0.0.1:{PORT}"


class Client:
    """Asks views as a browser does that has been let in."""

    def __init__(self, inner: TestClient) -> None:
        self.inner = inner

    def get(self, address: str, **options: Any) -> Any:
        """Read a view."""
        return self.inner.get(address, headers={"Sec-Fetch-Site": "same-origin"}, **options)

    def send(self, address: str, **fields: Any) -> Any:
        """Send fields as `page.js` does."""
        headers = {"Origin": HOST, "Accept": "application/json", "Sec-Fetch-Site": "same-origin"}
        return self.inner.post(address, json=fields, headers=headers)

    def hand_in(self, address: str, content: bytes) -> Any:
        """Hand in a file as `page.js` does."""
        headers = {"Origin": HOST, "Accept": "application/json", "Sec-Fetch-Site": "same-origin"}
        return self.inner.post(address, content=content, headers=headers)


@contextmanager
def asked(folder: Path) -> Iterator[Client]:
    """A client of the page whose plans are kept in a folder, let in."""
    keys = Keys()
    app = make_app(Surroundings(folder), keys, PORT)
    with TestClient(app, base_url=HOST, follow_redirects=False) as inner:
        assert inner.get(f"/open/{keys.token}").status_code == 303
        yield Client(inner)


@pytest.fixture
def client(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Client]:
    """A client of the page with an empty shelf, no stash and no plans, all below `tmp_path`."""
    for variable, name in at_home(tmp_path).items():
        monkeypatch.setenv(variable, name)
    (tmp_path / "plans").mkdir()
    with asked(tmp_path / "plans") as opened:
        yield opened


def at_home(folder: Path) -> dict[str, str]:
    """Variables by which shelf and stash lie in a folder."""
    return {
        "LAYWRIGHT_SHELF": str(folder / "shelf"),
        "LAYWRIGHT_STASH": str(folder / "stash.db"),
    }


@contextmanager
def served(folder: Path, port: int = 0) -> Iterator[tuple[str, Popen[str]]]:
    """The whole program, its plans, shelf and stash in a folder: address to open, and process."""
    (folder / "plans").mkdir(exist_ok=True)
    arguments = ("page", "--no-browser", "--plans", "plans", "--port", str(port))
    with started(folder, *arguments, variables=at_home(folder)) as process:
        assert process.stdout is not None
        yield process.stdout.readline().strip(), process
