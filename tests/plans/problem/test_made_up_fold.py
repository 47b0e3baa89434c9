"""A kind of fold that nobody knows but its own class is planned, drawn, told, written and read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from matplotlib.figure import Figure

from fabrics.fold_words import taught_name
from fabrics.folds import fold as fold_room
from fabrics.folds.fold import Depths, Spread
from fabrics.folds.lengthwise import FoldAlong
from fabrics.plain import plain_fabric
from fabrics.spread import Faces, Fold, make_spread
from pieces.lengths import System, format_length
from plans.answer.planner import plan_garment
from plans.data.plan_json import plan_from_json, plan_to_json
from plans.drawing.fold_sketch import draw_fold_sketch
from plans.drawing.picture import LayPicture
from plans.order import Order
from plans.plan import Plan
from plans.words.facts import fold_rows
from plans.words.key_figures import key_figures
from tests.plans.rectangles import project, rectangle


class ByAThird(FoldAlong):
    """One selvage laid upon half of what is left: a third lies single."""

    __slots__ = ()

    value = "third"
    taught = "fold by a third"
    rank = 0
    strips = 3
    note = "A third of the width lies double, a third single."

    def depths(self, width: float, d1: float | None, d2: float | None) -> Depths:
        """A third of the width."""
        return width / 3.0, 0.0

    def how(self, spread: Spread, system: System) -> str:
        """How deep."""
        return f"Fold one selvage in by a third, {format_length(spread.d1, system)}."


class Uneven(FoldAlong):
    """Two unequal flaps, an eighth at one side and a quarter at the other."""

    __slots__ = ()

    value = "uneven"
    taught = "two unequal flaps"
    rank = 0
    strips = 4

    def depths(self, width: float, d1: float | None, d2: float | None) -> Depths:
        """An eighth and a quarter of the width."""
        return width / 8.0, width / 4.0

    def how(self, spread: Spread, system: System) -> str:
        """How deep on either side."""
        right, left = (format_length(depth, system) for depth in (spread.d1, spread.d2))
        return f"Fold the right selvage in by {right} and the left one by {left}."


@pytest.fixture(params=[ByAThird, Uneven])
def made_up(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Fold:
    """A kind of fold that is known for one test."""
    monkeypatch.setattr(fold_room, "KNOWN", dict(fold_room.KNOWN))
    return Fold.add(request.param)


def planned(fold: str) -> Plan:
    """A quick plan of a few rectangles on plain cloth."""
    pieces = (
        rectangle("side", 24.0, 11.0, 4),
        rectangle("band", 12.0, 4.0, 6),
        rectangle("flap", 6.0, 5.0, 1),
    )
    cloth = {"cloth": plain_fabric("140cm")}
    return plan_garment(Order(garment=project(*pieces), cloth=cloth, fold=fold, effort="quick"))


def test_it_is_known_while_it_is_added(made_up: Fold) -> None:
    """By its name, among all, and as one object."""
    assert Fold.named(made_up.value) is made_up
    assert list(Fold)[-1] is made_up
    assert Fold.add(type(made_up)) is made_up


def test_it_is_forgotten_again() -> None:
    """Kinds of other tests are not known here."""
    with pytest.raises(ValueError, match="open, lengthwise"):
        Fold.named("third")


def test_a_class_without_all_of_a_fold_is_refused() -> None:
    """It is told when it is added, not when cloth is folded so."""

    class Half(FoldAlong):
        value = "half a fold"

    with pytest.raises(TypeError, match="depths"):
        Fold.add(Half)  # type: ignore[type-abstract]  # mypy sees it as well
    assert "half a fold" not in fold_room.KNOWN


@pytest.mark.parametrize("faces", Faces)
def test_its_spread_is_made(made_up: Fold, faces: Faces) -> None:
    """Zones of one and of two plies, a fold edge for each flap."""
    spread = make_spread(made_up, 1500.0, 15.0, faces=faces)
    assert {len(zone.plies) for zone in spread.zones} == {1, 2}
    assert len(spread.fold_edges) == len(spread.plies) - 1
    usable = sum(zone.height * len(zone.plies) for zone in spread.zones)
    # A selvage of a flap covers as much of the ply below.
    lost = 15.0 * 2 * len(spread.fold_edges) + 15.0 * (2 - len(spread.fold_edges))
    assert usable == pytest.approx(1500.0 - lost)


def test_it_is_planned_validated_drawn_and_told(made_up: Fold, tmp_path: Path) -> None:
    """Nothing but the class itself knows of it, and all that a plan gives is there."""
    entry = planned(made_up.value).fabrics[0]
    assert entry.fold is made_up
    assert any(len(placed.copies) == 2 for placed in entry.placements)
    assert entry.sections[0].how == made_up.how(entry.sections[0].spread, System.METRIC)
    assert key_figures(entry, System.METRIC).fold == made_up.taught
    assert fold_rows(entry, System.METRIC)[0][0] == taught_name(made_up)
    assert not made_up.note or made_up.note in entry.notes
    picture = tmp_path / "lay.png"
    LayPicture(entry).write_png(picture, System.METRIC)
    assert picture.read_bytes().startswith(b"\x89PNG")


def test_its_sketch_measures_its_flaps(made_up: Fold) -> None:
    """Each flap with its depth, and what lies single."""
    section = planned(made_up.value).fabrics[0].sections[0]
    axes = Figure().add_subplot()
    draw_fold_sketch(axes, section, System.METRIC)
    drawn = " ".join(text.get_text().replace("\u00a0", " ") for text in axes.texts)
    spread = section.spread
    for depth in (spread.d1, spread.d2):
        assert depth == 0.0 or format_length(depth, System.METRIC) in drawn
    single = spread.lay_height - spread.d1 - spread.d2
    assert f"single layer {format_length(single, System.METRIC)}" in drawn


def test_it_is_written_and_read_back_equal(made_up: Fold) -> None:
    """As JSON, under its own name."""
    plan = planned(made_up.value)
    data = json.loads(json.dumps(plan_to_json(plan)))
    assert data["fabrics"][0]["fold"] == made_up.value
    read = plan_from_json(data, "plan.json")
    assert plan_to_json(read) == plan_to_json(plan)
    assert read.fabrics[0].fold is made_up


def test_auto_weighs_it_with_all_others(made_up: Fold) -> None:
    """It stands in the plan's list of folds."""
    entry = planned("auto").fabrics[0]
    assert {entry.fold, *(report.fold for report in entry.other_folds)} == set(Fold)
