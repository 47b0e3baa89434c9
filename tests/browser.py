"""A real browser for tests: the distribution's Chromium through Playwright, and axe-core in it.

Without a Chromium on the machine the tests that ask for it skip and say so. Its event loop runs in
the thread of the tests for as long as it is open, so that it is closed after each module: other
modules may have loops of their own.
"""

from __future__ import annotations

import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, ConsoleMessage, Error, Page, Request

NAMES = ("chromium", "chromium-browser", "google-chrome")

ARGUMENTS = (
    "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--no-first-run",
)  # fmt: skip

HERE = {"127.0.0.1", "localhost", ""}
"""Hosts that a page may ask for something; files have none."""

PATIENCE_S = 60.0
"""For what is waited for: so long that only what never comes is missed, on a busy machine too."""

PAUSE_MS = 10.0


def executable() -> str | None:
    """Path of a Chromium of this machine, or None."""
    return next((path for path in map(shutil.which, NAMES) if path), None)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """A browser, open until the module's tests are done."""
    path = executable()
    if path is None:
        pytest.skip(f"no browser on this machine: none of {', '.join(NAMES)}")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=path, args=list(ARGUMENTS))
        yield opened
        opened.close()


@contextmanager
def quiet_page(browser: Browser, refused: bool = False, **options: Any) -> Iterator[Page]:
    """Open a page in a context of its own that must not complain nor ask anything of elsewhere.

    Parameters
    ----------
    browser : Browser
    refused : bool
        Whether the program may refuse what is sent: the browser's console tells of each (422).
    **options
        Of the context: `viewport`, `color_scheme`, `java_script_enabled`, `has_touch`, ...

    Raises
    ------
    AssertionError
        At the end, if a script failed, the console had an error or a warning, or a request went to
        another host.
    """
    heard: list[str] = []

    def console(message: ConsoleMessage) -> None:
        expected = refused and "status of 422" in message.text
        if message.type in ("error", "warning") and not expected:
            heard.append(f"console: {message.text}")

    def failed(error: Error) -> None:
        heard.append(f"script: {error}")

    def asked(request: Request) -> None:
        if (urlsplit(request.url).hostname or "") not in HERE:
            heard.append(f"request to elsewhere: {request.url}")

    context = browser.new_context(**options)
    try:
        page = context.new_page()
        page.on("console", console)
        page.on("pageerror", failed)
        context.on("request", asked)
        yield page
        assert not heard, "\n".join(heard)
    finally:
        context.close()


def wait_until(page: Page, condition: str, argument: object = None) -> None:
    """Wait until a condition holds in a page: an expression, or a function of the argument.

    It is asked from here, again and again: Playwright's own waiting asks within the page, where
    a policy that forbids `eval` lets it ask once only.

    Raises
    ------
    AssertionError
        If it never holds.
    """
    end = time.monotonic() + PATIENCE_S
    while not page.evaluate(condition, argument):
        assert time.monotonic() < end, f"never came true: {condition}"
        page.wait_for_timeout(PAUSE_MS)


def axe_findings(page: Page, colours_alone: bool = False) -> list[str]:
    """What axe-core finds on a page: its rule, what it asks for, and the elements at fault.

    In its other colours a view that was looked at already asks for its `colours_alone`.
    """
    from axe_playwright_python.sync_playwright import Axe

    options: dict[str, Any] = {"resultTypes": ["violations"]}
    if colours_alone:
        options["runOnly"] = ["color-contrast", "link-in-text-block"]
    found = Axe().run(page, options=options).response["violations"]
    return [
        f"{one['id']}: {one['help']}: "
        + "; ".join(" ".join(map(str, node["target"])) for node in one["nodes"])
        for one in found
    ]
