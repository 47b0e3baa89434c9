"""The way in: a token that opens the page once, then a cookie that only this server accepts."""

from __future__ import annotations

import secrets
import threading

COOKIE = "laywright-{port}"
"""Cookies are shared by all ports of a machine, so that the port is part of its name."""


class Keys:
    """The token of the launch address, and the secret that a browser gets for it."""

    def __init__(self) -> None:
        self.token = secrets.token_urlsafe(24)
        self._secret = secrets.token_urlsafe(32)
        self._used = False
        self._lock = threading.Lock()

    def exchange(self, token: str) -> str | None:
        """Return the secret for the token, the first time; None for any other token or time."""
        with self._lock:
            sound = secrets.compare_digest(token.encode(), self.token.encode())
            if not sound or self._used:
                return None
            self._used = True
            return self._secret

    def accepts(self, secret: str) -> bool:
        """Whether a browser bears the secret."""
        return secrets.compare_digest(secret.encode(), self._secret.encode())
