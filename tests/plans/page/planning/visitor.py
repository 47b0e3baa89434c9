"""Someone who asks the whole program by HTTP, as a browser does, without one."""

from __future__ import annotations

import http.client
import json
from collections.abc import Iterator
from contextlib import closing, contextmanager
from typing import Any


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

    def read(self, path: str) -> bytes:
        """Read a view whole."""
        with self._answer("GET", path, Cookie=self.cookie) as answer:
            return answer.read()

    def hear(self, path: str, part: str) -> None:
        """Read news until a line holds a text."""
        with self._answer("GET", path, Cookie=self.cookie) as answer:
            for line in answer:
                if part in line.decode():
                    return
        raise AssertionError(f"nothing said '{part}'")
