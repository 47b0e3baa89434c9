"""The report in a real browser: the plan, the cutting table, both on paper, and without script."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from pypdf import PdfReader

from pieces.lengths import System, format_tape
from plans.outputs.report.page import html_text
from plans.words.at_table.width_check import width_check
from tests.browser import axe_findings, quiet_page, wait_until
from tests.plans.demo import demo_plan
from tests.plans.drawing.test_any_text import plan_named

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PHONE: dict[str, Any] = {"viewport": {"width": 360, "height": 740}}
EACH_KIND = ("#step-2", "#step-7", "#step-1", "Spread it", "Pin everything first")
"""Steps by their address or title, those with most in them first."""

WIDE: dict[str, Any] = {"viewport": {"width": 1280, "height": 900}}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Reports of plans that differ in what they have to say."""
    made = tmp_path_factory.mktemp("reports")
    metric = {
        "top": demo_plan("top-from-block", "lengthwise"),
        "skirt": demo_plan("wrap-skirt", "open"),
        "names": plan_named("כיס \U0001f60a"),
    }
    for name, plan in metric.items():
        (made / f"{name}.html").write_text(html_text(plan, System.METRIC), encoding="utf-8")
    inches = html_text(demo_plan("trousers", "sectioned"), System.IMPERIAL)
    (made / "inches.html").write_text(inches, encoding="utf-8")
    return made


@contextmanager
def opened(
    browser: Browser, folder: Path, name: str, part: str = "table", **options: Any
) -> Iterator[Page]:
    """A report, open at a part of it."""
    with quiet_page(browser, **(options or PHONE)) as page:
        page.goto(f"{(folder / f'{name}.html').as_uri()}#{part}")
        yield page


def told(page: Page) -> str:
    return page.locator("#progress").inner_text()


def steps_of(page: Page) -> int:
    return page.locator(".card").count()


def step_titled(page: Page, title: str) -> str:
    """Address of the first step with a title."""
    link = page.locator(".all a", has_text=title).first.get_attribute("href")
    assert link is not None
    return link


def show(page: Page, address: str) -> None:
    page.evaluate("address => { location.hash = address; }", address)
    wait_until(
        page, "address => document.querySelector('.card.now').id === address.slice(1)", address
    )


@pytest.mark.parametrize(
    ("name", "options", "scheme", "steps"),
    [
        ("top", PHONE, "light", EACH_KIND), ("top", WIDE, "dark", EACH_KIND),
        ("inches", PHONE, "dark", EACH_KIND[:2]), ("names", PHONE, "light", EACH_KIND[:2]),
    ],
    ids=["light-phone", "dark-wide", "dark-inches", "other-scripts"],
)  # fmt: skip
def test_nothing_stands_in_anyones_way(
    browser: Browser, folder: Path, name: str, options: dict[str, Any], scheme: str,
    steps: tuple[str, ...],
) -> None:  # fmt: skip
    """axe-core finds nothing in the plan and in steps of each kind; nothing is too wide."""
    with opened(browser, folder, name, "plan", **options, color_scheme=scheme) as page:
        assert axe_findings(page) == []
        fits = "document.documentElement.scrollWidth <= innerWidth"
        assert page.evaluate(fits)
        for step in steps:
            address = step if step.startswith("#") else step_titled(page, step)
            show(page, address)
            assert axe_findings(page) == [], address
            assert page.evaluate(fits), address


def test_without_its_script_the_report_is_complete(browser: Browser, folder: Path) -> None:
    """Plan and all steps stand one below the other; nothing that only a script could do shows."""
    options = {**PHONE, "java_script_enabled": False}
    with opened(browser, folder, "top", "plan", **options) as page:
        assert page.locator("h2", has_text="Shopping list").is_visible()
        cards = page.locator(".card")
        assert cards.count() > 8
        assert all(card.is_visible() for card in cards.all())
        assert not any(part.is_visible() for part in page.locator(".scripted").all())
        assert page.locator(".tick input").first.is_visible()


def test_one_goes_on_by_buttons_keys_and_address(browser: Browser, folder: Path) -> None:
    """One card at a time, its number said, its piece lit; not beyond the first and the last."""
    with opened(browser, folder, "top") as page:
        count = steps_of(page)
        assert told(page) == f"Step 1 of {count}"
        assert page.locator("#previous").is_disabled()
        page.click("#next")
        assert told(page) == f"Step 2 of {count}"
        assert page.locator("#spoken").inner_text() == ": Measure the width"
        page.keyboard.press("ArrowRight")
        page.keyboard.press("PageDown")
        page.keyboard.press("ArrowLeft")
        assert told(page) == f"Step 3 of {count}"
        assert page.url.endswith("#step-3")
        shown = [card.get_attribute("id") for card in page.locator(".card:visible").all()]
        assert shown == ["step-3"]
        show(page, f"#step-{count}")
        assert page.locator("#next").is_disabled()
        page.keyboard.press("ArrowRight")
        assert told(page) == f"Step {count} of {count}"
        page.click("text=Back to the plan")
        wait_until(page, "document.documentElement.dataset.view === 'plan'")
        assert not page.locator("#table").is_visible()
        page.click("a.large")
        wait_until(page, "document.documentElement.dataset.view === 'table'")
        assert told(page) == f"Step {count} of {count}"


def test_the_piece_of_the_card_is_lit(browser: Browser, folder: Path) -> None:
    """It alone is filled as lit pieces are, and its outline is really painted."""
    with opened(browser, folder, "top") as page:
        show(page, step_titled(page, "1 front"))
        lit = page.locator(".card.now .lit")
        assert lit.count() == 1
        assert lit.get_attribute("href") == "#t0x0-1"
        box = lit.bounding_box()
        assert box is not None
        assert box["width"] > 40
        assert box["height"] > 40


SWIPE = """([across, down]) => {
  const table = document.getElementById("table");
  const touch = (x, y) => new Touch({ identifier: 1, target: table, clientX: x, clientY: y });
  const fire = (kind, list, changed) => table.dispatchEvent(
    new TouchEvent(kind, { bubbles: true, touches: list, changedTouches: changed }));
  const start = touch(200, 300), end = touch(200 + across, 300 + down);
  fire("touchstart", [start], [start]);
  fire("touchend", [], [end]);
}"""


@pytest.mark.parametrize(
    ("across", "down", "step"), [(-120, 10, 3), (120, 10, 1), (-40, 0, 2), (-120, 90, 2)]
)
def test_a_level_swipe_turns_the_page(
    browser: Browser, folder: Path, across: int, down: int, step: int
) -> None:
    """To the left goes on, to the right back; a short or a slanting one is none."""
    with opened(browser, folder, "top", "step-2", **PHONE, has_touch=True) as page:
        page.evaluate(SWIPE, [across, down])
        assert told(page).startswith(f"Step {step} ")


def test_what_is_ticked_is_remembered_and_cut_pieces_are_gone(
    browser: Browser, folder: Path
) -> None:
    """After a reload, at the step that was seen last; another plan knows nothing of it."""
    with opened(browser, folder, "top") as page:
        address = step_titled(page, "1 front")
        show(page, address)
        for word in ("Pinned", "Cut"):
            page.locator(".card.now").get_by_label(word, exact=True).check()
        count = page.locator("#counted").inner_text()
        assert count.startswith("1 of ")
        assert "gone" in (page.locator("#t0x0-1").get_attribute("class") or "")
        page.goto("about:blank")
        page.goto(f"{(folder / 'top.html').as_uri()}#table")
        assert page.url.endswith("#table")
        assert page.locator(f"{address}.now .tick input:checked").count() == 2
        assert page.locator("#counted").inner_text() == count
        assert page.locator(f".all a[href='{address}']").get_attribute("class") == "done"
        page.goto(f"{(folder / 'skirt.html').as_uri()}#table")
        assert told(page).startswith("Step 1 ")
        assert page.locator(".tick input:checked").count() == 0


def test_ticks_can_be_taken_away(browser: Browser, folder: Path) -> None:
    """After a question, all of them, and what was measured."""
    with opened(browser, folder, "top") as page:
        page.on("dialog", lambda dialog: dialog.accept())
        page.check(".card.now .tick input")
        page.click("summary")
        page.click("#clear")
        assert page.locator(".tick input:checked").count() == 0


BROKEN = {
    "refused": "Object.defineProperty(window, 'localStorage', { get() { throw Error('no'); } });",
    "damaged": 'Storage.prototype.getItem = () => \'{"ticked": 3, "measured": null\';',
    "odd": 'Storage.prototype.getItem = () => \'{"ticked": 3, "measured": 1, "step": 99}\';',
    "full": "Storage.prototype.setItem = () => { throw new Error('full'); };",
}


@pytest.mark.parametrize("fault", BROKEN)
def test_it_works_where_nothing_can_be_remembered(
    browser: Browser, folder: Path, fault: str
) -> None:
    """Storage that is refused, full or damaged stops nobody."""
    with quiet_page(browser, **PHONE) as page:
        page.add_init_script(BROKEN[fault])
        page.goto(f"{(folder / 'top.html').as_uri()}#step-2")
        page.check(".card.now .tick input")
        page.keyboard.press("ArrowRight")
        assert told(page).startswith("Step 3 ")
        page.keyboard.press("ArrowLeft")
        assert page.locator(".card.now .tick input").is_checked()


def answered(page: Page, typed: str) -> str:
    """Which answer stands there after a width is typed."""
    page.fill(".card.now .width input", typed)
    page.click(".card.now .width button")
    shown = page.locator(".card.now .answers p:visible")
    assert shown.count() == 1
    return shown.get_attribute("data-answer") or ""


def test_the_measured_width_is_judged(browser: Browser, folder: Path) -> None:
    """Metric: with comma or point, with a unit or without; every outcome has its words."""
    check = width_check(demo_plan("top-from-block", "lengthwise").fabrics[0], System.METRIC)
    enough = check.enough / 10.0 + 0.1
    with opened(browser, folder, "top", "step-2") as page:
        assert answered(page, f"{enough:.1f}") == "enough"
        assert page.locator(".card.now .tick input").is_checked()
        assert answered(page, f" {enough:.1f} ".replace(".", ",")) == "enough"
        assert answered(page, f"{enough * 10:.0f} mm") == "enough"
        assert answered(page, f"{enough / 100:.4f}m") == "enough"
        assert answered(page, "60 in") == "wider"
        assert answered(page, f"{check.wider / 10 + 1:.1f}") == "wider"
        assert answered(page, f"{check.far_wider / 10 + 1:.1f}") == "far-wider"
        assert answered(page, f"{check.narrowest / 10 - 1:.1f}") == "too-narrow"
        for typed in ("wide", "-140", "1e3", "14 0", "1/0", "0", "0 cm", "0/2", "0,0"):
            assert answered(page, typed) == "unread", typed


def test_a_tape_in_inches_is_read_as_it_is_written(browser: Browser, folder: Path) -> None:
    """Fractions in every way of writing them; what the plan prints is wide enough."""
    entry = demo_plan("trousers", "sectioned").fabrics[0]
    printed = format_tape(entry.fabric.width_cut, System.IMPERIAL)
    with opened(browser, folder, "inches", "step-2") as page:
        for typed in (printed, f'{printed}"', f"{printed} in", printed.replace(" ", "-", 1)):
            assert answered(page, typed) == "enough", typed
        assert answered(page, "11 1/2") == "too-narrow"


def test_cloth_that_is_too_narrow_stops_the_work(browser: Browser, folder: Path) -> None:
    """It says so at each step of that cloth until a wide one is measured, also after a reload."""
    check = width_check(demo_plan("top-from-block", "lengthwise").fabrics[0], System.METRIC)
    with opened(browser, folder, "top", "step-2") as page:
        page.check(".card.now .tick input")
        assert answered(page, f"{check.narrowest / 10 - 1:.1f}") == "too-narrow"
        assert not page.locator(".card.now .tick input").is_checked()
        assert page.locator(".card.now .tick input").is_disabled()
        page.click("#next")
        assert page.locator(".stop:visible").count() == 1
        page.goto("about:blank")
        page.goto(f"{(folder / 'top.html').as_uri()}#step-3")
        assert page.locator(".stop:visible").count() == 1
        show(page, "#step-2")
        assert answered(page, f"{check.enough / 10 + 0.1:.1f}") == "enough"
        assert page.locator(".stop:visible").count() == 0
        assert page.locator(".card.now .tick input").is_enabled()


def test_typing_a_width_turns_no_pages(browser: Browser, folder: Path) -> None:
    """Arrows move within the field; Enter judges what stands there."""
    with opened(browser, folder, "top", "step-2") as page:
        page.click(".card.now .width input")
        page.keyboard.type("1")
        page.keyboard.press("ArrowLeft")
        page.keyboard.press("Enter")
        assert told(page).startswith("Step 2 ")
        assert page.locator(".answers p:visible").get_attribute("data-answer") == "too-narrow"


def printed_text(page: Page) -> str:
    reader = PdfReader(BytesIO(page.pdf(format="A4")))
    return " ".join(page.extract_text() for page in reader.pages)


def test_it_prints_what_is_seen(browser: Browser, folder: Path) -> None:
    """The plan without cards; the table with all of them and none of its buttons, dark or light."""
    placements = demo_plan("top-from-block", "lengthwise").fabrics[0].placements
    with opened(browser, folder, "top", "plan", color_scheme="dark") as page:
        text = printed_text(page)
        assert "Shopping list" in text
        assert "Pin everything first" not in text
        show(page, "#step-5")
        text = printed_text(page)
        assert "Shopping list" not in text
        assert "Next" not in text
        assert "Blades" in text
        for placed in placements:
            assert f"{placed.number} {placed.piece}" in text
        page.emulate_media(media="print")
        assert page.evaluate("getComputedStyle(document.body).backgroundColor") in (
            "rgb(255, 255, 255)",
            "rgba(0, 0, 0, 0)",
        )


def test_a_name_from_right_to_left_runs_so_and_ours_do_not(browser: Browser, folder: Path) -> None:
    """Headings that are a name; sentences and figures around them stay as they are."""
    with opened(browser, folder, "names", "plan") as page:

        def way(selector: str) -> str:
            return str(
                page.evaluate(
                    "selector => getComputedStyle(document.querySelector(selector)).direction",
                    selector,
                )
            )

        assert way("h1") == "rtl"
        assert way(".ask") == "ltr"
        assert way(".named td[dir]") == "rtl"
        assert way("td.figure") == "ltr"
