"""Match points at notches and on edges, several to a piece, and the bar that lies at the middle."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from fabrics.fabric import Fabric, Repeat
from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from layout.problem import Lattice
from layout.validation.violation import Code
from layout.validator import validate
from pieces.drafting.garment import Garment
from pieces.readers.garment_toml import check_garment, load_garment
from plans.errors import ContradictionError
from plans.folds.fold_search import screen
from plans.folds.jobs import job_for
from plans.folds.levels import level_for
from plans.folds.outcome import FoldResult
from plans.order import Order
from plans.problem.on_cloth import copy_poses

LEVEL = level_for("quick")
PITCH = 60.0

PANEL = """
[[piece]]
name = "{name}"
cut = {{ main = "{cut}" }}
drawn = "with allowance"
grain = "up"
{more}
edges = [
  {{ name = "hem", to = [{width}, 0] }},
  {{ name = "side", to = [{width}, {height}] }},
  {{ name = "top", to = [0, {height}] }},
  {{ name = "centre", to = [0, 0] }},
]
"""


def panel(name: str, width: float, height: float, cut: str = "1", more: str = "") -> str:
    return PANEL.format(name=name, cut=cut, width=width, height=height, more=more)


def written(folder: Path, *panels: str) -> Path:
    path = folder / "g.toml"
    path.write_text('title = "t"\nunits = "mm"\n' + "".join(panels), encoding="utf-8")
    return path


def garment(folder: Path, *panels: str) -> Garment:
    return load_garment(written(folder, *panels))


def cloth(axis: float | None = 400.0, along: float = PITCH, width: float = 800.0) -> Fabric:
    """Cloth of 80 cm that repeats every 6 cm both ways; its heads all point one way."""
    return replace(
        plain_fabric("80cm"), width=width, selvage=0.0, one_way=True,
        repeat=Repeat(along, PITCH, axis),
    )  # fmt: skip


def laid(made: Garment, fabric: Fabric, fold: Fold = Fold.OPEN) -> FoldResult:
    result = screen(
        job_for(Order(made, {}, gap=0.0), ("main",), fabric), fold, LEVEL.screen, LEVEL.glance
    )
    assert isinstance(result, FoldResult), result
    return result


def boxes(result: FoldResult) -> dict[str, list[tuple[float, float, float, float]]]:
    """X from, y from, x to, y to of every copy on the cloth by piece (mm)."""
    found: dict[str, list[tuple[float, float, float, float]]] = {}
    for copy in copy_poses(result.built.problem, result.layout):
        placed = result.layout.placements[copy.placement]
        item = result.built.problem.items[placed.item]
        ring = copy.outline(item, item.slots[placed.slot].shape)
        low, high = ring.min(axis=0), ring.max(axis=0)
        box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
        found.setdefault(item.key, []).append(box)
    return found


def on_folds(result: FoldResult) -> list[int]:
    """Placements that lie against a fold."""
    items = result.built.problem.items
    return [
        index
        for index, placed in enumerate(result.layout.placements)
        if items[placed.item].slots[placed.slot].fold_edge is not None
    ]


def apart(a: float, b: float, pitch: float = PITCH) -> float:
    rest = (a - b) % pitch
    return min(rest, pitch - rest)


MATCH = 'match = {{ group = "check", at = [0, 100], bar = {bar} }}'


@pytest.mark.parametrize(
    ("bar", "offset"), [('"axis"', 0.0), ('"between"', 30.0), ('"30 mm"', 30.0), ("0", 0.0)]
)
@pytest.mark.parametrize("fold", [Fold.OPEN, Fold.PARTIAL, Fold.SECTIONED])
def test_the_bar_that_is_named_lies_at_the_middle(
    tmp_path: Path, bar: str, offset: float, fold: Fold
) -> None:
    """On the fold and opened out: the middle of the front lies on it, on the cloth."""
    more = 'fold = "centre"\n' + MATCH.format(bar=bar)
    made = garment(tmp_path, panel("front", 150, 400, "1 on fold", more))
    result = laid(made, cloth(), fold)
    ((_, low, _, high),) = boxes(result)["front"]
    assert high - low == pytest.approx(300.0)
    assert apart((low + high) / 2.0, 400.0 + offset) <= 0.5
    assert validate(result.built.problem, result.layout) == []


def test_a_lengthwise_fold_off_the_bar_is_not_used(tmp_path: Path) -> None:
    """The middle of the cloth lies halfway between bars: a fold there would put another there."""
    fabric = cloth(axis=430.0)
    named = 'fold = "centre"\n' + MATCH.format(bar='"axis"')
    made = garment(tmp_path, panel("front", 150, 400, "1 on fold", named))
    result = laid(made, fabric, Fold.LENGTHWISE)
    assert on_folds(result) == []
    free = garment(
        tmp_path, panel("front", 150, 400, "1 on fold", named.replace(', bar = "axis"', ""))
    )
    on_fold = laid(free, fabric, Fold.LENGTHWISE)
    ((_, low, _, high),) = boxes(on_fold)["front"]
    assert (low + high) / 2.0 == pytest.approx(400.0)


def test_a_bar_that_a_fold_cannot_have_is_explained(tmp_path: Path) -> None:
    """A piece drawn as a half is symmetric: its middle lies on an axis or between two."""
    more = 'fold = "centre"\n' + MATCH.format(bar='"10 mm"')
    made = garment(tmp_path, panel("front", 150, 400, "1 on fold", more))
    with pytest.raises(ContradictionError, match=r"piece 'front', match.*1 cm out.*another bar"):
        laid(made, cloth())
    uneven = garment(tmp_path, panel("front", 150, 400, "1", MATCH.format(bar='"axis"')))
    with pytest.raises(ContradictionError, match="has no axis to count from"):
        laid(uneven, cloth(axis=None))


def test_the_validator_knows_the_bar(tmp_path: Path) -> None:
    """All in phase with each other and with what the lattice says, but not on the bar named."""
    made = garment(tmp_path, panel("front", 150, 400, "2 same way", MATCH.format(bar='"axis"')))
    result = laid(made, cloth())
    problem = result.built.problem
    assert validate(problem, result.layout) == []

    def off(lattice: Lattice | None) -> Lattice | None:
        if lattice is None:
            return None
        marks = tuple(replace(mark, bar=(mark.bar or 0.0) + 7.0) for mark in lattice.marks)
        return replace(lattice, marks=marks)

    items = tuple(
        replace(item, slots=tuple(replace(s, lattice=off(s.lattice)) for s in item.slots))
        for item in problem.items
    )
    found = validate(replace(problem, items=items), result.layout)
    assert {violation.code for violation in found} == {Code.PHASE}
    assert "7.0 mm off the bar named" in found[0].message


TWO = """match = [
  { group = "side", at = { edge = "side", along = "100 mm" } },
  { group = "arm", at = { edge = "side", along = "%s" } },
]"""


@pytest.mark.parametrize("along", ["330 mm", "217 mm"])
def test_points_of_several_groups_tie_their_pieces(tmp_path: Path, along: str) -> None:
    """Front to back at the side, front to sleeve at the armhole; all in phase along and across."""
    high = float(along.split()[0])
    made = garment(
        tmp_path,
        panel("front", 150, 400, "1", TWO % along),
        panel("back", 170, 390, "1", 'match = { group = "side", at = [0, 90] }'),
        panel("sleeve", 130, 370, "1", 'match = { group = "arm", at = [65, 250] }'),
    )
    found = boxes(laid(made, cloth()))
    (front,), (back,), (sleeve,) = found["front"], found["back"], found["sleeve"]
    # Grain up becomes grain along the cloth: x is the height, y runs from right to left.
    assert apart(front[0] + 100.0, back[0] + 90.0) <= 0.5
    assert apart(front[1] + 0.0, back[1] + 170.0) <= 0.5
    assert apart(front[0] + high, sleeve[0] + 250.0) <= 0.5
    assert apart(front[1] + 0.0, sleeve[1] + 65.0) <= 0.5


def test_the_validator_checks_every_point(tmp_path: Path) -> None:
    """The second point of a piece out of phase is found, though the first is in it."""
    made = garment(
        tmp_path,
        panel("front", 150, 400, "1", TWO % "330 mm"),
        panel("sleeve", 130, 370, "1", 'match = { group = "arm", at = [65, 250] }'),
    )
    result = laid(made, cloth())
    problem = result.built.problem

    def moved(lattice: Lattice | None) -> Lattice | None:
        if lattice is None or len(lattice.marks) < 2:
            return lattice
        first, second = lattice.marks
        return replace(
            lattice, marks=(first, replace(second, point=(second.point[0] + 20.0, second.point[1])))
        )

    items = tuple(
        replace(item, slots=tuple(replace(s, lattice=moved(s.lattice)) for s in item.slots))
        for item in problem.items
    )
    found = validate(replace(problem, items=items), result.layout)
    assert [violation.code for violation in found] == [Code.PHASE]
    assert "20.0 mm out of phase" in found[0].message


def test_points_that_cannot_all_match_are_explained(tmp_path: Path) -> None:
    """Two points of one group that lie no whole repeat apart; two pieces that share two groups."""
    same = TWO.replace('"arm"', '"side"') % "%s"
    made = garment(tmp_path, panel("front", 150, 400, "2 same way", same % "330 mm"))
    with pytest.raises(ContradictionError, match=r"'front'.*group 'side' would be 1 cm out"):
        laid(made, cloth())
    whole = garment(tmp_path, panel("front", 150, 400, "2 same way", same % "340 mm"))
    assert laid(whole, cloth()).length > 0.0
    both = garment(
        tmp_path,
        panel("front", 150, 400, "1", TWO % "330 mm"),
        panel("back", 150, 400, "1", TWO % "320 mm"),
    )
    with pytest.raises(ContradictionError, match=r"1 cm out, measured along the grain"):
        laid(both, cloth())


def test_points_matched_along_only_leave_the_way_across_free(tmp_path: Path) -> None:
    """Side seams of halves of different width: the bars across meet, those along need not."""
    fold = 'fold = "centre"\nmatch = { group = "side", at = [%s, 100]%s }'
    halves = [
        panel(name, width, 400, "1 on fold", fold % (width, "%s"))
        for name, width in (("front", 150), ("back", 170))
    ]
    with pytest.raises(ContradictionError, match='only = "along"'):
        laid(garment(tmp_path, *(half % "" for half in halves)), cloth())
    result = laid(garment(tmp_path, *(half % ', only = "along"' for half in halves)), cloth())
    found = boxes(result)
    assert apart(found["front"][0][0], found["back"][0][0]) <= 0.5


def test_far_sides_of_opened_out_halves_match_too(tmp_path: Path) -> None:
    """A whole has both hands: its middle lies on an axis, wherever its point is."""
    more = 'fold = "centre"\nmatch = { group = "side", at = [130, 100] }'
    made = garment(tmp_path, panel("front", 150, 400, "1 on fold", more))
    ((_, low, _, high),) = boxes(laid(made, cloth()))["front"]
    assert apart((low + high) / 2.0, 400.0, PITCH / 2.0) <= 0.5


def test_notches_and_places_on_edges_are_points(tmp_path: Path) -> None:
    """By name, by distance, at the middle; they move when the piece is shortened below them."""
    notch = 'notches = [{ name = "a", edge = "side", at = "120 mm" }]'
    notch += '\nmatch = { group = "x", at = "a" }'
    edge = 'match = { group = "x", at = { edge = "top", along = "middle" } }'
    made = garment(
        tmp_path,
        panel("front", 150, 400, "1", notch),
        panel("back", 150, 400, "1", edge),
        '\n[[piece]]\nname = "short"\nlike = "front"\ncut = { main = "1" }\n'
        'shorten = { edge = "hem", by = "20 mm" }\n',
    )
    at = {piece.name: piece.match_points[0].at for piece in made.pieces}
    assert at["front"] == pytest.approx((150.0, 120.0))
    assert at["back"] == pytest.approx((75.0, 400.0))
    assert at["short"] == pytest.approx((150.0, 140.0))


@pytest.mark.parametrize(
    ("match", "part"),
    [
        ('{ group = "x", at = "b" }', "there is no notch 'b'"),
        ('{ group = "x", at = { edge = "sid", along = "1 cm" } }', "did you mean 'side'"),
        ('{ group = "x", at = { edge = "side", along = "9 m" } }', "which is 400 mm long"),
        ('{ group = "x", at = { edge = "side" } }', "is not a place on 'side'"),
        ('{ group = "x" }', "at: is missing"),
        ("{ at = [0, 9] }", "group: is missing"),
        ('{ group = "x", at = [0, 9], bar = "dark" }', "halfway between two axes"),
        ('{ group = "x", at = [0, 9], bar = "axis", only = "along" }', "matched along only"),
        ('["x"]', "is not a match point"),
    ],
)
def test_faults_of_match_points_are_explained(tmp_path: Path, match: str, part: str) -> None:
    """With the piece and the field."""
    text = "\n".join(
        map(
            str, check_garment(written(tmp_path, panel("front", 150, 400, "2", f"match = {match}")))
        )
    )
    assert part in text
    assert "piece 'front', match" in text


def test_two_bars_for_one_group_are_refused(tmp_path: Path) -> None:
    """By the reader, before any cloth is known."""
    front = panel("front", 150, 400, "1", MATCH.format(bar='"axis"'))
    back = panel("back", 150, 400, "1", MATCH.format(bar='"between"'))
    (finding,) = check_garment(written(tmp_path, front, back))
    assert "'front' names another bar for group 'check'" in finding.message
    assert finding.piece == "back"


def test_a_half_lies_on_a_crosswise_fold_only_in_phase(tmp_path: Path) -> None:
    """Its point lies at whole repeats from the fold, or the piece is traced whole."""
    more = 'fold = "hem"\nmatch = { group = "x", at = [75, %d] }'
    fabric = replace(cloth(), one_way=False)
    for height, fits in ((120, True), (137, False)):
        made = garment(tmp_path, panel("front", 700, 400, "1 on fold", more % height))
        assert bool(on_folds(laid(made, fabric, Fold.CROSSWISE))) == fits


HALF = """
[[piece]]
name = "half"
cut = {{ main = "1 on fold" }}
drawn = "with allowance"
fold = "centre"
grain = "{grain}"
match = {{ group = "check", at = [{at}, 100] }}
edges = [
  {{ name = "hem", to = [200, 0] }},
  {{ name = "{right}", to = [200, 400] }},
  {{ name = "top", to = [0, 400] }},
  {{ name = "{left}", to = [0, 0] }},
]
"""


@pytest.mark.parametrize("fold", [Fold.LENGTHWISE, Fold.PARTIAL, Fold.DOUBLE])
@pytest.mark.parametrize("grain", ["up", "down"])
@pytest.mark.parametrize(("left", "right", "at"), [("centre", "side", 130), ("side", "centre", 70)])
def test_a_matched_half_lies_on_the_fold_however_it_is_drawn(
    tmp_path: Path, fold: Fold, grain: str, left: str, right: str, at: int
) -> None:
    """Fold drawn left or right, grain up or down: the same piece, and as good a place."""
    half = HALF.format(grain=grain, at=at, left=left, right=right)
    fabric = replace(
        plain_fabric("140cm"), repeat=Repeat(60.0, 50.0, 700.0), selvage=0.0, one_way=False
    )
    job = job_for(Order(garment(tmp_path, half), {}), ("main",), fabric)
    found = screen(job, fold, LEVEL.screen, LEVEL.glance)
    assert isinstance(found, FoldResult)
    (placed,) = found.layout.placements
    assert found.built.problem.items[placed.item].slots[placed.slot].fold_edge is not None
    assert found.is_sound
