"""The whole job in a real browser: from an empty shelf to a PDF on disk and a leftover kept.

Once with a mouse, and once by keyboard alone. Nothing is asked of any other machine.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from fabrics.stash.store import Stash
from plans.outputs.folder import read_plan
from tests.browser import quiet_page, wait_until
from tests.page import served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PATIENCE_MS = 300_000
"""Only so that a test that hangs fails at last; nothing is judged by time."""

MOST_TABS = 150


@dataclass
class Mouse:
    """Points at things."""

    page: Page

    def fill(self, where: str, text: str) -> None:
        """Type into a field."""
        self.page.fill(where, text)

    def choose(self, where: str, label: str) -> None:
        """Choose from a list."""
        offered = self.page.locator(f"{where} option").all_inner_texts()
        self.page.select_option(
            where, index=[text.strip()[: len(label)] for text in offered].index(label)
        )

    def press(self, where: str) -> None:
        """Press a button, or follow a link."""
        self.page.click(where)


@dataclass
class Keys:
    """Has no mouse."""

    page: Page

    def _go(self, where: str) -> None:
        for _ in range(MOST_TABS):
            if self.page.evaluate(
                "one => document.activeElement === document.querySelector(one)", where
            ):
                return
            self.page.keyboard.press("Tab")
        raise AssertionError(f"the tabulator does not lead to {where}")

    def fill(self, where: str, text: str) -> None:
        """Type into a field."""
        self._go(where)
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(text)

    def choose(self, where: str, label: str) -> None:
        """Choose from a list."""
        self._go(where)
        self.page.keyboard.type(label)
        # Some lists take what was typed only when they are left.
        self.page.keyboard.press("Tab")

    def press(self, where: str) -> None:
        """Press a button, or follow a link."""
        self._go(where)
        self.page.keyboard.press("Enter")


@pytest.mark.parametrize("hands", [Mouse, Keys])
def test_from_an_empty_shelf_to_a_leftover(
    hands: type[Mouse] | type[Keys], browser: Browser, tmp_path: Path
) -> None:
    """A mat is drafted, planned, printed and cut; what is left is in the stash with its tag."""
    with (
        served(tmp_path) as (address, _),
        quiet_page(browser, accept_downloads=True) as page,
    ):
        page.set_default_timeout(PATIENCE_MS)
        hand = hands(page)
        page.goto(address)
        hand.press("ol.steps a[href='/garments']")
        page.wait_for_url("**/garments")
        hand.press("main a[href^='/new/garment']")
        page.wait_for_url("**/new/garment")
        hand.fill("[name=name]", "mat")
        hand.press("form:has([name=name]) button")
        page.wait_for_selector("#draft[data-ready]")
        hand.fill("[name='cut.main']", "2")
        for number, (name, x, y) in enumerate(
            [("lower", "50 cm", "0"), ("right", "50 cm", "16 in"), ("upper", "0", "16 in"),
             ("left", "0", "0")],
            start=1,
        ):  # fmt: skip
            hand.fill(f"[name='edges[{number}].name']", name)
            hand.fill(f"[name='edges[{number}].to[1].x']", x)
            hand.fill(f"[name='edges[{number}].to[1].y']", y)
            if number < 4:
                page.keyboard.press("Enter")
                page.wait_for_selector(f"[name='edges[{number + 1}].name']")
        wait_until(
            page, "() => document.getElementById('count').textContent.startsWith('A sound garment')"
        )
        page.goto(page.url)  # A reload in the middle of it loses nothing.
        page.wait_for_selector("#draft[data-ready]")
        hand.press("#put")
        page.wait_for_selector("#messages .well")
        page.goto(page.url.split("/garments/")[0] + "/garments/mat")
        hand.press("main a[href^='/new/plan']")
        page.wait_for_url("**/new/plan*")
        hand.choose("#cloth-main", "a width")
        hand.fill("#width-main", "140cm")
        hand.choose("#effort", "quick")
        hand.press("main form button[type=submit]")
        page.wait_for_url("**/plans/mat-plan")
        with page.expect_download() as download:
            hand.press("a[download$='.pdf']")
        download.value.save_as(tmp_path / "kept.pdf")
        hand.press("main a[href$='/cut']")
        page.wait_for_url("**/plans/mat-plan/cut")
        page.wait_for_selector("#look .tag")
        hand.press("#cut button[type=submit]")
        page.wait_for_selector("text=Recorded as cut 1")
        assert page.inner_text(".tags .tag >> nth=0") == "L1"
    assert (tmp_path / "kept.pdf").read_bytes().startswith(b"%PDF-")
    draft = tomllib.loads((tmp_path / "shelf" / "garments" / "mat.toml").read_text())
    assert draft["piece"][0]["cut"] == {"main": "2"}
    entry = read_plan(tmp_path / "plans" / "mat-plan").fabrics[0]
    # Both lie beside each other: 16 in, an allowance of 1.5 cm at both sides, 3 cm for both ends.
    assert entry.length == pytest.approx(406.4 + 30.0 + 30.0, abs=0.05)
    with Stash(tmp_path / "stash.db") as base:
        assert [one.tag for one in base.leftovers()][:1] == ["L1"]
