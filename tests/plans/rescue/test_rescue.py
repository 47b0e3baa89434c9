"""The whole answer: ranked, two changes together where one is not enough, bounded, told."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from fabrics.fabric import Repeat
from fabrics.spread import Fold
from pieces.lengths import System
from pieces.piece import Cut, CutKind, Joining, MatchPoint
from pieces.readers.garment_toml import load_garment
from plans.answer.planner import plan_garment
from plans.folds.jobs import job_for
from plans.folds.on_hand import ShortageError
from plans.folds.variants import split_demands
from plans.order import Order
from plans.rescue import rescue as wiring
from plans.rescue import trial as trials
from plans.rescue.changes.change import Attempt
from plans.rescue.changes.laying import LongerSearch
from plans.rescue.changes.recutting import InParts
from plans.rescue.data import rescues_to_data
from plans.rescue.rescue import rescue
from plans.rescue.words import rescue_text
from tests.plans.rectangles import project
from tests.plans.rescue.short import answer, bolt, mm, shortage
from tests.plans.rescue.test_ideas import HEMMED, hemmed, skirt

BANDED = (
    HEMMED
    + """
[[piece]]
name = "waistband"
cut = { cloth = "1" }
strip = { length = "69 cm", width = "4 cm" }
drawn = "with allowance"
"""
)


class Here(Executor):
    """One worker: this one."""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        future: Future[Any] = Future()
        future.set_result(fn(*args, **kwargs))
        return future


def test_two_together_where_no_single_change_is_enough(tmp_path: Path) -> None:
    """69 cm of waistband beside panels of 60: on 58 cm it must be joined and they be shorter."""
    text = BANDED.replace('cut = { cloth = "2" }', 'cut = { cloth = "1" }')
    found = answer(hemmed(tmp_path, text), bolt(990.0, 580.0))
    assert all(len(trial.changes) == 2 for trial in found.fitting)
    best = found.fitting[0]
    words = [change.words(System.METRIC) for change in best.changes]
    assert "'waistband' in two" in words[0]
    assert "'front' and 'back' 2 cm shorter at the hem" in words[1]
    assert best.needed == pytest.approx(580.0)
    single = [trial for trial in found.trials if len(trial.changes) == 1]
    assert single
    assert not any(trial.fits for trial in single)


def test_single_changes_that_are_enough_are_not_combined() -> None:
    """The waistband in two will do."""
    found = answer(skirt(), bolt(960.0, 600.0))
    assert {len(trial.changes) for trial in found.trials} == {1}


def test_the_least_change_comes_first_and_the_text_says_how(tmp_path: Path) -> None:
    """Squaring off, then a join, then another cloth."""
    found = answer(skirt(650.0), bolt(960.0, 660.0), ends=30.0)
    order = [trial.idea.intrusion for trial in found.fitting]
    assert order == sorted(order)
    assert len(set(order)) >= 3
    text = rescue_text(found, "somewhere/picture.png")
    assert text.index("squaring off") < text.index("'waistband' in two")
    assert text.index("'waistband' in two") < text.index("'waistband' from another cloth")
    assert "66 cm on hand (unwashed), and the shortest layout found takes 68 cm" in " ".join(
        text.split()
    )
    assert "(see somewhere/picture.png)" in " ".join(text.split())
    assert "every fold was tried before" in " ".join(text.split())
    assert max(len(line) for line in text.splitlines()) <= 96


def test_the_same_answer_however_many_workers() -> None:
    """One here, or as many as there are cores."""
    one = shortage(skirt(), bolt(960.0, 570.0))
    alone, many = rescue(one, executor=Here()), rescue(one)
    assert rescues_to_data("skirt", [alone], [""]) == rescues_to_data("skirt", [many], [""])


def test_work_is_bounded_and_what_is_left_untried_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With work for a few layouts only."""
    one = shortage(skirt(), bolt(960.0, 570.0))
    monkeypatch.setattr(wiring, "MOST_PLANS", 0)
    found = rescue(one)
    assert found.untried > 0
    assert not found.interrupted
    text = " ".join(rescue_text(found).split())
    assert f"{found.untried} more were left untried, to bound the work" in text


def test_stopping_keeps_what_was_tried_and_says_so() -> None:
    """Ctrl-C after the first idea."""
    one = shortage(skirt(), bolt(960.0, 570.0))

    def stop(done: int, total: int) -> None:
        raise KeyboardInterrupt

    found = rescue(one, stop)
    assert found.interrupted
    assert found.tried == 1
    text = " ".join(rescue_text(found).split())
    assert f"stopped by you, with {found.untried} left untried" in text


def test_what_fits_is_the_most_by_area_and_the_rest_is_named() -> None:
    """Of 2 panels and a waistband of 69 cm, on 60 cm the panels."""
    found = answer(skirt(), bolt(960.0, 600.0))
    assert found.lain is not None
    assert found.lain.entry is not None
    assert not found.lain.entry.leftovers
    laid = sorted(placed.piece for placed in found.lain.entry.placements)
    assert laid == ["panel", "panel"]
    assert [(demand.key, count) for demand, count in found.lain.left_out] == [("waistband", 1)]
    assert "As it is, 2 of 3 copies fit in a single layer; left out: 'waistband'" in " ".join(
        rescue_text(found).split()
    )


def test_nothing_at_all_fits_on_next_to_nothing() -> None:
    """10 cm of cloth: said in words, and still drawn."""
    from plans.rescue.picture import shortage_figure

    found = answer(skirt(), bolt(960.0, 100.0))
    assert found.lain is not None
    assert found.lain.entry is None
    assert "no piece at all fits on it" in rescue_text(found)
    texts = [text.get_text() for text in shortage_figure(found).texts]
    assert any(text.startswith("Left out: 'panel' (2 of 2), 'waistband'") for text in texts)


def test_the_picture_names_what_is_left_out() -> None:
    """The cloth with its pieces, and the waistband beside it with its size."""
    from plans.rescue.picture import shortage_figure

    figure = shortage_figure(answer(skirt(), bolt(960.0, 600.0)))
    texts = [*figure.texts, *(text for axes in figure.axes for text in axes.texts)]
    words = " ".join(text.get_text() for text in texts).split()
    joined = " ".join(words)
    assert "Left out: 'waistband'" in joined
    assert "waistband 69 cm x 8 cm" in joined
    assert "60 cm on hand (unwashed)" in joined


def test_each_fabric_that_is_short_is_told(tmp_path: Path) -> None:
    """Two roles, both too short: two shortages, not the first alone."""
    text = HEMMED.replace('like = "front"\ncut = { cloth = "2" }', 'like = "front"\ncut = "2"')
    path = tmp_path / "two.toml"
    path.write_text(text, encoding="utf-8")
    garment = load_garment(path)
    with pytest.raises(ShortageError) as caught:
        plan_garment(
            Order(garment, {"cloth": bolt(500.0, 300.0), "main": bolt(500.0, 310.0)},
                  effort="quick")
        )  # fmt: skip
    assert [one.job.roles for one in caught.value.shortages] == [("cloth",), ("main",)]


def test_data_holds_every_figure() -> None:
    """What other programs read: numbers in mm, and the same line."""
    found = answer(skirt(), bolt(960.0, 600.0))
    data = json.loads(json.dumps(rescues_to_data("skirt", [found], ["shortage-cloth.png"])))
    (fabric,) = data["fabrics"]
    assert (fabric["on_hand_mm"], fabric["needed_mm"], fabric["missing_mm"]) == (600, 690, 90)
    joined = next(idea for idea in fabric["ideas"] if idea["intrusion"] == "join")
    assert (joined["fits"], joined["needed_mm"], joined["saves_mm"]) == (True, 600, 90)
    assert fabric["fits"]["left_out"] == {"waistband": 1}
    assert fabric["fits"]["picture"] == "shortage-cloth.png"


def test_flaws_are_kept_clear_of() -> None:
    """A flaw in the middle of the cloth: one panel less."""
    flaw = ((250.0, 100.0), (350.0, 100.0), (350.0, 300.0), (250.0, 300.0))
    garment = project(mm("panel", 600.0, 400.0, 2))
    found = answer(garment, bolt(800.0, 600.0, flaws=(flaw,)))
    assert found.lain is not None
    assert found.lain.entry is not None
    (placed,) = found.lain.entry.placements
    assert min(y for _, y in placed.outline) >= 300.0 - 1e-3


@pytest.mark.usefixtures("searches_on")
def test_the_unchanged_garment_is_searched_for_longer_first(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where that is enough it comes before every change; and savings are counted from there."""
    one = shortage(skirt(), bolt(960.0, 600.0))
    whole = trials.best_of(Attempt(one.job, (Fold.OPEN,)))
    assert whole is not None
    shorter = replace(whole, length=600.0)
    monkeypatch.setattr(trials, "deepen", lambda job, result, effort: shorter)
    found = rescue(one, executor=Here())
    first = found.trials[0]
    assert isinstance(first.changes[0], LongerSearch)
    assert first.fits
    assert found.before == pytest.approx(600.0)


def test_two_roles_of_one_cloth_keep_their_strips_apart() -> None:
    """A strip that both cut is joined in one role by itself, and in both at once."""
    band = replace(
        mm("band", 690.0, 80.0), strip=(690.0, 80.0), joining=Joining(200.0, 10.0),
        cuts=(Cut("cloth", CutKind.SAME_WAY, 1), Cut("lining", CutKind.SAME_WAY, 1)),
    )  # fmt: skip
    job = job_for(Order(project(band), {}, effort="quick"), ("cloth", "lining"), bolt(960.0, 300.0))
    both = split_demands(job, {"band (cloth)": 2, "band (lining)": 2})
    assert [demand.key for demand in both] == [
        "band (cloth) part 1 of 2",
        "band (cloth) part 2 of 2",
        "band (lining) part 1 of 2",
        "band (lining) part 2 of 2",
    ]
    changed = InParts("band (lining)", 2).applied(Attempt(job, (Fold.OPEN,)))
    assert changed is not None
    assert [demand.key for demand in changed.job.demands] == [
        "band (cloth)",
        "band (lining) part 1 of 2",
        "band (lining) part 2 of 2",
    ]


def test_matched_cloth_leaves_out_whole_pieces() -> None:
    """Where the design must match, the smallest piece that makes room is left out."""
    panel = replace(mm("panel", 600.0, 400.0, 2), match_points=(MatchPoint("check", (0.0, 0.0)),))
    # A whole repeat besides, so that the cut end may slide along the design.
    check = bolt(960.0, 660.0, repeat=Repeat(60.0, 0.0, 0.0))
    found = answer(project(panel, mm("waistband", 690.0, 80.0)), check)
    assert found.lain is not None
    assert found.lain.entry is not None
    assert [(demand.key, count) for demand, count in found.lain.left_out] == [("waistband", 1)]


def test_headline_and_ideas_count_from_one_length(tmp_path: Path) -> None:
    """What is missing, less what an idea saves, is what it leaves missing: on every line."""
    one = shortage(skirt(), bolt(960.0, 600.0))
    found = rescue(one)
    text = " ".join(rescue_text(found).split())
    missing = re.search(r": ([\d.]+) cm too little", text)
    assert missing is not None
    lines = re.findall(r"saves ([\d.]+) cm, still ([\d.]+) cm short", text)
    for saved, short in lines:
        assert float(missing[1]) - float(saved) == pytest.approx(float(short), abs=0.11)
    longer = replace(found, before=found.before - 15.0)
    assert "(after a longer search): 7.5 cm too little" in " ".join(rescue_text(longer).split())


def test_short_cloth_of_unknown_shrinkage_is_warned_of() -> None:
    """Any "fits with so much to spare" is too kind where nobody said how much it shrinks."""
    unknown = replace(bolt(960.0, 600.0), shrinkage_known=False)
    found = answer(skirt(), unknown)
    assert "No shrinkage is allowed for" in " ".join(rescue_text(found).split())
    data = rescues_to_data("skirt", [found], [""])["fabrics"][0]
    assert data["warnings"]
    known = rescue_text(answer(skirt(), bolt(960.0, 600.0)))
    assert "No shrinkage is allowed for" not in " ".join(known.split())
