"""Attacks on the door of the page: each is what another site or program of this machine could do.

Sources: the maintainers of Jupyter on DNS rebinding, tokens and host checks; the cross-origin
protection of Go 1.25; Fetch Metadata Request Headers and Content Security Policy (W3C).
"""

from __future__ import annotations

import http.client
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from plans.page.front.app import STATIC, make_app
from plans.page.guard.keys import Keys
from plans.page.guard.safety import USUAL_BYTES
from plans.page.rendering import TEMPLATES
from plans.page.surroundings import Surroundings
from tests.page import HOST, PORT, Client, asked, client, served

__all__ = ["client"]

KNOWN = {"Origin": HOST, "Sec-Fetch-Site": "same-origin"}


@pytest.fixture
def door(tmp_path: Path) -> Iterator[tuple[TestClient, Keys]]:
    """The page as a stranger finds it, and its keys."""
    keys = Keys()
    app = make_app(Surroundings(tmp_path), keys, PORT)
    with TestClient(app, base_url=HOST, follow_redirects=False) as stranger:
        yield stranger, keys


@pytest.mark.parametrize("foreign", ["list[0]=1", 'seen={"a": "b c"}', "plain", "path=/", "é=1"])
def test_a_cookie_of_another_program_locks_nobody_out(client: Client, foreign: str) -> None:
    """Cookies are shared by all ports of a machine, and some are not as the standard has them."""
    (ours,) = [f"{one.name}={one.value}" for one in client.inner.cookies.jar]
    client.inner.cookies.clear()
    cookies = f"{foreign}; {ours}".encode("latin-1")
    assert client.inner.get("/", headers=[(b"cookie", cookies)]).status_code == 200


def test_the_usual_port_may_be_left_out_as_browsers_do(tmp_path: Path) -> None:
    """On port 80 a browser names neither in `Host` nor in `Origin` which one it is."""
    keys = Keys()
    base = "http://127.0.0.1"
    app = make_app(Surroundings(tmp_path), keys, 80)
    with TestClient(app, base_url=base, follow_redirects=False) as browser:
        assert browser.get(f"/open/{keys.token}").status_code == 303
        assert browser.post("/settings", json={}, headers={"Origin": base}).status_code == 200


@pytest.mark.parametrize(
    "host",
    ["evil.example", f"evil.example:{PORT}", "127.0.0.1", f"127.0.0.1:{PORT + 1}", "", "[::1]:8123",
     f"localhost.evil.example:{PORT}", f"127.0.0.1:{PORT}.evil.example"],
)  # fmt: skip
def test_a_name_that_was_made_to_lead_here_is_refused(client: Client, host: str) -> None:
    """Even with the cookie: after DNS rebinding the browser would send it."""
    answer = client.inner.get("/", headers={"Host": host})
    assert answer.status_code == 421
    assert "Garments" not in answer.text


def test_nothing_is_shown_without_the_cookie(door: tuple[TestClient, Keys]) -> None:
    """Another program of this machine reaches the port, but sees no view, file or news."""
    stranger, _ = door
    for address in ("/", "/garments", "/static/page.js", "/at-work/x/events", "/open", "/nothing"):
        answer = stranger.get(address)
        assert answer.status_code == 403, address
        assert "with the address that 'laywright page' prints" in answer.text
    assert stranger.post("/settings", json={}, headers=KNOWN).status_code == 403


def test_the_launch_address_opens_once(door: tuple[TestClient, Keys]) -> None:
    """Whoever reads it later, from a history or a log, comes too late."""
    stranger, keys = door
    first = stranger.get(f"/open/{keys.token}")
    assert first.status_code == 303
    cookie = first.headers["set-cookie"]
    assert re.search(rf"^laywright-{PORT}=\S+; HttpOnly; Path=/; SameSite=strict$", cookie)
    assert keys.token not in cookie
    # The same browser may open it again, another one may not.
    assert stranger.get(f"/open/{keys.token}").status_code == 303
    stranger.cookies.clear()
    late = stranger.get(f"/open/{keys.token}")
    assert late.status_code == 403
    assert "set-cookie" not in late.headers


@pytest.mark.parametrize("token", ["", "x", "é" * 32, "a" * 4000, "..%2f..", "%00"])
def test_a_wrong_token_opens_nothing(door: tuple[TestClient, Keys], token: str) -> None:
    """And does not use up the right one."""
    stranger, keys = door
    assert stranger.get(f"/open/{token}").status_code == 403
    assert stranger.get(f"/open/{keys.token}").status_code == 303


def test_a_cookie_of_another_start_is_refused(tmp_path: Path) -> None:
    """A secret holds for one server only."""
    with asked(tmp_path) as first:
        jar = dict(first.inner.cookies)
    app = make_app(Surroundings(tmp_path), Keys(), PORT)
    with TestClient(app, base_url=HOST, cookies=jar) as later:
        assert later.get("/").status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "null"},
        {"Origin": "http://evil.example"},
        {"Origin": f"https://127.0.0.1:{PORT}"},
        {"Origin": f"http://127.0.0.1:{PORT + 1}", "Sec-Fetch-Site": "same-site"},
        {"Origin": HOST, "Sec-Fetch-Site": "same-site"},
        {"Origin": HOST, "Sec-Fetch-Site": "cross-site"},
        {"Origin": f"http://localhost:{PORT}"},
    ],
)
def test_a_change_from_elsewhere_is_not_done(client: Client, headers: dict[str, str]) -> None:
    """Another port of this machine is the same site to a browser, and no page of ours."""
    answer = client.inner.post("/settings", json={"units": "imperial"}, headers=headers)
    assert answer.status_code == 403
    assert "laywright-units" not in client.inner.cookies


@pytest.mark.parametrize("dest", ["image", "script", "iframe", "empty", "style"])
def test_nothing_is_read_into_another_page(client: Client, dest: str) -> None:
    """Pictures, scripts and frames of another port would bear the cookie."""
    for site in ("same-site", "cross-site"):
        fetched = {"Sec-Fetch-Site": site, "Sec-Fetch-Dest": dest, "Sec-Fetch-Mode": "no-cors"}
        assert client.inner.get("/", headers=fetched).status_code == 403


def test_following_a_link_to_here_is_let_in(client: Client) -> None:
    """It only reads, and shows in a window of its own."""
    fetched = {
        "Sec-Fetch-Site": "same-site", "Sec-Fetch-Dest": "document", "Sec-Fetch-Mode": "navigate",
    }  # fmt: skip
    assert client.inner.get("/", headers=fetched).status_code == 200


def test_every_answer_forbids_what_it_does_not_need(client: Client) -> None:
    """Refusals and faults included; no answer invites other origins."""
    for answer in (
        client.get("/"),
        client.get("/nothing"),
        client.get("/static/page.css"),
        client.inner.get("/", headers={"Host": "evil.example"}),
        client.send("/settings", units="none"),
    ):
        policy = answer.headers["content-security-policy"]
        assert "default-src 'self'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cross-origin-resource-policy"] == "same-origin"
        assert "access-control-allow-origin" not in answer.headers


def test_no_template_holds_what_the_policy_refuses() -> None:
    """No script, style or handler within a page, and nothing from elsewhere."""
    for template in TEMPLATES.glob("*.html"):
        text = re.sub(r"\{%.*?%\}", "", template.read_text(encoding="utf-8"), flags=re.DOTALL)
        assert not re.search(r"<script(?![^>]*\bsrc=)|<style|\sstyle=|\son\w+\s*=", text), template
        assert not re.search(r"https?://(?!www\.w3\.org)", text), template
        assert "|safe" not in text.replace(" ", ""), template
    for file in (*STATIC.glob("*.js"), *STATIC.glob("*.css")):
        text = file.read_text(encoding="utf-8")
        assert not re.search(r"https?://(?!www\.w3\.org)|//cdn", text), file
        assert not re.search(r"\beval\(|new Function|innerHTML|insertAdjacentHTML", text), file
        # In one place only, where what is put in was escaped by a template of ours.
        assert file.name == "page.js" or "parseFromString" not in text, file


def test_what_is_too_large_is_refused_before_it_is_read(client: Client) -> None:
    """By what it says of itself."""
    body = b"x" * (USUAL_BYTES + 1)
    assert client.hand_in("/settings", body).status_code == 413
    for length in ("-1", "many", "9" * 40):
        answer = client.inner.post(
            "/settings", content=b"{}", headers={**KNOWN, "Content-Length": length}
        )
        assert answer.status_code == 413, length


def test_what_does_not_tell_its_length_is_cut_off(client: Client) -> None:
    """A body without end is not collected."""
    answer = client.inner.post(
        "/settings", content=(b"x" * 100_000 for _ in range(20)), headers=KNOWN
    )
    assert answer.status_code == 413


@pytest.mark.parametrize("body", [b"{", b"[1]", b"\xff", b"[" * 50_000, b'"text"', b"nan"])
def test_what_is_no_json_object_is_refused(client: Client, body: bytes) -> None:
    """In words, not as a fault of ours."""
    answer = client.hand_in("/settings", body)
    assert answer.status_code == 422
    assert "JSON" in answer.json()["lines"][0]


@pytest.mark.parametrize(
    "path",
    ["/static/../rendering.py", "/static/%2e%2e/rendering.py", "/static//etc/passwd",
     "/static/..%2frendering.py", "/static/%00", "/static/../../../../etc/passwd"],
)  # fmt: skip
def test_files_of_the_program_stay_in_their_folder(tmp_path: Path, path: str) -> None:
    """Asked as no browser would ask, past everything that tidies addresses."""
    with served(tmp_path) as (address, _):
        host = address.split("/")[2]
        connection = http.client.HTTPConnection(host, timeout=60)
        connection.request("GET", "/open/" + address.rsplit("/", 1)[1])
        cookie = connection.getresponse().headers["Set-Cookie"].split(";")[0]
        connection.close()
        connection.request("GET", path, headers={"Cookie": cookie})
        answer = connection.getresponse()
        assert answer.status == 404
        assert b"import" not in answer.read()
        connection.close()
