"""Each idea saves what it saves by hand: joins, folds, gaps, hems, seams, other cloth, fewer."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from fabrics.spread import Fold
from layout.effort import Effort
from layout.layout import EndedBy
from pieces.drafting.garment import Garment
from pieces.lengths import System
from pieces.piece import Cut, CutKind, Joining, Turns
from pieces.readers.garment_toml import load_garment
from plans.answer.planner import plan_garment
from plans.errors import FaultError
from plans.folds.fold_search import screen
from plans.folds.outcome import FoldResult, Variant
from plans.order import Order
from plans.rescue import trial as trials
from plans.rescue.changes.change import Attempt, Intrusion
from plans.rescue.changes.ideas import ideas_for
from plans.rescue.changes.laying import OtherArrangement, OtherFold, SmallerEnds, SmallerGap
from plans.rescue.changes.recutting import CentreSeam, FromOtherCloth, JoinedInTwo
from plans.rescue.changes.shortening import Shortened, shortenings
from plans.rescue.trial import best_of
from plans.rescue.words import idea_line
from tests.plans.rectangles import project
from tests.plans.rescue.short import answer, bolt, mm, only, shortage, told


def skirt(band: float = 690.0) -> Garment:
    """Two panels of 60 x 40 cm, and a waistband 8 cm wide; on cloth 96 cm wide all lie abreast."""
    return project(mm("panel", 600.0, 400.0, 2), mm("waistband", band, 80.0))


def test_a_waistband_in_two_saves_what_it_is_too_long() -> None:
    """It is 9 cm longer than the panels; halves of 35.5 cm lie beside them on 60 cm."""
    found = answer(skirt(), bolt(960.0, 600.0))
    assert found.shortage.missing == pytest.approx(90.0)
    joined = told(found, "'waistband' in two")
    assert joined.fits
    assert found.before - joined.needed == pytest.approx(90.0)
    assert "1 cm of allowance" in idea_line(found, joined)
    assert "fits with 0 cm to spare (tight: cut straight)" in idea_line(found, joined)


def test_a_join_that_is_not_enough_says_what_is_still_missing() -> None:
    """3 cm less cloth: the panels themselves are too long."""
    found = answer(skirt(), bolt(960.0, 570.0))
    joined = told(found, "'waistband' in two")
    assert not joined.fits
    assert "saves 9 cm, still 3 cm short" in idea_line(found, joined)


def test_short_wide_folded_and_joinable_pieces_are_not_joined_as_strips() -> None:
    """Only long rectangles whose joins the garment file does not speak of."""
    strip = replace(mm("strip", 690.0, 80.0), strip=(690.0, 80.0), joining=Joining(200.0, 10.0))
    one = shortage(
        project(mm("panel", 600.0, 400.0, 2), mm("cuff", 200.0, 50.0), mm("yoke", 500.0, 300.0),
                strip, mm("band", 700.0, 60.0)),
        bolt(960.0, 500.0),
    )  # fmt: skip
    joined = [i.steps[0].key for i in ideas_for(one) if isinstance(i.steps[0], JoinedInTwo)]
    assert joined == ["band"]


@pytest.mark.parametrize("turns", [Turns.ALONG, Turns.ACROSS, Turns.BIAS])
def test_halves_keep_the_grain_of_the_strip(turns: Turns) -> None:
    """A strip across the grain is halved across it; a bias strip has slanting joins."""
    from plans.rescue.changes.reshaping import in_two

    size = (600.0, 60.0) if turns is not Turns.ACROSS else (60.0, 600.0)
    strip = replace(mm("strip", *size, 2), turns=turns)
    if turns is Turns.BIAS:
        strip = replace(strip, strip=size)
    one = shortage(project(strip, mm("panel", 700.0, 400.0)), bolt(960.0, 300.0))
    (demand,) = (demand for demand in one.job.demands if demand.key == "strip")
    parts = in_two(demand, 10.0)
    assert [part.name for part in parts] == ["strip part 1 of 2", "strip part 2 of 2"]
    assert {part.turns for part in parts} == {turns}
    assert [(part.cuts[0].count, part.joining) for part in parts] == [(2, None)] * 2
    xs, ys = zip(*parts[0].outline, strict=True)
    spans = (max(xs) - min(xs), max(ys) - min(ys))
    slant = 60.0 if turns is Turns.BIAS else 0.0
    expected = (310.0 + slant, 60.0) if turns is not Turns.ACROSS else (60.0, 310.0)
    assert spans == pytest.approx(expected)
    (x1, y1), (x2, y2) = parts[0].grain
    assert y1 == pytest.approx(y2)
    assert x2 > x1


def test_another_fold_is_offered_only_where_one_was_asked_for() -> None:
    """Crosswise two panels lie on each other; open they lie abreast."""
    garment = project(mm("panel", 600.0, 400.0, 2))
    found = answer(garment, bolt(840.0, 700.0), fold="crosswise")
    line = told(found, "single layer instead of crosswise fold")
    assert line.fits
    assert line.fold is Fold.OPEN
    assert line.needed == pytest.approx(600.0)
    assert line.idea.intrusion is Intrusion.NOTHING
    assert "[--fold open]" in idea_line(found, line)
    auto = shortage(garment, bolt(840.0, 500.0))
    assert not [i for i in ideas_for(auto) if "instead of" in i.steps[0].words(System.METRIC)]


def test_a_smaller_gap_is_the_greatest_that_fits() -> None:
    """Three rows with two gaps: at 3 mm they take 60.6, at 1 mm 60.2, at 0 just 60 cm."""
    garment = project(mm("panel", 200.0, 400.0, 3))
    near, line = only(garment, bolt(500.0, 603.0), SmallerGap, gap=3.0)
    assert "pieces 1 mm apart instead of 3 mm" in idea_line(near, line)
    assert line.fits
    assert line.needed == pytest.approx(602.0, abs=0.1)
    assert "[--gap 1mm]" in idea_line(near, line)
    edge, line = only(garment, bolt(500.0, 600.0), SmallerGap, gap=3.0)
    assert "edge to edge" in idea_line(edge, line)
    assert line.fits
    assert line.needed == pytest.approx(600.0)


def test_ends_and_margin_are_given_up_before_the_garment_is_touched() -> None:
    """60 cm with 3 cm of ends and 2 cm of margin need 65 cm."""
    garment = project(mm("panel", 600.0, 400.0, 2))
    found = answer(garment, bolt(840.0, 630.0), ends=30.0, margin=20.0)
    assert told(found, "squaring off with 1 cm").needed == pytest.approx(630.0)
    assert told(found, "without the safety margin of 2 cm").needed == pytest.approx(630.0)
    assert {trial.idea.intrusion for trial in found.fitting} == {Intrusion.NOTHING}


HEMMED = """
units = "cm"
[[piece]]
name = "front"
cut = { cloth = "2" }
drawn = "net"
allowance = 0
grain = "up"
edges = [
  { name = "hem", to = [40, 0] },
  { name = "side", to = [40, 60] },
  { name = "waist", to = [0, 60] },
  { name = "middle", to = [0, 0] },
]
[[piece]]
name = "back"
like = "front"
cut = { cloth = "2" }
[[piece]]
name = "bag"
cut = { cloth = "1" }
drawn = "with allowance"
grain = "up"
edges = [
  { name = "bottom", to = [10, 0] },
  { name = "flank", to = [10, 20] },
  { name = "mouth", to = [0, 20] },
  { name = "other flank", to = [0, 0] },
]
"""


def hemmed(tmp_path: Path, text: str = HEMMED) -> Garment:
    path = tmp_path / "skirt.toml"
    path.write_text(text, encoding="utf-8")
    return load_garment(path)


def test_shortening_is_the_least_that_makes_it_fit(tmp_path: Path) -> None:
    """Two rows of 60 cm on 116 cm: 2 cm off each make 2 x 58 = 116 cm."""
    found, line = only(hemmed(tmp_path), bolt(920.0, 1160.0), Shortened)
    assert line.changes[0].words(System.METRIC) == "'front' and 'back' 2 cm shorter at the hem"
    assert line.fits
    assert line.needed == pytest.approx(1160.0)
    assert 'shorten = { edge = "hem", by = "2 cm" }' in idea_line(found, line)
    found, line = only(hemmed(tmp_path), bolt(920.0, 1159.0), Shortened)
    assert "2.5 cm shorter" in idea_line(found, line)
    assert line.needed == pytest.approx(1150.0)


def test_shortening_goes_in_quarter_inches_where_inches_are_shown(tmp_path: Path) -> None:
    """4 cm are missing on two rows: 2 cm each, which is 13/16 in: 1 in is the next quarter."""
    found, line = only(hemmed(tmp_path), bolt(920.0, 1160.0), Shortened, system=System.IMPERIAL)
    assert "'front' and 'back' 1 in shorter at the hem" in idea_line(found, line)
    assert line.needed == pytest.approx(2 * (600.0 - 25.4))


def test_nothing_loses_more_than_a_tenth_of_its_length(tmp_path: Path) -> None:
    """At 6 cm it ends, and says what is still missing of the 20 cm."""
    found, line = only(hemmed(tmp_path), bolt(920.0, 1000.0), Shortened)
    assert "'front' and 'back' 6 cm shorter at the hem" in idea_line(found, line)
    assert not line.fits
    assert "saves 12 cm, still 8 cm short" in idea_line(found, line)


def test_pieces_sewn_together_beside_the_hem_lose_the_same(tmp_path: Path) -> None:
    """A back drafted by itself, whose side seam meets the front's, goes with it; a bag does not."""
    front = HEMMED.split("[[piece]]")[1].split("\n", 2)[2]
    text = HEMMED.replace('like = "front"\ncut = { cloth = "2" }\n', front)
    text = text.replace('"bottom"', '"hem"')
    one = shortage(hemmed(tmp_path, text), bolt(920.0, 1000.0))
    families = shortenings(one.job, one.order.garment.drafts, System.METRIC)
    names = [[draft.name for draft in steps[0].drafts] for steps in families]
    assert names == [["front", "back"], ["bag"]]
    assert [len(steps) for steps in families] == [12, 4]


def test_a_facing_from_another_cloth_says_what_it_takes_there() -> None:
    """Without the facing 60 cm are enough; it takes 30 cm of a like cloth."""
    garment = project(mm("panel", 600.0, 400.0, 2), mm("facing", 300.0, 400.0, 2))
    found, line = only(garment, bolt(820.0, 700.0), FromOtherCloth)
    assert "'facing' from another cloth" in idea_line(found, line)
    assert line.fits
    assert line.needed == pytest.approx(600.0)
    assert line.elsewhere == pytest.approx(300.0)
    assert "there it takes 30 cm of the same width" in idea_line(found, line)
    offered = [i.steps[0] for i in ideas_for(found.shortage)]
    assert [c.key for c in offered if isinstance(c, FromOtherCloth)] == ["facing"]


def test_a_centre_seam_is_named_as_a_change_of_the_garment() -> None:
    """Three backs of 60 cm on 93 cm: one a row; their six halves of 31 cm lie three abreast."""
    back = replace(
        mm("back", 600.0, 300.0), fold=((0.0, 0.0), (600.0, 0.0)),
        cuts=(Cut("cloth", CutKind.FOLD, 3),),
    )  # fmt: skip
    found, line = only(project(back), bolt(930.0, 1300.0), CentreSeam)
    assert found.shortage.missing == pytest.approx(500.0)
    assert "'back' with a seam down the middle" in idea_line(found, line)
    assert line.fits
    assert line.needed == pytest.approx(1200.0)
    assert "1 cm of allowance added" in idea_line(found, line)
    assert line.idea.intrusion.heading == "A seam down the middle changes the garment"


def test_fewer_of_several_is_the_last_resort() -> None:
    """Three panels two abreast take 1.2 m; on 70 cm lie two."""
    garment = project(mm("panel", 600.0, 400.0))
    found = answer(garment, bolt(840.0, 700.0), makes=3)
    line = told(found, "2 instead of 3 of the garment")
    assert line.fits
    assert "[--makes 2]" in idea_line(found, line)
    assert found.trials[-1] == line


def test_strips_that_may_be_joined_are_tried_in_more_parts() -> None:
    """In three at most where there is cloth enough; short cloth is met by four without an idea."""
    strip = replace(mm("strip", 900.0, 80.0), strip=(900.0, 80.0), joining=Joining(200.0, 0.0))
    # Four parts of 22.5 cm abreast beside the panel; three of 30 cm would be longer than it.
    cloth = {"cloth": bolt(960.0, 225.0)}
    garment = project(mm("panel", 225.0, 640.0), strip)
    entry = plan_garment(Order(garment, cloth, effort="quick", gap=0.0, ends=0.0)).fabrics[0]
    assert len([placed for placed in entry.placements if placed.piece.startswith("strip")]) == 4
    assert entry.length == pytest.approx(225.0)


def test_a_layout_that_the_validator_refuses_never_leaves(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is a fault of ours, as everywhere."""
    one = shortage(skirt(), bolt(960.0, 600.0))
    monkeypatch.setattr(Variant, "is_sound", lambda self, layout: False)
    with pytest.raises(FaultError, match="refused"):
        best_of(Attempt(one.job, (Fold.OPEN,)))


def test_a_search_that_was_stopped_stops_everything(monkeypatch: pytest.MonkeyPatch) -> None:
    """The solver keeps what it has on Ctrl-C; here that ends the trial."""
    one = shortage(skirt(), bolt(960.0, 600.0))
    whole = screen(one.job, Fold.OPEN, Effort.QUICK, Effort.GLANCE)
    assert isinstance(whole, FoldResult)
    stopped = replace(whole, layout=whole.layout.with_ending(EndedBy.INTERRUPT))
    monkeypatch.setattr(trials, "screen", lambda *args: stopped)
    with pytest.raises(KeyboardInterrupt):
        best_of(Attempt(one.job, (Fold.OPEN,)))


def test_of_other_arrangements_only_the_best_is_told() -> None:
    """They differ by a seed that says nothing to a person."""
    found = answer(skirt(), bolt(960.0, 600.0))
    seeds = [t for t in found.trials if isinstance(t.changes[0], OtherArrangement)]
    assert len(seeds) <= 1


def test_a_layout_that_is_known_is_never_beaten_by_a_longer_one() -> None:
    """What changes only ends, gap or nap starts from the layout that the plan found."""
    one = shortage(skirt(), bolt(960.0, 600.0), ends=30.0)
    assert one.best.length == pytest.approx(690.0)
    # Crosswise a strip takes twice its length, so that the search finds nothing as short.
    start = Attempt(one.job, (Fold.CROSSWISE,), known=one.best)
    ends = SmallerEnds(10.0, 30.0).applied(start)
    assert best_of(ends) is one.best
    shorter = OtherFold(Fold.CROSSWISE, Fold.OPEN).applied(start)
    assert best_of(shorter) is not one.best
