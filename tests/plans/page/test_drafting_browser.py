"""Drafting in a real browser: by keyboard alone, after a kill, in two tabs, for every reader."""

from __future__ import annotations

import socket
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from pieces.readers.garment_toml import check_garment
from pieces.readers.shelf import SHELF
from tests.browser import axe_findings, browser, quiet_page, wait_until
from tests.page import served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

__all__ = ["browser"]

MOST_TABS = 120


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    """The program for the tests that do not end it: its address, and its shelf."""
    folder = tmp_path_factory.mktemp("page")
    shelf = folder / "shelf" / "garments"
    shelf.mkdir(parents=True)
    (shelf / "mine.toml").write_bytes((SHELF / "blouse.toml").read_bytes())
    with served(folder) as (opened, _):
        yield opened, shelf


@pytest.fixture(scope="module")
def let_in(browser: Browser, address: tuple[str, Path]) -> dict[str, object]:
    """What a browser that was let in knows; the address opens once."""
    context = browser.new_context()
    context.new_page().goto(address[0])
    state = context.storage_state()
    context.close()
    return dict(state)


def base(address: tuple[str, Path]) -> str:
    return address[0].split("/open/")[0]


def ready(page: Page) -> None:
    """Wait until the form stands and was judged."""
    page.wait_for_selector("#draft[data-ready]")


def settled(page: Page) -> None:
    """Wait until what was typed is kept and judged as a whole."""
    wait_until(page, "() => document.getElementById('kept').textContent.startsWith('Draft kept')")


def now_in(page: Page) -> str:
    """Name, id or part of what has the focus."""
    said = page.evaluate(
        "() => { const a = document.activeElement; return a.name || a.dataset.name || a.id || '' }"
    )
    return str(said)


def go_by_keys(page: Page, to: str, key: str = "Tab") -> None:
    """Press a key until something has the focus."""
    for _ in range(MOST_TABS):
        if now_in(page) == to:
            return
        page.keyboard.press(key)
    raise AssertionError(f"{to} cannot be reached by {key}")


def type_edges(page: Page, edges: list[tuple[str, str, str]]) -> None:
    """Type edges, from the name of the first: name, how far across, how far up."""
    for number, (name, x, y) in enumerate(edges, start=1):
        assert now_in(page) == f"edges[{number}].name"
        page.keyboard.press("Control+A")
        page.keyboard.type(name)
        page.keyboard.press("Tab")
        page.keyboard.press("Tab")
        assert now_in(page) == f"edges[{number}].to[1].x"
        page.keyboard.type(x)
        page.keyboard.press("Tab")
        page.keyboard.type(y)
        if number < len(edges):
            page.keyboard.press("Enter")


def test_two_pieces_are_drafted_by_keyboard_alone(
    browser: Browser, address: tuple[str, Path], let_in: dict[str, object]
) -> None:
    """From nothing to a garment file, mixed units, a fold, and a mistake that is mended."""
    with quiet_page(browser, storage_state=let_in) as page:
        page.goto(f"{base(address)}/new/garment")
        go_by_keys(page, "name")
        page.keyboard.type("Rock für 👗 שמלה")
        go_by_keys(page, "units")
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        ready(page)
        go_by_keys(page, "cut.main")
        page.keyboard.press("Control+A")
        page.keyboard.type("1 on fold")
        go_by_keys(page, "edges[1].name")
        type_edges(
            page,
            [("hem", "30", "0"), ("side", "9 1/2 in", "60 c"), ("waist", "0", "58.5"),
             ("centre", "0", "0")],
        )  # fmt: skip
        wrong = page.locator("[name='edges[2].to[1].y']")
        page.wait_for_selector("[name='edges[2].to[1].y'][aria-invalid=true]")
        told = page.locator(f"#{str(wrong.get_attribute('aria-describedby')).split()[-1]}")
        assert "'60 c'" in told.inner_text()
        go_by_keys(page, "edges[4].fold")
        page.keyboard.press("Space")
        go_by_keys(page, "edges[2].to[1].y", "Shift+Tab")
        page.keyboard.press("End")
        page.keyboard.type("m")
        page.wait_for_selector("#picture .spot.now")
        wait_until(
            page, "() => document.getElementById('count').textContent.startsWith('A sound garment')"
        )
        assert page.locator("#picture svg path.fold").count() == 1
        go_by_keys(page, "add piece", "Shift+Tab")
        page.keyboard.press("Enter")
        assert now_in(page) == "name"
        page.keyboard.press("Control+A")
        page.keyboard.type("band")
        go_by_keys(page, "way")
        page.keyboard.type("as a strip")
        go_by_keys(page, "strip.length")
        page.keyboard.type("28 in")
        page.keyboard.press("Tab")
        page.keyboard.type("8")
        go_by_keys(page, "put", "Shift+Tab")
        page.keyboard.press("Enter")
        page.wait_for_selector("#messages .well")
        page.keyboard.press("Enter")
        page.wait_for_url("**/garments/Rock*")
        assert page.get_by_role("img").count() == 2
    path = address[1] / "Rock für 👗 שמלה.toml"
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    assert data["piece"][0]["edges"] == [
        {"name": "hem", "to": [30, 0]},
        {"name": "side", "to": ["9 1/2 in", "60 cm"]},
        {"name": "waist", "to": [0, 58.5]},
        {"name": "centre", "to": [0, 0]},
    ]
    assert data["piece"][0]["fold"] == "centre"
    assert data["piece"][1]["strip"] == {"length": "28 in", "width": 8}
    assert not [finding for finding in check_garment(path) if finding.fatal]


def test_undo_and_redo(
    browser: Browser, address: tuple[str, Path], let_in: dict[str, object]
) -> None:
    """By keys outside of texts and by buttons; renaming an edge takes along what names it."""
    with quiet_page(browser, storage_state=let_in) as page:
        page.goto(f"{base(address)}/garments/mine/draft?piece=back")
        ready(page)
        name = page.locator("[name='edges[1].name']")
        name.fill("bottom")
        assert page.locator("[name='allowances.hem']").count() == 1
        page.locator("[name='edges[2].kind']").select_option("to")
        assert page.locator("[name='allowances.bottom']").input_value() == "2 cm"
        page.locator("[name='edges[2].kind']").focus()
        page.keyboard.press("Control+z")
        assert page.locator("[name='edges[2].kind']").input_value() == "smooth"
        assert name.input_value() == "bottom"
        page.keyboard.press("Control+z")
        assert name.input_value() == "hem"
        page.keyboard.press("Control+Shift+z")
        page.get_by_role("button", name="Redo").click()
        assert page.locator("[name='edges[2].kind']").input_value() == "to"
        assert page.get_by_role("button", name="Redo").is_disabled()
        page.get_by_role("button", name="Give this draft up").click()
        page.get_by_role("button", name="really").click()
        wait_until(page, "() => document.querySelector(\"[name='edges[1].name']\").value === 'hem'")


def test_steps_outlive_a_reload_and_other_units(
    browser: Browser, address: tuple[str, Path], let_in: dict[str, object]
) -> None:
    """Undo and redo go on where they were; contents that came otherwise have none."""
    (address[1] / "stepped.toml").write_bytes((SHELF / "blouse.toml").read_bytes())
    with quiet_page(browser, storage_state=let_in) as page:
        page.goto(f"{base(address)}/garments/stepped/draft?piece=cuff")
        ready(page)
        length = page.locator("[name='strip.length']")
        first = length.input_value()
        for typed in ("11 in", "12 in"):
            length.fill(typed)
            length.blur()
        settled(page)
        page.locator("#undo").click()
        page.reload()
        ready(page)
        assert length.input_value() == "11 in"
        with page.expect_navigation():
            page.locator("#units").select_option("imperial")
        ready(page)
        page.locator("#redo").click()
        assert length.input_value() == "12 in"
        page.locator("#undo").click()
        page.locator("#undo").click()
        assert length.input_value() == first
        assert page.locator("#undo").is_disabled()
        page.goto(f"{base(address)}/garments/mine/draft?piece=cuff")
        ready(page)
        assert page.locator("#redo").is_disabled()


def test_two_tabs_on_one_piece(
    browser: Browser, address: tuple[str, Path], let_in: dict[str, object]
) -> None:
    """The later one is told, keeps its own under another name, or takes what the first one has."""
    with quiet_page(browser, storage_state=let_in) as first:
        second = first.context.new_page()
        for page in (first, second):
            page.goto(f"{base(address)}/garments/mine/draft?piece=cuff")
            ready(page)
        # A tab that sleeps hears nothing of the others.
        second.evaluate("() => { BroadcastChannel.prototype.postMessage = () => {} }")
        first.locator("[name='strip.length']").fill("11 in")
        settled(first)
        second.locator("[name='strip.length']").fill("12 in")
        told = second.locator("#meanwhile")
        told.get_by_role("button", name="Take what the other tab has").click()
        assert second.locator("[name='strip.length']").input_value() == "11 in"
        second.locator("#undo").click()
        assert second.locator("[name='strip.length']").input_value() == "12 in"
        settled(second)
        aside = first.context.new_page()
        aside.goto(f"{base(address)}/garments/mine-2/draft?piece=cuff")
        ready(aside)
        assert aside.locator("[name='strip.length']").input_value() == "12 in"


def test_a_file_that_changed_is_shown_beside(
    browser: Browser, address: tuple[str, Path], let_in: dict[str, object]
) -> None:
    """An editor wrote it meanwhile: it stays as it is there."""
    path = address[1] / "other.toml"
    path.write_bytes((SHELF / "trousers.toml").read_bytes())
    with quiet_page(browser, storage_state=let_in) as page:
        page.goto(f"{base(address)}/garments/other/draft")
        ready(page)
        theirs = path.read_text(encoding="utf-8").replace("Straight", "Wide")
        path.write_text(theirs, encoding="utf-8")
        page.locator("[name='allowance']").fill("2 cm")
        page.locator("#meanwhile .beside").wait_for()
        assert "Wide trousers" in page.locator("#meanwhile").inner_text()
        assert not axe_findings(page)
        page.get_by_role("button", name="Keep mine under that name").click()
        page.wait_for_url("**/garments/other-mine/draft")
        ready(page)
        assert page.locator("[name='allowance']").input_value() == "2 cm"
        assert path.read_text(encoding="utf-8") == theirs
        page.goto(f"{base(address)}/garments/other/draft")
        ready(page)
        page.locator("[name='allowance']").fill("3 cm")
        settled(page)
        path.write_text(theirs.replace("Wide", "Narrow"), encoding="utf-8")
        page.locator("[name='allowance']").fill("4 cm")
        page.get_by_role("button", name="Take the file as it is").click()
        page.locator("[name='allowance']").fill("2.5 cm")
        page.get_by_role("button", name="Put on the shelf").click()
        page.wait_for_selector("#messages .well")
    expected = theirs.replace("Wide", "Narrow").replace('"1.5 cm"', '"2.5 cm"', 1)
    assert path.read_text(encoding="utf-8") == expected


def letters(page: Page, select: Locator, text: str) -> None:
    """Type into a list; once more where this machine was so slow that letters were words apart."""
    select.focus()
    for _ in range(20):
        begun = page.evaluate("() => performance.now()")
        page.keyboard.type(text)
        if page.evaluate("() => performance.now()") - begun < 900.0:
            return
        page.wait_for_timeout(1500.0)


def test_letters_choose_in_a_select_as_they_are_typed(
    browser: Browser, address: tuple[str, Path], let_in: dict[str, object]
) -> None:
    """Its rows are drawn anew when no letter follows, another key is pressed or the mouse moves."""
    (address[1] / "letters.toml").write_bytes((SHELF / "blouse.toml").read_bytes())
    with quiet_page(browser, storage_state=let_in) as page:
        page.goto(f"{base(address)}/garments/letters/draft?piece=front")
        ready(page)
        turns, kind = page.locator("[name='turns']"), page.locator("[name='edges[4].kind']")
        letters(page, turns, "any")
        assert turns.input_value() == "any"
        assert now_in(page) == "turns"
        page.evaluate("() => { document.activeElement.dataset.old = 'yes' }")
        assert kind.input_value() == "to"
        letters(page, kind, "smo")
        page.keyboard.press("Tab")
        assert kind.input_value() == "smooth"
        assert now_in(page) == "edges[4].smooth[1].x"
        letters(page, turns, "ac")
        wait_until(page, "() => !('old' in document.activeElement.dataset)")
        assert (now_in(page), turns.input_value()) == ("turns", "across")
        letters(page, kind, "st")
        page.mouse.move(5.0, 5.0)
        assert not page.locator("[name='edges[4].smooth[1].x']").count()
        settled(page)
        for _ in range(3):
            page.locator("#undo").click()
        assert kind.input_value() == "smooth"


def shelf_and_port(tmp_path: Path) -> tuple[Path, int]:
    """A shelf with one garment, "mine", and a port that a program may have again and again."""
    shelf = tmp_path / "shelf" / "garments"
    shelf.mkdir(parents=True)
    (shelf / "mine.toml").write_bytes((SHELF / "blouse.toml").read_bytes())
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return shelf, int(free.getsockname()[1])


def test_a_killed_program_loses_nothing_that_was_typed(browser: Browser, tmp_path: Path) -> None:
    """What it had kept is on disk; what it never got is in the browser."""
    shelf, port = shelf_and_port(tmp_path)
    context = browser.new_context()
    try:
        with served(tmp_path, port) as (opened, process):
            page = context.new_page()
            page.goto(opened)
            page.goto(f"http://127.0.0.1:{port}/garments/mine/draft?piece=front")
            ready(page)
            page.locator("[name='allowance']").fill("1.7 cm")
            settled(page)
            process.kill()
            process.wait()
            page.locator("[name='edges[4].to[1].x']").fill("11.7")
            wait_until(
                page, "() => document.getElementById('kept').textContent.startsWith('Not kept')"
            )
            page.close()
        assert (shelf / "mine.toml").read_bytes() == (SHELF / "blouse.toml").read_bytes()
        with served(tmp_path, port) as (opened, _):
            page = context.new_page()
            page.goto(opened)
            page.goto(f"http://127.0.0.1:{port}/garments/mine/draft?piece=front")
            ready(page)
            assert page.locator("[name='allowance']").input_value() == "1.7 cm"
            assert page.locator("[name='edges[4].to[1].x']").input_value() == "11.7"
            page.locator("#undo").click()
            assert page.locator("[name='edges[4].to[1].x']").input_value() == "11.6"
            settled(page)
    finally:
        context.close()


def test_an_old_tab_goes_on_once_the_program_is_back(browser: Browser, tmp_path: Path) -> None:
    """The new address is opened in another tab: no old refusal stays, and no old picture."""
    _, port = shelf_and_port(tmp_path)
    context = browser.new_context()
    try:
        page = context.new_page()
        with served(tmp_path, port) as (opened, process):
            page.goto(opened)
            page.goto(f"http://127.0.0.1:{port}/garments/mine/draft?piece=cuff")
            ready(page)
            process.kill()
            process.wait()
        with served(tmp_path, port) as (opened, _):
            before = page.locator("#under").inner_text()
            page.locator("[name='strip.length']").fill("50 cm")
            page.locator("#messages .wrong").wait_for()
            other = context.new_page()
            other.goto(opened)
            settled(page)
            page.locator("#messages .wrong").wait_for(state="detached")
            wait_until(
                page, "(was) => document.getElementById('under').textContent !== was", before
            )
            assert "53 cm" in page.locator("#under").inner_text()
    finally:
        context.close()


VIEWS = (
    "/garments",
    "/garments/mine",
    "/garments/mine/draft?piece=front",
    "/new/garment/drawn/skirt.svg",
)

PLAIN_VIEWS = ("/garments/toy-hare", "/garments/mine/text", "/new/garment")
"""What has no look of its own beyond that of the others."""

DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="40cm" height="30cm" viewBox="0 0 40 30">'
    '<path d="M1 1H20V28H1Z"/></svg>'
)


def test_every_view_serves_every_reader(
    browser: Browser, address: tuple[str, Path], let_in: dict[str, object]
) -> None:
    """No finding of axe-core, light and dark; nothing runs over the edge of a phone."""
    (address[1] / ".handed-in").mkdir(exist_ok=True)
    (address[1] / ".handed-in" / "skirt.svg").write_text(DRAWING)
    for scheme in ("light", "dark"):
        with quiet_page(
            browser, storage_state=let_in, color_scheme=scheme,
            viewport={"width": 360, "height": 740},
        ) as page:  # fmt: skip
            for view in (*VIEWS, *(PLAIN_VIEWS if scheme == "light" else ())):
                page.goto(f"{base(address)}{view}")
                if "/draft" in view:
                    ready(page)
                assert not axe_findings(page, colours_alone=scheme == "dark"), view
                wide = page.evaluate("() => document.documentElement.scrollWidth")
                assert wide <= 360, view
