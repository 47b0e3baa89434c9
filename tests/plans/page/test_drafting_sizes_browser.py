"""Match points and the sizes of a garment, drafted in a real browser by keyboard."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import TYPE_CHECKING

from pieces.readers.shelf import SHELF
from tests.browser import axe_findings, browser, quiet_page, wait_until
from tests.plans.page.test_drafting_browser import address, base, go_by_keys, let_in, now_in, ready

if TYPE_CHECKING:
    from playwright.sync_api import Browser

__all__ = ["address", "browser", "let_in"]


def test_match_points_and_sizes_by_keyboard(
    browser: Browser, address: tuple[str, Path], let_in: dict[str, object]
) -> None:
    """A point that must meet others, and an edge that is longer in one size alone."""
    path = address[1] / "checked.toml"
    path.write_bytes((SHELF / "blouse.toml").read_bytes())
    with quiet_page(browser, storage_state=let_in) as page:
        page.goto(f"{base(address)}/garments/checked/draft?piece=back")
        ready(page)
        page.locator("[data-name='add notches']").focus()
        go_by_keys(page, "add match")
        page.keyboard.press("Enter")
        assert now_in(page) == "match[2].group"
        assert page.input_value("[name='match[2].group']") == "check"
        go_by_keys(page, "match[2].at.edge")
        page.keyboard.type("hem")
        page.keyboard.press("Tab")
        page.keyboard.type("1 m")
        wrong = page.locator("[name='match[2].at.along'][aria-invalid=true]")
        told = page.locator(f"#{str(wrong.get_attribute('aria-describedby')).split()[-1]}")
        assert "is not a place on 'hem'" in told.inner_text()
        page.keyboard.press("Control+A")
        page.keyboard.type("4 cm")
        go_by_keys(page, "match[2].bar.kind")
        page.keyboard.type("s")
        go_by_keys(page, "match[2].bar")
        page.keyboard.type("3 cm")
        go_by_keys(page, "match[2].only")
        page.locator("nav#parts button").first.click()
        for name in ("M", "L"):
            go_by_keys(page, "add sizes")
            page.keyboard.press("Enter")
            assert page.evaluate("() => document.activeElement.value") == name
        page.locator("nav#parts button[data-part='1']").click()
        go_by_keys(page, "size")
        page.keyboard.type("L")
        go_by_keys(page, "allowance")
        page.keyboard.press("Control+A")
        page.keyboard.type("2 c")
        listed = page.locator("#findings li.error", has_text="size L, piece 'back'")
        listed.wait_for()
        page.locator("[name='size']").select_option("")
        assert page.locator("[name='allowance'][aria-invalid=true]").count() == 0
        listed.get_by_role("button").click()
        assert now_in(page) == "allowance"
        assert page.input_value("[name='size']") == "L"
        page.keyboard.press("End")
        page.keyboard.type("m")
        page.locator("[name='match[2].bar']").fill("2 cm")
        page.get_by_role("button", name="match: back to as drawn").click()
        page.locator("[data-name='add notches']").click()
        page.keyboard.type("hem")
        page.keyboard.press("Tab")
        page.keyboard.type("9 cm")
        wait_until(page, "() => !document.querySelector('#findings .error')")
        assert axe_findings(page) == []
        go_by_keys(page, "put", "Shift+Tab")
        page.keyboard.press("Enter")
        page.wait_for_selector("#messages .well")
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    back = data["piece"][1]
    assert data["sizes"] == ["M", "L"]
    assert back["match"][1] == {
        "group": "check", "at": {"edge": "hem", "along": "4 cm"}, "bar": "3 cm",
    }  # fmt: skip
    assert back["sizes"]["L"].pop("notches") == [{"edge": "hem", "at": "9 cm"}]
    assert back["sizes"] == {"L": {"allowance": "2 cm"}}
