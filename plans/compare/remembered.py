"""What is remembered of a result as plain data, and back: enough to build and judge it anew."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from fabrics.spread import Fold
from layout.layout import EndedBy, Layout, Placement
from layout.problem import Pose
from pieces.files.json_file import LONGEST_MM, Fields
from pieces.files.kinds import EXACT, FLAG, LONG_TEXT, TEXT, choice, each, whole
from pieces.files.record import Entry, Kind, Record, taken_out
from pieces.findings import Finding
from plans.compare.rebuild import SectionSpec, rebuilt
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldFailure, FoldResult, Outcome

PLACE = EXACT.number(-LONGEST_MM)

SECTION: Record[SectionSpec] = Record(
    lambda **values: tuple(values.values()),
    (
        Entry("name", TEXT),
        Entry("fold", choice(Fold), "spread.fold"),
        Entry("d1", PLACE, "spread.d1"),
        Entry("d2", PLACE, "spread.d2"),
        Entry("fold_at", PLACE),
    ),
)

PLACEMENT = Record(
    Placement,
    (
        Entry("item", whole()),
        Entry("slot", whole()),
        Entry("angle_deg", EXACT.number(-360.0, 360.0), "pose.angle_deg"),
        Entry("flip", FLAG, "pose.flip"),
        Entry("x", PLACE),
        Entry("y", PLACE),
    ),
    lambda _, values: {"pose": Pose(**taken_out(values, "pose")), **values},
)


@dataclass(frozen=True)
class Remembered:
    """What a result was: sections, joins, pairs cut at once, and where everything lies."""

    sections: tuple[SectionSpec, ...]
    parts: dict[str, int]
    pairing: tuple[int, ...]
    layout: Layout
    rival: Remembered | None

    def on(self, job: FabricJob, fold: Fold) -> FoldResult | None:
        """Lay it again on the cloth of a job; None unless the validator finds it sound."""
        variant = rebuilt(job, fold, self.sections, self.parts, self.pairing)
        result = None if variant is None else variant.laid_if_sound(job, self.layout)
        if result is None or self.rival is None:
            return result
        rival = self.rival.on(job, fold)
        return None if rival is None else replace(result, rival=rival)


def _whole_numbers(data: Fields, name: str) -> tuple[int, ...]:
    values = data.items(name)
    if not all(type(value) is int for value in values):
        data.fault(name, "are no whole numbers")
        return ()
    return tuple(values)


def _put_together(data: Fields, values: dict[str, Any]) -> dict[str, Any]:
    """The layout has an extent for each section."""
    extents = values["layout.extents"]
    layout = Layout(values["layout.placements"], extents, values["layout.ended_by"])
    if len(extents) != len(values["sections"]):
        data.fault("extents", "are not those of the sections")
    return {
        "sections": values["sections"],
        "parts": values["joined"],
        "pairing": values["built.pairing"],
        "layout": layout,
        "rival": values["rival"],
    }


def _parts(data: Fields, name: str) -> dict[str, int]:
    inner = data.fields(name)
    return {key: inner.whole(key, 1) for key in inner.data}


RESULT: Record[Remembered] = Record(
    Remembered,
    (
        Entry("sections", each(SECTION, 1)),
        Entry("parts", Kind(_parts, lambda joined: {key: n for key, n, _ in joined}), "joined"),
        Entry("pairing", Kind(_whole_numbers, list), "built.pairing"),
        Entry("placements", each(PLACEMENT), "layout.placements"),
        Entry("extents", EXACT.numbers, "layout.extents"),
        Entry("ended_by", choice(EndedBy), "layout.ended_by"),
        Entry("rival", Kind(
            lambda data, name: RESULT.read(data.fields(name)) if data.data.get(name) else None,
            lambda rival: None if rival is None else RESULT.write(rival),
        )),
    ),
    _put_together,
)  # fmt: skip

FAILURE = Record(
    FoldFailure,
    (Entry("reason", LONG_TEXT), Entry("contradiction", FLAG)),
)


def outcome_to_data(outcome: Outcome) -> dict[str, Any]:
    """Return what is remembered of an outcome."""
    return (FAILURE if isinstance(outcome, FoldFailure) else RESULT).write(outcome)


def outcome_from_data(job: FabricJob, fold: Fold, data: Any) -> Outcome | None:
    """Build an outcome again on the cloth of its job; None if anything is wrong with it."""
    findings: list[Finding] = []
    fields = Fields(data, "", findings)
    if "reason" in fields:
        values = FAILURE.values(fields)
        return None if findings else FoldFailure(fold, **values)
    remembered = RESULT.read(fields)
    return None if findings else remembered.on(job, fold)
