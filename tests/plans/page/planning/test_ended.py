"""The program is ended while it searches: what was found is kept."""

from __future__ import annotations

import http.client
import json
import signal
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from plans.outputs.folder import read_plan
from tests.page import served
from tests.plans.page.planning.small import FIELDS, shelved


class Visitor:
    """Someone who was let in and asks by HTTP, as a browser does."""

    def __init__(self, address: str) -> None:
        self.host = address.split("/")[2]
        with self._answer("GET", address.split(self.host)[1]) as answer:
            self.cookie = answer.headers["set-cookie"].split(";")[0]

    @contextmanager
    def _answer(
        self, method: str, path: str, body: str | None = None, **headers: str
    ) -> Iterator[http.client.HTTPResponse]:
        with closing(http.client.HTTPConnection(self.host, timeout=300)) as connection:
            connection.request(method, path, body, headers)
            with connection.getresponse() as answer:
                yield answer

    def send(self, path: str, **fields: Any) -> Any:
        """Send fields; what is answered."""
        with self._answer(
            "POST", path, json.dumps(fields), Cookie=self.cookie, Origin=f"http://{self.host}"
        ) as answer:
            return json.loads(answer.read())

    def hear(self, path: str, part: str) -> None:
        """Read news until a line holds a text."""
        with self._answer("GET", path, Cookie=self.cookie) as answer:
            for line in answer:
                if part in line.decode():
                    return
        raise AssertionError(f"nothing said '{part}'")


def test_ctrl_c_keeps_what_a_search_has_found(tmp_path: Path) -> None:
    """The plan is on the disk, complete, with everything to print."""
    shelved(tmp_path)
    with served(tmp_path) as (address, process):
        visitor = Visitor(address)
        fields = {**FIELDS, "effort": "thorough", "fold": "open", "count-1": "6"}
        work = visitor.send("/plans/new", **fields)["work"]
        # Both cloths have a layout when one of them is searched further.
        visitor.hear(f"/work/{work}/events", "searching on in")
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=300) == 0
        assert process.stderr is not None
        said = process.stderr.read()
        assert "keeping what was found" in said
        assert "Traceback" not in said
    folder = tmp_path / "plans" / "bag-plan"
    names = {path.name for path in folder.iterdir()}
    assert {"plan.json", "report.html", "90cm.pdf", "90cm.svg", "demo-interfacing.pdf"} <= names
    plan = read_plan(folder)
    assert plan.complete
    assert plan.interrupted
    assert [path.name for path in (tmp_path / "plans").iterdir()] == ["bag-plan"]
