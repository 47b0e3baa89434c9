"""Moving by hand in a real browser: by pointer, by keyboard alone, with a closed tab between."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from plans.outputs.folder import read_plan
from tests.browser import axe_findings, browser, quiet_page
from tests.page import served
from tests.plans.page.moving_plan import keep_apron, keep_many

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

__all__ = ["browser"]

MOST_LOOKS = 600

SOUND = "All pieces lie as they may."


@dataclass(frozen=True)
class Served:
    """The program at work, and how a browser is let in again."""

    folder: Path
    address: str
    state: Any


@pytest.fixture(scope="module")
def program(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("moving")
    keep_apron(folder)
    keep_many(folder)
    with served(folder) as (address, _):
        context = browser.new_context()
        page = context.new_page()
        page.goto(address)
        state = context.storage_state()
        context.close()
        yield Served(folder, address.split("/open/")[0], state)


@contextmanager
def lay_open(
    browser: Browser, program: Served, plan: str = "apron-plan", **options: Any
) -> Iterator[Page]:
    """The lay of a plan, ready to be moved."""
    options = {"viewport": {"width": 1280, "height": 1100}} | options
    with quiet_page(browser, storage_state=program.state, **options) as page:
        page.goto(f"{program.address}/plans/{plan}/move")
        page.wait_for_selector("#moving[data-ready]")
        yield page


def middle(page: Page, index: int) -> tuple[float, float]:
    box = page.locator(f".held[data-piece='{index}'] .piece").bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def place(page: Page, index: int) -> list[float]:
    found: list[float] = page.evaluate(
        "k => document.getElementById('moving').mover.state.places[k]", index
    )
    return found


def until(page: Page, holds: str, argument: Any = None) -> None:
    """Wait for a state; the page's policy lets Playwright's own waiting evaluate nothing."""
    for _ in range(MOST_LOOKS):
        if page.evaluate(holds, argument):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"never came: {holds} ({argument})")


def checked(page: Page, text: str) -> None:
    until(page, "text => document.getElementById('wrong').textContent.includes(text)", text)


def test_a_piece_is_dragged_and_what_is_wrong_is_named(browser: Browser, program: Served) -> None:
    """While it is in the hand, too; undo brings it back, Escape leaves it."""
    with lay_open(browser, program) as page:
        checked(page, SOUND)
        before = place(page, 0)
        page.locator("#snapping").uncheck()
        x, y = middle(page, 0)
        other_x, other_y = middle(page, 1)
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(other_x, other_y, steps=4)
        checked(page, "overlap")
        page.keyboard.press("Escape")
        page.mouse.up()
        checked(page, SOUND)
        assert place(page, 0) == before
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(other_x, other_y, steps=4)
        page.mouse.up()
        page.wait_for_selector(".choice.bad")
        checked(page, "overlap.")
        assert place(page, 0) != before
        page.keyboard.press("Control+z")
        checked(page, SOUND)
        assert place(page, 0) == before
        page.keyboard.press("Control+y")
        checked(page, "overlap.")


def test_a_piece_that_is_let_go_near_an_edge_snaps_to_it(browser: Browser, program: Served) -> None:
    """A little beyond the cut end is at the cut end."""
    with lay_open(browser, program) as page:
        page.evaluate("localStorage.clear()")
        page.reload()
        page.wait_for_selector("#moving[data-ready]")
        before = place(page, 0)
        x, y = middle(page, 0)
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x - 5, y, steps=3)
        page.wait_for_selector(".ghost:not([hidden])", state="attached")
        page.mouse.up()
        checked(page, SOUND)
        assert place(page, 0)[2] == pytest.approx(before[2], abs=1e-3)


def test_all_of_it_by_keyboard_alone(browser: Browser, program: Served) -> None:
    """A piece is chosen, moved, laid against its neighbour, kept; the rest laid again; kept."""
    with lay_open(browser, program) as page:
        page.evaluate("localStorage.clear()")
        page.reload()
        page.wait_for_selector("#moving[data-ready]")
        page.locator(".stage").focus()
        page.keyboard.press("PageDown")
        assert page.locator(".choice").nth(0).get_attribute("aria-pressed") == "true"
        before = place(page, 0)
        page.keyboard.press("ArrowRight")
        page.keyboard.press("Shift+ArrowRight")
        until(page, "() => document.getElementById('where').textContent.includes('2.6 cm')")
        assert place(page, 0)[2] == pytest.approx(before[2] + 11.0, abs=1e-6)
        page.keyboard.press("s")
        checked(page, SOUND)
        page.keyboard.press("r")
        turn = "turn => document.getElementById('moving').mover.state.places[0][0] !== turn"
        until(page, turn, before[0])
        page.keyboard.press("k")
        button = page.get_by_role("button", name="Keep these where they are")
        button.focus()
        there = place(page, 0)
        page.keyboard.press("Enter")
        page.wait_for_selector("#messages .well", timeout=60_000)
        assert place(page, 0) == there
        checked(page, SOUND)
        page.get_by_label("Name").focus()
        page.keyboard.press("Control+a")
        page.keyboard.type("by keys")
        page.keyboard.press("Enter")
        folder = program.folder / "plans" / "by keys"
        page.wait_for_url("**/plans/by%20keys", timeout=60_000)
        entry = read_plan(folder).fabrics[0]
        assert entry.changed is not None
        assert len(entry.changed.kept) == 1
        assert entry.placements[entry.changed.kept[0] - 1].by_hand


def test_what_was_moved_outlives_a_closed_tab(browser: Browser, program: Served) -> None:
    """Another tab of the same browser takes it up; undo leads to what was found."""
    with quiet_page(browser, storage_state=program.state) as page:
        address = f"{program.address}/plans/apron-plan/move"
        page.goto(address)
        page.wait_for_selector("#moving[data-ready]")
        found = place(page, 1)
        page.locator(".choice").nth(1).click()
        page.keyboard.press("Shift+ArrowUp")
        moved = place(page, 1)
        assert moved != found
        other = page.context.new_page()
        page.close()
        other.goto(address)
        other.wait_for_selector("#moving[data-ready]")
        assert "is here again" in other.inner_text("#messages")
        assert place(other, 1) == pytest.approx(moved)
        other.get_by_role("button", name="Undo").click()
        assert place(other, 1) == pytest.approx(found)


def test_a_lay_of_hundreds_of_pieces_is_dragged(browser: Browser, program: Served) -> None:
    """Each frame moves one outline and looks at what is near; all that moved is drawn."""
    with lay_open(browser, program, "many") as page:
        assert page.locator(".held").count() >= 300
        page.locator(".choice").nth(200).click()
        until(page, "() => document.getElementById('moving').mover.held?.index === 200")
        x, y = middle(page, 200)
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 12, y + 9, steps=12)
        assert page.evaluate("document.getElementById('moving').mover.frames") >= 1
        assert page.locator(".held.bad").count() >= 1
        page.mouse.up()


@pytest.mark.parametrize(("width", "look"), [(360, "light"), (800, "dark"), (1280, "light")])
def test_accessibility(browser: Browser, program: Served, width: int, look: str) -> None:
    """Nothing for axe-core to find, sound or not, and no scrolling sideways."""
    options: dict[str, Any] = {"viewport": {"width": width, "height": 800}, "color_scheme": look}
    with lay_open(browser, program, **options) as page:
        checked(page, SOUND)
        assert axe_findings(page) == []
        page.locator(".choice").nth(0).click()
        page.keyboard.press("Shift+ArrowLeft")
        checked(page, "at the cut end")
        assert axe_findings(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_the_drawing_says_what_the_plan_says(browser: Browser, program: Served) -> None:
    """The cut end is named; a chosen piece tells its place; hatched if turned over; kept marked."""
    with lay_open(browser, program) as page:
        page.evaluate("localStorage.clear()")
        page.reload()
        page.wait_for_selector("#moving[data-ready]")
        assert "cut end" in page.locator("svg.drawn text.name").all_text_contents()
        page.locator(".choice").nth(0).click()
        where = "words => document.getElementById('where').textContent.includes(words)"
        until(page, where, " from the cut end, ")
        held = page.locator('svg.drawn .held[data-piece="0"]')
        assert held.locator(".hatching").get_attribute("d") == ""
        over = "() => document.getElementById('moving').mover.lay.put(0, [0, true, 0, 0])"
        page.evaluate(over)
        assert held.locator(".hatching").get_attribute("d") != ""
        assert not held.locator(".stay-mark").is_visible()
        page.keyboard.press("k")
        assert held.locator(".stay-mark").is_visible()
