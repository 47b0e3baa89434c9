"""The browser that tests use notices what it is there to notice."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests import browser as browsers

if TYPE_CHECKING:
    from playwright.sync_api import Browser

SOUND = (
    '<!DOCTYPE html><html lang="en"><head><title>t</title></head>'
    "<body><main><h1>Cloth</h1></main></body></html>"
)


def test_axe_finds_faults_and_nothing_on_a_sound_page(browser: Browser) -> None:
    """A page without a main landmark is told by its rule."""
    with browsers.quiet_page(browser) as page:
        page.set_content(SOUND)
        assert browsers.axe_findings(page) == []
        page.set_content(SOUND.replace("main>", "div>"))
        assert any(one.startswith("landmark-one-main") for one in browsers.axe_findings(page))


def opened_with(browser: Browser, script: str) -> None:
    """Open a page with a script of its own."""
    with browsers.quiet_page(browser) as page:
        page.set_content(f"{SOUND}<script>{script}</script>")


@pytest.mark.parametrize(
    ("script", "complaint"),
    [
        ("throw new Error('torn')", "torn"),
        ("console.error('blunt')", "blunt"),
        ("new Image().src = 'http://elsewhere.invalid/x.png'", "elsewhere.invalid"),
    ],
)
def test_a_page_that_complains_or_asks_elsewhere_fails_its_test(
    browser: Browser, script: str, complaint: str
) -> None:
    """Errors of scripts, of the console, and requests to other hosts."""
    with pytest.raises(AssertionError, match=complaint):
        opened_with(browser, script)
