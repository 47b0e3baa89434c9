"""The one door of the page: every request passes here before any view sees it.

The page serves this machine only, but any site that is open in the same browser can send requests
to it, other programs of this machine can reach its port, and names can be made to lead here (DNS
rebinding). So: only our own names as Host; only who bears the cookie that was given for the token
of the launch address; changes only from our own pages; no more than a limit in a body; and answers
that load nothing from elsewhere and lie in nobody's frame.
"""

from __future__ import annotations

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from plans.page.guard.keys import COOKIE, Keys
from plans.page.guard.refusals import refusal

OPEN = "/open/"
"""Path of the launch address; the token follows."""

POLICY = (
    "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; "
    "form-action 'self'; frame-ancestors 'none'"
)
"""Content security policy (W3C, level 3) of every answer that sets none of its own."""

HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cache-control": "no-store",
}

USUAL_BYTES = 1_000_000
"""Of what is typed: a garment file takes a hundredth of it."""

FILE_BYTES = 40_000_000
"""Of a file that is handed in: a photograph of 12 megapixels takes a quarter of it."""

FILES = "/files/"
"""Paths under which files are handed in hold this."""

READING = ("GET", "HEAD")

USUAL_PORT = 80
"""Of http (RFC 9110, 4.2.1)."""


class Safety:
    """Lets through what may pass, and puts the headers on what goes out."""

    def __init__(self, app: ASGIApp, keys: Keys, port: int) -> None:
        self._app = app
        self._keys = keys
        self._cookie = COOKIE.format(port=port)
        # Browsers leave the port out where it is the usual one.
        ends = (f":{port}", "") if port == USUAL_PORT else (f":{port}",)
        self._hosts = {f"{name}{end}" for name in ("127.0.0.1", "localhost") for end in ends}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it here."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return

        async def send_safely(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        answer = self._answer(scope)
        if answer is not None:
            await answer(scope, receive, send_safely)
            return
        limit = FILE_BYTES if FILES in scope["path"] else USUAL_BYTES
        limited = _Limited(receive, limit)
        if not limited.permits(Headers(scope=scope).get("content-length")):
            await refusal(413, f"what was sent is larger than {limit // 1_000_000} MB")(
                scope, receive, send_safely
            )
            return
        await self._app(scope, limited, send_safely)

    def _answer(self, scope: Scope) -> Response | None:
        """What is said to a request that goes no further; None if it may pass."""
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if host not in self._hosts:
            return refusal(421, "this page answers to 127.0.0.1 and localhost only")
        if _from_elsewhere(headers, scope["method"]):
            return refusal(403, "this was sent by another page, so it was not done")
        known = self._keys.accepts(self._borne(headers))
        path: str = scope["path"]
        if path.startswith(OPEN) and scope["method"] == "GET":
            return self._opened(path.removeprefix(OPEN), known)
        if not known:
            return refusal(
                403,
                "this page is opened with the address that 'laywright page' prints, which holds "
                "for one browser; end it with Ctrl-C and start it again for a new one",
            )
        if scope["method"] not in READING and not _is_ours(headers, host):
            return refusal(403, "this was not sent by this page, so it was not done")
        return None

    def _borne(self, headers: Headers) -> str:
        """The secret that a request bears.

        It is read as browsers write cookies: other programs of this machine set some for all ports,
        and one that no standard permits must not hide ours.
        """
        for line in headers.getlist("cookie"):
            found = cookie_parser(line).get(self._cookie)
            if found is not None:
                return found
        return ""

    def _opened(self, token: str, known: bool) -> Response:
        secret = self._keys.exchange(token)
        if secret is None and not known:
            return refusal(
                403,
                "this address was used before, or is of another start; end 'laywright page' with "
                "Ctrl-C and start it again for a new one",
            )
        answer = RedirectResponse("/", status_code=303)
        if secret is not None:
            answer.set_cookie(self._cookie, secret, httponly=True, samesite="strict", path="/")
        return answer


def _from_elsewhere(headers: Headers, method: str) -> bool:
    """Whether a browser says that another site asks (Fetch Metadata Request Headers, W3C).

    Another port of this machine is the same site to a browser, so that only "same-origin" and
    "none" (typed, or opened by another program) count as ours. Following a link to here is harmless
    as long as it only reads: without our cookie, which is strict, nothing is shown.
    """
    site = headers.get("sec-fetch-site")
    if site in (None, "same-origin", "none"):
        return False
    navigates = headers.get("sec-fetch-mode") == "navigate"
    return not (method == "GET" and navigates and headers.get("sec-fetch-dest") == "document")


def _is_ours(headers: Headers, host: str) -> bool:
    """Whether a change was sent by a page of ours: a browser names its origin with every POST."""
    return headers.get("origin") == f"http://{host}"


class _Limited:
    """Receives a body up to a limit; what is longer looks as if the sender had gone away."""

    def __init__(self, receive: Receive, limit: int) -> None:
        self._receive = receive
        self._limit = limit
        self._left = limit

    def permits(self, stated: str | None) -> bool:
        """Whether the length that is stated is within the limit."""
        if stated is None:
            return True
        return stated.isascii() and stated.isdigit() and int(stated) <= self._limit

    async def __call__(self) -> Message:
        """Return the next part, or that there will be none."""
        message = await self._receive()
        if message["type"] == "http.request":
            self._left -= len(message.get("body", b""))
            if self._left < 0:
                return {"type": "http.disconnect"}
        return message
