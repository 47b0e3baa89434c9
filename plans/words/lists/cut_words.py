"""A cut that was recorded, or undone, in words."""

from __future__ import annotations

from fabrics.stash.records import CutRecord, LeftoverRecord
from pieces.lengths import System
from plans.words.columns import cloth_length
from plans.words.lists.stash_tables import stash_text


def recorded_text(
    record: CutRecord, rest: dict[str, float], left: list[LeftoverRecord], system: System
) -> str:
    """Say what a cut changed; `rest` is the length (mm) that is left on each bolt, by tag."""
    lines = [f"cut {record.number}: {record.garment} is recorded, and the plan is kept"]
    lines += [f"  {line}" for line in taken_lines(record, rest, system)]
    if not left:
        return "\n".join([*lines, "  nothing left that is worth keeping"]) + "\n"
    lines += ["  write these tags on what is left:", "", stash_text([], left, system)]
    return "\n".join(lines)


def taken_lines(record: CutRecord, rest: dict[str, float], system: System) -> list[str]:
    """Say what a cut takes off bolts and which leftovers it uses; `rest` as in `recorded_text`."""
    lines = [
        f"{cloth_length(length, system)} off {tag}, "
        f"{cloth_length(rest.get(tag, 0.0), system)} left on it"
        for tag, length in record.taken
    ]
    if record.used:
        lines.append(f"leftovers cut up: {', '.join(record.used)}")
    return lines


def undone_text(record: CutRecord, system: System) -> str:
    """Say what undoing a cut brought back."""
    facts = [f"{cloth_length(length, system)} back on {tag}" for tag, length in record.taken]
    facts += [f"{tag} out" for tag in record.left] + [f"{tag} back" for tag in record.used]
    return f"cut {record.number} is undone: {', '.join(facts) or 'nothing had changed'}"
