"""Plans on the page: laid, listed, shown, kept, folded otherwise, and taken away."""

from __future__ import annotations

import base64
import hashlib
import json
import os
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fabrics.shelf import find_fabric
from fabrics.stash.store import Stash
from layout.hand import Hand
from pieces.lengths import System
from plans.drawing.picture import svg_text
from plans.orders.making import order_of
from plans.orders.planning import plan_order
from plans.orders.request import GarmentAsked, Request
from plans.outputs.folder import FolderError, read_plan, write_plan_file
from plans.outputs.pdf import write_pdf
from plans.outputs.report.page import html_text
from plans.page.planning.keeping import report_policy
from plans.page.planning.tasks.laying import claimed
from plans.plan import LeftoverCopy, LeftoverCut
from plans.words.lists.moments import moment_words
from tests.page import Client, client
from tests.plans.page.moving_plan import keep_apron
from tests.plans.page.planning.small import BAG, NASTY, begun, news, shelved

__all__ = ["client"]

INSTEAD = "?instead=bag-plan"


@pytest.fixture(scope="module")
def plan_text(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The JSON of a quick plan of the bag, made once."""
    folder = tmp_path_factory.mktemp("plan")
    (folder / "bag.toml").write_text(BAG, encoding="utf-8")
    request = Request(
        (GarmentAsked(str(folder / "bag.toml")),),
        {"main": "90cm", "lining": "demo-interfacing"},
        effort="quick",
    )
    write_plan_file(plan_order(request, order_of(request), folder=folder / "x"), folder)
    return (folder / "plan.json").read_text(encoding="utf-8")


def put(plans: Path, name: str, text: str) -> Path:
    """Put a plan into the plans folder, as the command line would."""
    (plans / name).mkdir(parents=True)
    (plans / name / "plan.json").write_text(text, encoding="utf-8")
    return plans / name


def test_a_plan_is_laid_written_and_listed(client: Client, tmp_path: Path, plan_text: str) -> None:
    """The work tells the best of each cloth; the plan gets a name that is not taken."""
    put(tmp_path / "plans", "bag-plan", plan_text)
    shelved(tmp_path)
    work = begun(client)
    said = news(client, work)
    cloths = next(data for kind, data in reversed(said) if kind == "best")["cloths"]
    for cloth in cloths:
        assert set(cloth["length"]) == {"metric", "imperial"}
        assert cloth["bound"]["metric"]
        assert cloth["above"].endswith("%")
        assert all(path.startswith("M") for s in cloth["sections"] for _, path in s["pieces"])
    assert said[-1] == ("done", {"go": f"/plans/bag-plan-2{INSTEAD}", "name": "bag-plan-2"})
    assert "is taken by another plan" in client.get(f"/plans/bag-plan-2{INSTEAD}").text
    assert "is taken by another plan" not in client.get("/plans/bag-plan-2?instead=hare").text
    folder = tmp_path / "plans" / "bag-plan-2"
    names = {path.name for path in folder.iterdir()}
    assert {"plan.json", "report.html", "90cm.pdf", "90cm.svg", "90cm.png"} <= names
    assert read_plan(folder).asked is not None
    shown = client.get(f"/plans?work={work}")
    assert (shown.status_code, shown.headers["location"]) == (303, f"/plans/bag-plan-2{INSTEAD}")
    text = client.get("/plans").text
    assert '<a href="/plans/bag-plan">' in text
    assert '<a href="/plans/bag-plan-2">' in text
    assert NASTY not in text
    files = client.get("/plans/bag-plan-2").text
    assert '<a href="/plans/bag-plan-2/keep/90cm.pdf" download="90cm.pdf">' in files
    assert client.get("/plans/bag-plan-2/keep/90cm.pdf").content[:5] == b"%PDF-"


def test_a_search_that_goes_on_is_shown_and_its_form_opens_again(
    client: Client, tmp_path: Path
) -> None:
    """Whoever opens its page later sees the same; the form is filled with what was asked."""
    shelved(tmp_path)
    work = begun(client, **{"gap": "5 mm", "onhand-main": "9 m"})
    text = client.get(f"/plans?work={work}").text
    assert f'data-work="{work}"' in text
    assert f'href="/plans?work={work}"' in client.get("/plans").text
    form = client.get(f"/new/plan?again={work}").text
    assert 'name="gap" value="0.5 cm"' in form
    assert 'name="onhand-main" value="9 m"' in form
    assert 'value="90cm"' in form
    client.send(f"/at-work/{work}/end")
    assert news(client, work)[-1][0] in ("done", "failed")
    assert client.get("/plans?work=none").status_code == 404


def test_too_little_cloth_leads_to_ideas(client: Client, tmp_path: Path) -> None:
    """How much is missing first; then ideas in words, and a picture of what fits."""
    shelved(tmp_path)
    work = begun(client, **{"onhand-main": "45 cm washed", "fold": "open"})
    said = news(client, work)
    assert any(kind == "short" and "45 cm on hand" in data["lines"][0] for kind, data in said)
    (told,) = said[-1][1]["short"]
    assert "too little" in told["head"]
    assert told["groups"]
    assert all(group["ideas"] for group in told["groups"])
    assert "--" not in json.dumps(told["groups"])
    assert told["picture"]["svg"].startswith("<svg")
    assert not list((tmp_path / "plans").iterdir())
    assert client.get(f"/plans?work={work}").status_code == 200


def test_a_time_is_told_as_one_says_it(client: Client, tmp_path: Path, plan_text: str) -> None:
    """Day, month in a word, year; local."""
    file = put(tmp_path / "plans", "bag-plan", plan_text) / "plan.json"
    made = datetime(2026, 11, 5, 9, 51).timestamp()
    os.utime(file, (made, made))
    assert ">5 November 2026, 09:51</time>" in client.get("/plans").text
    assert moment_words(datetime(2026, 11, 5, 9, 51).astimezone(UTC)) == "5 November 2026, 09:51"


def test_what_fits_nowhere_is_told_in_words(client: Client, tmp_path: Path) -> None:
    """No layout fits: as the command line says it."""
    shelved(tmp_path)
    kind, said = news(client, begun(client, **{"width-main": "25cm"}))[-1]
    assert (kind, said["blame"]) == ("failed", "no layout")
    assert "side" in said["lines"][0]


def test_a_plan_is_shown_with_the_words_of_its_report(
    client: Client, tmp_path: Path, plan_text: str
) -> None:
    """In the units that were chosen; one element and one entry for each placement."""
    folder = put(tmp_path / "plans", "bag-plan", plan_text)
    plan = read_plan(folder)
    text = client.get("/plans/bag-plan").text
    assert NASTY not in text
    for words in ("Shopping list", "Pinning table", "Cutting list", "Other folds", "Ask for"):
        assert words in text
    placed = sum(len(entry.placements) for entry in plan.fabrics)
    assert text.count("data-piece=") == placed
    for entry in plan.fabrics:
        for one in entry.placements:
            assert f'id="f{plan.fabrics.index(entry)}s{one.section}-{one.number}"' in text
    client.send("/settings", units="imperial")
    assert " in</td>" in client.get("/plans/bag-plan").text
    assert 'href="/plans/bag-plan/move"' in text
    assert 'href="/plans/bag-plan/cut"' in text


def test_a_plan_that_does_not_say_what_was_asked_cannot_be_folded_otherwise(
    client: Client, tmp_path: Path, plan_text: str
) -> None:
    """It says so instead of offering what would fail."""
    data = json.loads(plan_text)
    del data["asked"]
    put(tmp_path / "plans", "old", json.dumps(data))
    text = client.get("/plans/old").text
    assert "does not say what was asked for" in text
    assert 'class="plain refold' not in text
    answer = client.send("/plans/old/fold", cloth=0, fold="crosswise")
    assert answer.status_code == 422


def test_another_fold_is_laid_once_and_then_known(
    client: Client, tmp_path: Path, plan_text: str
) -> None:
    """Only that cloth is laid again; the second time one goes there at once."""
    shelved(tmp_path)
    data = json.loads(plan_text)
    data["asked"]["garment"][0]["name"] = "bag"
    put(tmp_path / "plans", "bag-plan", json.dumps(data))
    before = read_plan(tmp_path / "plans" / "bag-plan")
    fold = next(r.fold for r in before.fabrics[0].other_folds if r.buy is not None)
    for field, wrong in (("fold", "origami"), ("cloth", 9)):
        fields = {"cloth": 0, "fold": fold.value, field: wrong}
        assert client.send("/plans/bag-plan/fold", **fields).json()["field"] == field
    go = client.send("/plans/bag-plan/fold", cloth=0, fold=fold.value).json()["go"]
    assert news(client, go.partition("=")[2])[-1][0] == "done"
    go = client.send("/plans/bag-plan/fold", cloth=0, fold=fold.value).json()["go"]
    assert go == f"/plans/bag-plan-main-{fold.value}"
    found = read_plan(tmp_path / "plans" / go.removeprefix("/plans/"))
    assert found.fabrics[0].fold is fold
    assert found.fabrics[1] == before.fabrics[1]


def test_no_name_leads_outside_the_plans_folder(
    client: Client, tmp_path: Path, plan_text: str
) -> None:
    """Nor does a link; and of a plan's folder only its own files are handed over."""
    outside = put(tmp_path, "outside", plan_text)
    plans = tmp_path / "plans"
    os.symlink(outside, plans / "link")
    put(plans, "bag-plan", plan_text)
    (plans / "bag-plan" / "notes.txt").write_text("mine")
    os.symlink(tmp_path / "outside" / "plan.json", plans / "bag-plan" / "other.json")
    (plans / "inner").mkdir()
    os.symlink(outside / "plan.json", plans / "inner" / "plan.json")
    for name in ("..%2Foutside", "inner", "%2E%2E", "link", "none", ".hidden", "a%00b", "x" * 300):
        for rest in ("", "/report", "/keep/plan.json"):
            assert client.get(f"/plans/{name}{rest}").status_code == 404, name
        for change in ("/away", "/fold"):
            assert client.send(f"/plans/{name}{change}", sure=True).status_code in (404, 405), name
    for file in ("notes.txt", "other.json", "..%2F..%2Foutside%2Fplan.json", "none.pdf"):
        assert client.get(f"/plans/bag-plan/keep/{file}").status_code == 404, file
    listed = client.get("/plans").text
    assert "/plans/link" not in listed
    assert "/plans/inner" not in listed
    assert outside.joinpath("plan.json").exists()


def test_a_plan_is_taken_away_only_by_who_is_sure(
    client: Client, tmp_path: Path, plan_text: str
) -> None:
    """What somebody else put into its folder stays there."""
    folder = put(tmp_path / "plans", "bag-plan", plan_text)
    for name in ("90cm.pdf", "90cm-2.svg", "demo-interfacing.png", "report.html", "90cm-tiles.pdf"):
        (folder / name).write_text("x")
    assert client.send("/plans/bag-plan/away").json()["field"] == "sure"
    assert (folder / "report.html").exists()
    said = client.send("/plans/bag-plan/away", sure=True).json()["said"]
    assert "90cm-tiles.pdf" in said
    assert [path.name for path in folder.iterdir()] == ["90cm-tiles.pdf"]
    assert "bag-plan" not in client.get("/plans").text


@pytest.mark.parametrize("text", ["{", "[]", "{}", '{"format": "laywright-plan"}', "[" * 100_000])
def test_a_damaged_plan_is_told_and_spoils_no_list(
    client: Client, tmp_path: Path, text: str
) -> None:
    """It is listed by its folder; opened it says what is wrong."""
    put(tmp_path / "plans", "broken", text)
    listed = client.get("/plans")
    assert listed.status_code == 200
    assert "cannot be read as a plan" in listed.text
    assert "1970" not in listed.text
    assert client.get("/plans/broken").status_code == 422
    assert client.send("/plans/broken/away", sure=True).status_code == 200


def test_the_report_lies_in_a_sandbox(client: Client, tmp_path: Path, plan_text: str) -> None:
    """It may run the script that is in it and reach nothing."""
    folder = put(tmp_path / "plans", "bag-plan", plan_text)
    assert client.get("/plans/bag-plan/report").status_code == 404
    (folder / "report.html").write_text("<p>x</p><script>let a = 1;</script>")
    answer = client.get("/plans/bag-plan/report")
    policy = answer.headers["content-security-policy"]
    assert policy.startswith("sandbox allow-scripts")
    assert "allow-same-origin" not in policy
    assert "default-src 'none'" in policy
    script = answer.text.split("<script>")[1].split("</script>")[0]
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in policy
    assert "script-src 'none'" in report_policy(b"<p>no script</p>")


def test_the_report_speaks_the_chosen_units(client: Client, tmp_path: Path, plan_text: str) -> None:
    """The file stays as it was written, and the view says in which units that was."""
    folder = put(tmp_path / "plans", "bag-plan", plan_text)
    (folder / "report.html").write_text("as it was written")
    plan = read_plan(folder)
    assert client.get("/plans/bag-plan/report").text == "as it was written"
    client.send("/settings", units="imperial")
    assert client.get("/plans/bag-plan/report").text == html_text(plan, System.IMPERIAL)
    assert (folder / "report.html").read_text() == "as it was written"
    view = client.get("/plans/bag-plan").text
    assert "The report opens in inches and yards" in view
    assert "handed over with figures in inches and yards" in view
    assert "stay as they were written, in centimetres and metres" in " ".join(view.split())


def test_files_are_handed_over_in_the_chosen_units(
    client: Client, tmp_path: Path, plan_text: str
) -> None:
    """Drawn anew from the plan where they were written in others; what is no drawing stays."""
    folder = put(tmp_path / "plans", "bag-plan", plan_text)
    for name in ("90cm.pdf", "90cm.svg", "leftovers-cut-1.pdf"):
        (folder / name).write_text("as it was written")
    at = "/plans/bag-plan/keep"
    assert "Their figures are in centimetres and metres" in client.get("/plans/bag-plan").text
    assert client.get(f"{at}/90cm.pdf").text == "as it was written"
    client.send("/settings", units="imperial")
    answer = client.get(f"{at}/90cm.pdf")
    write_pdf(
        read_plan(folder), read_plan(folder).fabrics[0], tmp_path / "x.pdf", System.IMPERIAL, "a4"
    )
    assert answer.content == (tmp_path / "x.pdf").read_bytes()
    assert "90cm.pdf" in answer.headers["content-disposition"]
    assert client.get(f"{at}/90cm.svg").text == svg_text(
        read_plan(folder).fabrics[0], System.IMPERIAL
    )
    for name in ("plan.json", "leftovers-cut-1.pdf"):
        assert client.get(f"{at}/{name}").content == (folder / name).read_bytes()
    assert (folder / "90cm.pdf").read_text() == "as it was written"


def test_what_lies_on_leftovers_is_drawn_and_told(
    client: Client, tmp_path: Path, plan_text: str
) -> None:
    """Even where nothing is bought."""
    ring = ((0.0, 0.0), (400.0, 0.0), (400.0, 300.0), (0.0, 300.0))
    copy = LeftoverCopy(
        1, "side", "main", "cut 1", Hand.DRAWN, True, ring, ((50.0, 150.0), (350.0, 150.0))
    )
    fabric = find_fabric("demo-linen")
    cut = LeftoverCut("L3", ("main",), fabric, ring, (), 3.0, (copy,), ())
    folder = put(tmp_path / "plans", "bag-plan", plan_text)
    write_plan_file(replace(read_plan(folder), fabrics=(), on_leftovers=(cut,)), folder)
    text = client.get("/plans/bag-plan").text
    assert "Nothing to buy" in text
    assert "Leftover L3" in text
    assert text.count('<svg class="drawn lay"') == 1
    assert "&lt;svg" not in text
    assert "all lies on leftovers" in client.get("/plans").text


def test_a_plan_that_was_changed_by_hand_says_so(
    client: Client, tmp_path: Path, plan_text: str
) -> None:
    """In the list and above its lay, with its length against the found one."""
    data = json.loads(plan_text)
    data["fabrics"][0]["changed"] = {"found_mm": 600.0, "found_buy_mm": 700.0}
    put(tmp_path / "plans", "bag-plan", json.dumps(data))
    assert "</a>, changed by hand</h2>" in client.get("/plans").text
    assert ", changed by hand</bdi></h1>" in client.get("/plans/bag-plan").text
    assert '<p class="note">Changed by hand:' in client.get("/plans/bag-plan").text


def test_a_title_from_right_to_left_turns_nothing_round(
    client: Client, tmp_path: Path, plan_text: str
) -> None:
    """It is kept to itself where words of ours follow it."""
    data = json.loads(plan_text) | {"title": "שלום", "makes": 2}
    put(tmp_path / "plans", "bag-plan", json.dumps(data))
    for view in ("/plans", "/plans/bag-plan"):
        assert "\u2068שלום\u2069, 2 of them" in client.get(view).text


def test_bolts_are_offered_as_cloth(client: Client, tmp_path: Path) -> None:
    """Those of the stash stand between one's own fabrics and the demo ones."""
    with Stash(tmp_path / "stash.db") as base:
        bolt = base.add_bolt(find_fabric("demo-linen"), 2000.0, washed=False)
    text = client.get(f"/new/plan?garment=blouse&cloth=stash:{bolt.tag}").text
    assert "Bolts in the stash" in text
    # The view of a bolt links here without knowing any role: the first one gets it.
    assert text.count(f'<option value="stash:{bolt.tag}" selected>') == 1


def test_where_plans_cannot_be_kept_is_told(tmp_path: Path) -> None:
    """A file in the way is no folder full of plans."""
    (tmp_path / "plans").write_text("a file")
    with pytest.raises(FolderError, match="is a file, where the folder of plans should be"):
        claimed(tmp_path / "plans", "bag-plan")


def test_a_link_that_leads_nowhere_takes_its_name(tmp_path: Path) -> None:
    """The plan goes beside it."""
    (tmp_path / "bag-plan").symlink_to(tmp_path / "nowhere")
    assert claimed(tmp_path, "bag-plan") == tmp_path / "bag-plan-2"


def test_a_plan_on_leftovers_alone_has_no_other_fold(client: Client, tmp_path: Path) -> None:
    """Told, whatever is sent."""
    keep_apron(tmp_path)
    file = tmp_path / "plans" / "apron-plan" / "plan.json"
    file.write_text(json.dumps(json.loads(file.read_text()) | {"fabrics": []}))
    answer = client.send("/plans/apron-plan/fold", cloth=0, fold="open")
    assert (answer.status_code, answer.json()["field"]) == (422, "cloth")


def test_a_plan_may_be_called_as_a_form_is(client: Client, tmp_path: Path) -> None:
    """Forms for what is new have addresses that no plan has."""
    (tmp_path / "plans" / "bag-plan").mkdir()
    for name in ("new", "parts"):
        assert claimed(tmp_path, name) == tmp_path / name
    assert client.get("/plans/new").status_code == 404
    assert client.get("/new/plan").status_code == 200
