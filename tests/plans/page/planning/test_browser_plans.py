"""Plans in a real browser: from a form to a PDF by keys alone, a search from two tabs, the lay."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser import axe_findings, quiet_page
from tests.page import served
from tests.plans.page.planning.small import shelved

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PATIENCE_MS = 300_000
"""Only so that a test that hangs fails at last; nothing is judged by time."""

MOST_TABS = 120

NO_NEWS = """
class Source extends EventTarget {
  constructor() { super(); window.source = this; }
  close() {}
}
window.EventSource = Source;
"""
"""A connection that a test breaks and mends."""


@dataclass
class Visit:
    """A browser that was let in, at a program whose folders are all its own."""

    page: Page
    base: str
    folder: Path

    def go(self, path: str) -> None:
        """Open a view."""
        self.page.goto(self.base + path)

    def sound(self) -> None:
        """Nothing is found at fault in either look, nor is the view wider than a small phone."""
        page = self.page
        for look in ("dark", "light"):
            page.emulate_media(color_scheme=look)
            assert axe_findings(page, colours_alone=look == "light") == []
        page.set_viewport_size({"width": 360, "height": 740})
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        page.set_viewport_size({"width": 1280, "height": 900})

    def tab_to(self, selector: str) -> None:
        """Press the tabulator until an element has the focus."""
        for _ in range(MOST_TABS):
            self.page.keyboard.press("Tab")
            if self.page.evaluate("one => document.activeElement.matches(one)", selector):
                return
        raise AssertionError(f"the tabulator does not lead to {selector}")


@pytest.fixture(scope="module")
def visit(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visit]:
    """One program and one browser for the module; the bag is on the shelf."""
    folder = tmp_path_factory.mktemp("home")
    shelved(folder)
    with served(folder) as (address, _), quiet_page(browser, accept_downloads=True) as page:
        page.set_default_timeout(PATIENCE_MS)
        page.goto(address)
        yield Visit(page, address.partition("/open/")[0], folder)


def test_from_an_empty_folder_to_a_pdf_by_keys_alone(visit: Visit, tmp_path: Path) -> None:
    """Nobody touches a mouse; every view on the way is sound."""
    page, keys = visit.page, visit.page.keyboard
    visit.go("/plans")
    assert "No plan is kept yet" in page.inner_text("main")
    visit.sound()
    visit.tab_to("a[href='/new/plan']")
    keys.press("Enter")
    page.wait_for_url("**/new/plan")
    visit.tab_to("#cloth-main")
    keys.type("a width")
    visit.tab_to("#width-main")
    keys.type("90cm")
    visit.tab_to("#cloth-lining")
    keys.type("demo-int")
    visit.tab_to("#effort")
    keys.type("quick")
    visit.sound()
    visit.tab_to("button[type=submit]")
    keys.press("Enter")
    page.wait_for_url("**/plans/bag-plan")
    visit.tab_to(".piece-choice")
    keys.press("Enter")
    assert "tail (ring)" in page.inner_text(".chosen >> nth=0")
    assert page.get_attribute(".piece-choice >> nth=0", "aria-pressed") == "true"
    visit.sound()
    visit.go("/plans/bag-plan")
    visit.tab_to(".viewed")
    drawing = page.locator(".viewed svg >> nth=0")
    whole = drawing.get_attribute("viewBox")
    for key in ("+", "ArrowRight", "r", "-"):
        keys.press(key)
    assert drawing.get_attribute("viewBox") != whole
    for key in ("r", "r", "r", "0"):
        keys.press(key)
    assert drawing.get_attribute("viewBox") == whole
    visit.tab_to("a[download='90cm.pdf']")
    with page.expect_download() as download:
        keys.press("Enter")
    download.value.save_as(tmp_path / "kept.pdf")
    assert (tmp_path / "kept.pdf").read_bytes()[:5] == b"%PDF-"


def test_two_tabs_and_a_reload_see_the_same_search_until_that_will_do(visit: Visit) -> None:
    """The best so far is drawn in both; the end leads both to the plan.

    Where the connection breaks, that is told only until it is there again.
    """
    page = visit.page
    visit.go("/new/plan?garment=pebbles&cloth-main=90cm&cloth-lining=90cm&fold=open")
    page.select_option("#effort", "thorough")
    page.click("text=Lay the pieces")
    page.wait_for_selector(".sofar svg .piece")
    page.wait_for_selector("text=searching on")
    visit.sound()
    page.reload()
    page.wait_for_selector(".sofar svg .piece")
    other = page.context.new_page()
    other.set_default_timeout(PATIENCE_MS)
    other.goto(page.url)
    other.wait_for_selector(".sofar svg .piece")
    assert "at least" in other.inner_text(".sofar >> nth=0")
    assert page.inner_text(".sofar h2 >> nth=0") == other.inner_text(".sofar h2 >> nth=0")
    third = page.context.new_page()
    third.add_init_script(NO_NEWS)
    third.goto(page.url)
    before = third.inner_text("#stage")
    third.evaluate("source.dispatchEvent(new Event('error'))")
    assert "does not answer" in third.inner_text("#stage")
    third.evaluate("source.dispatchEvent(new Event('open'))")
    assert third.inner_text("#stage") == before
    third.close()
    page.click("text=That will do")
    for tab in (page, other):
        tab.wait_for_url(re.compile(r"/plans/pebbles-plan(-\d+.*)?$"))
        assert "ended early" in tab.inner_text("main")
    other.close()


def test_the_lay_answers_to_the_mouse(visit: Visit) -> None:
    """A piece that is clicked tells where it is pinned; the wheel scales; dragging moves."""
    page = visit.page
    visit.go("/plans/bag-plan")
    piece = page.locator(".viewed svg .piece >> nth=1")
    piece.click()
    assert "lit" in (piece.get_attribute("class") or "")
    assert page.locator("button[aria-pressed='true']").count() == 1
    drawing = page.locator(".viewed svg >> nth=0")
    whole = drawing.get_attribute("viewBox")
    drawing.hover()
    page.keyboard.down("Control")
    page.mouse.wheel(0, -300)
    page.keyboard.up("Control")
    page.wait_for_selector(".viewed.near")
    near = drawing.get_attribute("viewBox")
    assert near != whole
    place = drawing.bounding_box()
    assert place is not None
    x, y = place["x"] + place["width"] / 2, place["y"] + place["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 60, y - 30, steps=4)
    page.mouse.up()
    assert drawing.get_attribute("viewBox") not in (near, whole)
    assert page.locator("button[aria-pressed='true']").count() == 1
    page.click("text=All of it >> nth=0")
    assert drawing.get_attribute("viewBox") == whole


def test_the_report_opens_in_its_sandbox_and_its_script_runs(visit: Visit) -> None:
    """As a page of its own, without a complaint of the browser."""
    page = visit.page
    visit.go("/plans/bag-plan")
    with page.context.expect_page() as opened:
        page.click("text=Open the report")
    report = opened.value
    report.wait_for_selector("h1")
    assert report.evaluate("origin") == "null"
    report.close()


def test_too_little_cloth_shows_ideas(visit: Visit) -> None:
    """In words and a picture, with a way back to the form."""
    page = visit.page
    visit.go(
        "/new/plan?garment=bag&cloth-main=90cm&cloth-lining=90cm&onhand-main=45cm washed"
        "&fold=open&effort=quick"
    )
    page.click("text=Lay the pieces")
    page.wait_for_selector("#short h2")
    assert "too little" in page.inner_text("#short .wrong")
    assert page.locator("#short li").count() > 0
    assert page.locator("#short figure svg").count() == 1
    assert not page.is_visible("#enough")
    visit.sound()
    page.click("text=Change what was asked for")
    page.wait_for_url("**/new/plan?again=*")
    assert page.input_value("#onhand-main") == "45 cm washed"


def test_an_idea_is_laid_by_its_button(visit: Visit) -> None:
    """By the keys; the new search ends in a plan, and the way back leads to the ideas."""
    page = visit.page
    visit.go(
        "/new/plan?garment=bag&cloth-main=90cm&cloth-lining=90cm&onhand-main=1.63 m washed"
        "&fold=open&effort=quick&gap=5 mm&makes=2&title=Two bags"
    )
    page.click("text=Lay the pieces")
    page.wait_for_selector("#short h2")
    visit.sound()
    idea = page.locator("#short li", has_text="squaring off with 1 cm")
    button = idea.get_by_role("button", name=re.compile(r"Lay it so: idea \d+"))
    button.focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/plans/bag-plan*")
    assert "Two bags" in page.inner_text("h1")


def test_a_plan_is_taken_away_after_a_second_question(visit: Visit) -> None:
    """The first click only asks; keeping it changes nothing."""
    page = visit.page
    visit.go("/plans")
    visit.sound()
    before = page.locator(".kept > li").count()
    page.click("[data-plan='bag-plan'] .away")
    page.click("text=Keep it")
    assert page.locator(".kept > li").count() == before
    page.click("[data-plan='bag-plan'] .away")
    assert axe_findings(page) == []
    page.click("text=Take it away for good")
    page.wait_for_selector(".well")
    assert page.locator(".kept > li").count() == before - 1
    assert not (visit.folder / "plans" / "bag-plan").exists()
