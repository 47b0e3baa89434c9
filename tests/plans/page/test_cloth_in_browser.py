"""Cloth, cuts and comparisons in a real browser: by keyboard, at 360 px, axe finds nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from fabrics.shelf import SHELF, find_fabric
from fabrics.stash.store import Stash
from plans.outputs.folder import write_plan_file
from tests.browser import axe_findings, browser, quiet_page, wait_until
from tests.page import served
from tests.plans.demo import demo_plan

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, Route

__all__ = ["browser"]

ODD = "<b>مرحبا</b> 🧵 " + "wool" * 30
"""A note that a view might stumble over."""


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a plan, a fabric, bolts and leftovers."""
    folder = tmp_path_factory.mktemp("home")
    (folder / "plans" / "hare").mkdir(parents=True)
    write_plan_file(demo_plan("toy-hare"), folder / "plans" / "hare")
    (folder / "shelf" / "fabrics").mkdir(parents=True)
    twill = (SHELF / "demo-flawed-twill.toml").read_text()
    (folder / "shelf" / "fabrics" / "twill.toml").write_text(twill)
    with Stash(folder / "stash.db") as base:
        base.add_bolt(find_fabric("demo-velveteen"), 12_500.0, False, ODD)
        base.add_bolt(find_fabric("140cm"), 800.0, True)
    return folder


@pytest.fixture(scope="module")
def view(browser: Browser, home: Path) -> Iterator[Page]:
    """A page of the program that serves this folder, narrow and let in."""
    size = {"width": 360, "height": 800}
    with served(home) as (address, _), quiet_page(browser, True, viewport=size) as opened:
        opened.goto(address)
        yield opened


def go(view: Page, path: str) -> None:
    """Open a view of the program."""
    view.goto(re.sub(r"^(http://[^/]+).*", rf"\1{path}", view.url))


def tab_to(view: Page, name: str) -> None:
    """Walk with the tabulator key to what has this name."""
    for _ in range(80):
        view.keyboard.press("Tab")
        focused = view.locator(":focus")
        labels = focused.evaluate(
            "one => [one.textContent, one.getAttribute('aria-label'), "
            "...[...(one.labels || [])].map(label => label.textContent)].join(' ')"
        )
        if name in labels:
            return
    raise AssertionError(f"nothing that is called '{name}' can be reached")


def test_a_leftover_is_put_in_and_taken_out_by_keyboard_alone(view: Page, home: Path) -> None:
    """It is drawn while it is typed; its tag is told; undoing brings it back."""
    go(view, "/cloth")
    tab_to(view, "Put in a leftover")
    view.keyboard.press("Enter")
    view.wait_for_url("**/cloth/leftover")
    tab_to(view, "Fabric")
    view.keyboard.type("demo-cotton-lawn")
    tab_to(view, "a rectangle")
    view.keyboard.press("ArrowDown")
    tab_to(view, "Corners in turn")
    view.keyboard.type("0,0 60,0 55,30 0,28")
    view.get_by_text("Not yet: ").wait_for()
    view.keyboard.type(" cm")
    view.get_by_text("This leftover: an outline of 4 corners").wait_for()
    assert view.locator("#shape-drawn svg").is_visible()
    view.keyboard.press("Tab")
    tab_to(view, "Put it in")
    view.keyboard.press("Enter")
    view.wait_for_url("**/cloth/kept/L1")
    tab_to(view, "Take L1 out")
    view.keyboard.press("Enter")
    view.wait_for_url("**/cloth")
    tab_to(view, "Undo this")
    view.keyboard.press("Enter")
    view.get_by_text("change 1 is undone: L1 back").wait_for()
    with Stash(home / "stash.db") as base:
        assert [one.tag for one in base.leftovers()] == ["L1"]


def test_a_wrong_field_is_told_at_the_field(view: Page) -> None:
    """Focus goes there, and what is wrong describes it."""
    go(view, "/cloth/bolt")
    view.fill("#fabric", "demo-linen")
    view.fill("#length", "3")
    view.keyboard.press("Enter")
    field = view.locator("#length[aria-invalid=true]")
    field.wait_for()
    assert view.locator(":focus").get_attribute("id") == "length"
    said = view.locator(f"#{field.get_attribute('aria-describedby')}").inner_text()
    assert "has no unit" in said


def test_a_fabric_is_judged_while_it_is_typed_and_never_written_over(
    view: Page, home: Path
) -> None:
    """What changed elsewhere meanwhile is shown beside; both changes are kept if one says so."""
    go(view, "/cloth/fabric/twill/correct")
    view.fill("[name='shrinkage.along']", "120 %")
    finding = view.locator("[id='finding-shrinkage.along']")
    finding.wait_for()
    assert "would leave nothing" in finding.inner_text()
    view.fill("[name='shrinkage.along']", "3 %")
    finding.wait_for(state="detached")
    view.get_by_role("button", name="One more flaw").click()
    view.locator("[name='flaws[3].length']").fill("1 cm")
    view.locator("[id='finding-flaws[3].from_end']").wait_for()
    view.get_by_role("button", name="Leave out flaw 3").click()
    path = home / "shelf/fabrics/twill.toml"
    path.write_text(path.read_text().replace("demo twill", "other twill"))
    view.get_by_role("button", name="Keep it").click()
    view.get_by_role("heading", name="How the file is now").wait_for()
    assert "other twill" in view.locator("pre").inner_text()
    assert axe_findings(view) == []
    assert find_fabric(str(path)).shrink_along == 0.0
    view.get_by_role("button", name="Keep what I typed").click()
    view.wait_for_url("**/cloth/fabric/twill")
    assert find_fabric(str(path)).shrink_along == pytest.approx(0.03)


def test_what_is_typed_of_a_fabric_outlives_its_tab(view: Page) -> None:
    """Until it is kept or dropped."""
    go(view, "/cloth/fabrics/new")
    view.fill("#f-name", "sea")
    view.get_by_label("Both faces are alike").check()
    view.get_by_role("button", name="One more flaw").click()
    view.locator("[name='flaws[1].length']").fill("1 cm")
    view.fill("#f-width", "150 cm")
    view.locator("[id='finding-flaws[1].from_end']").wait_for()
    go(view, "/cloth")
    go(view, "/cloth/fabrics/new")
    view.get_by_text("did not keep stands here again").wait_for()
    assert view.input_value("#f-name") == "sea"
    assert view.input_value("[name='flaws[1].length']") == "1 cm"
    assert view.get_by_label("Both faces are alike").is_checked()
    assert axe_findings(view) == []
    view.get_by_role("button", name="Drop it").click()
    view.get_by_text("did not keep stands here again").wait_for(state="detached")
    assert view.input_value("#f-name") == ""


def test_a_cut_is_looked_at_recorded_and_undone(view: Page, home: Path, tmp_path: Path) -> None:
    """With the sheet of its leftovers as a file."""
    go(view, "/plans/hare/cut")
    view.locator("#bolt-0").select_option("B1")
    view.get_by_text("40 cm off B1, 12.1 m left on it").wait_for()
    tag = view.locator("#look .tag").first.inner_text()
    with Stash(home / "stash.db") as base:
        assert tag not in [one.tag for one in base.leftovers()]
    view.get_by_role("button", name="I cut this: record it").click()
    view.get_by_role("heading", name="Recorded as cut 1").wait_for()
    view.get_by_text(re.compile(rf"write {tag}\b.* on what is left")).wait_for()
    assert axe_findings(view) == []
    view.get_by_role("button", name="Draw them to scale").click()
    ready = view.get_by_role("link", name="Keep the sheet")
    ready.wait_for()
    with view.expect_download() as file:
        ready.click()
    file.value.save_as(tmp_path / "sheet.pdf")
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
    view.get_by_role("button", name="Undo cut 1").click()
    view.get_by_text("cut 1 is undone: 40 cm back on B1").wait_for()
    view.get_by_role("heading", name="What it was cut from").wait_for()


def test_roles_are_those_of_the_garment_that_is_chosen_now(view: Page) -> None:
    """An answer that comes late changes nothing; one that failed is asked for once more."""
    refused = '{"lines": ["not now"], "field": ""}'
    late: list[Route] = []
    view.route("**/compare/garment/layered-top", lambda route: late.append(route))
    go(view, "/compare?garment=wrap-skirt")
    name, roles = view.locator("[data-part=name]"), view.locator("#roles")
    roles.get_by_text("main").wait_for()
    name.select_option("layered-top")
    name.select_option("wrap-skirt")
    wait_until(view, "document.querySelector('[data-part=size]').options.length > 1")
    with view.expect_response("**/compare/garment/layered-top"):
        late[0].fulfill(status=422, body=refused, content_type="application/json")
    view.evaluate("new Promise((done) => setTimeout(done, 0))")
    assert roles.inner_text() == "main"
    view.unroute("**/compare/garment/layered-top")
    name.select_option("layered-top")
    roles.get_by_text("overlay").wait_for()


def test_a_comparison_fills_and_a_cell_opens(view: Page, tmp_path: Path) -> None:
    """By keyboard: the focus goes to what was opened and back again."""
    go(view, "/compare?garment=wrap-skirt")
    view.locator("[data-part=size] option[value=M]").wait_for(state="attached")
    view.locator("[data-part=size]").select_option("M")
    view.fill("#widths", "115")
    view.locator("#effort").select_option("quick")
    tab_to(view, "Compare")
    view.keyboard.press("Enter")
    view.locator("#widths[aria-invalid=true]").wait_for()
    view.fill("#widths", "115cm; 140cm")
    view.get_by_label("lengthwise fold", exact=True).check()
    view.get_by_role("button", name="Compare").click()
    view.wait_for_url("**/compare?work=*")
    view.get_by_text("Done.", exact=True).wait_for(timeout=120_000)
    cell = view.get_by_role("button", name=re.compile("^140 cm, lengthwise fold: 1")).first
    cell.focus()
    view.keyboard.press("Enter")
    view.locator("#opened-lays svg").wait_for()
    assert "140 cm; lengthwise fold" in view.locator(":focus").inner_text()
    plan = view.get_by_role("link", name="Plan this").get_attribute("href")
    assert plan is not None
    assert "cloth-main=140cm" in plan
    assert axe_findings(view) == []
    view.get_by_role("button", name="Close").press("Enter")
    assert view.locator(":focus").get_attribute("aria-label") == cell.get_attribute("aria-label")
    with view.expect_download() as file:
        view.get_by_role("link", name="Keep as CSV").click()
    file.value.save_as(tmp_path / "cells.csv")
    assert (tmp_path / "cells.csv").read_text().startswith("roles,cloth,width_mm,fold,")
    view.locator("#units").select_option("imperial")
    view.get_by_role("button", name=re.compile("^55 1.8 in, lengthwise fold: 1")).first.wait_for()
    view.locator("#units").select_option("metric")
    view.get_by_role("button", name=re.compile("^140 cm, lengthwise fold: 1")).first.wait_for()


VIEWS = (
    "/cloth", "/cloth/bolt", "/cloth/leftover", "/cloth/kept/B1", "/cloth/kept/L1",
    "/cloth/changes", "/cloth/fabric/twill", "/cloth/fabric/twill/correct", "/cloth/fabrics/new",
    "/plans/hare/cut", "/compare",
)  # fmt: skip


@pytest.mark.parametrize("path", VIEWS)
def test_every_view_is_accessible_and_narrow_enough(view: Page, path: str) -> None:
    """In both looks; nothing stands out at 360 px, whatever somebody noted."""
    go(view, path)
    for look in ("light", "dark"):
        view.emulate_media(color_scheme=look)
        assert axe_findings(view) == []
    assert view.evaluate("document.documentElement.scrollWidth") <= 360
