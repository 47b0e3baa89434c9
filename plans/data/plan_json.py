"""A plan as versioned JSON, and back. Lengths in mm, cloth coordinates of the washed cloth.

The names at the top and under `fabrics` are fixed, so that others can check a plan; what else
`show` needs to draw it again stands under `details`.
"""

from __future__ import annotations

from typing import Any

from layout.effort import LEAST_MEMBERS, MOST_MEMBERS
from pieces.files.json_file import MOST_FINDINGS, Fields, shown
from pieces.files.kinds import (
    FLAG,
    LONG_TEXTS,
    PLAIN,
    TEXT,
    TEXTS,
    FigureError,
    always,
    each,
    whole,
)
from pieces.files.record import WHOLE, Entry, Record
from pieces.findings import Finding
from plans.data.fabric_plan_data import FABRIC_PLAN
from plans.data.leftover_data import CUT, SAVING
from plans.errors import PlanError
from plans.plan import Plan, PlannedGarment

FORMAT = "laywright-plan"
VERSION = 1

MOST_MAKES = 100_000


class PlanFileError(PlanError):
    """A file that is no plan of this format and version; the message says what is wrong."""


PLANNED = Record(PlannedGarment, (Entry("name", TEXT), Entry("count", whole(1, MOST_MAKES))))

PLAN = Record(
    Plan,
    (
        Entry("format", always(FORMAT), WHOLE, told=True),
        Entry("version", always(VERSION), WHOLE, told=True),
        Entry("garment", TEXT),
        Entry("title", TEXT),
        Entry("makes", whole(1, MOST_MAKES)),
        Entry("complete", FLAG, told=True),
        Entry("missing_roles", TEXTS),
        Entry("cautions", LONG_TEXTS),
        Entry("fabrics", each(FABRIC_PLAN)),
        Entry("on_leftovers", each(CUT), older=()),
        Entry("savings", each(SAVING), older=()),
        Entry("members", whole(1, MOST_MEMBERS), older=LEAST_MEMBERS, spared=True),
        Entry("garments", each(PLANNED), older=(), spared=True),
        Entry("asked", PLAIN, older=None, spared=True),
    ),
)


def plan_to_json(plan: Plan) -> dict[str, Any]:
    """Turn a plan into plain data for JSON; PlanFileError for a figure that is none."""
    try:
        return PLAN.write(plan)
    except FigureError as error:
        raise PlanFileError(f"{error} of a plan") from error


def plan_from_json(data: Any, file: str = "the plan") -> Plan:
    """Read a plan back from plain data.

    Parameters
    ----------
    data : object
        What the JSON holds.
    file : str
        Its name, for messages.

    Raises
    ------
    PlanFileError
        If it is no plan, of a later version, or damaged: with every field that is missing or
        wrong.
    """
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise PlanFileError(f'{file}: is no plan: its format is not "{FORMAT}"')
    version = data.get("version")
    if isinstance(version, bool) or version != VERSION:
        raise PlanFileError(
            f"{file}: is a plan of version {shown(version)}; this program reads version {VERSION}"
        )
    findings: list[Finding] = []
    plan = PLAN.read(Fields(data, file, findings))
    if findings:
        # The file's name stands before all of them.
        listed = "\n".join(f"  {str(finding).removeprefix(f'{file}, ')}" for finding in findings)
        more = "\n  and more" if len(findings) >= MOST_FINDINGS else ""
        raise PlanFileError(f"{file}: is a damaged plan; plan again, or mend it:\n{listed}{more}")
    return plan
