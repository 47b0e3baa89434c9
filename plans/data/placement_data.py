"""What lies on a lay as plain data for a plan's JSON, and back."""

from __future__ import annotations

from typing import Any

from fabrics.folds.ply_name import PlyName
from fabrics.lay_edges import EdgeName
from layout.hand import Hand
from pieces.files.json_file import Fields
from pieces.files.kinds import FLAG, TEXT, WORKED_OUT, choice, each, whole
from pieces.files.record import WHOLE, Entry, Kind, Record
from pieces.piece import MatchPoint
from plans.data.leftover_data import SIDE, WHOSE
from plans.plan import Copy, PinPoint, PlacedPiece

PLIES = {ply.value: ply for ply in PlyName}
EDGES = {edge.value: edge for edge in EdgeName}


def _plies(data: Fields, name: str) -> tuple[PlyName, ...]:
    words = data.texts(name, 1)
    for word in words:
        if word not in PLIES:
            data.fault(name, f"'{word}' is no ply of this fold", f"one of {', '.join(PLIES)}")
    return tuple(PLIES[word] for word in words if word in PLIES)


def _pairs(data: Fields, name: str) -> tuple[tuple[float, float], ...]:
    """Two pairs of distances, mm."""
    found = []
    for k, value in enumerate(data.items(name, 2, 2)):
        pair = Fields(
            dict(zip(("0", "1"), value, strict=False)) if isinstance(value, list) else value,
            data.file, data.findings, f"{data.path(name)}[{k}]", data.line,
        )  # fmt: skip
        found.append((pair.number("0"), pair.number("1")))
    return tuple(found)


def _edges(data: Fields, name: str) -> tuple[EdgeName, ...]:
    """Names of the edges that the two ends of the arrow are measured from."""
    words = data.texts(name)
    if len(words) != 2:
        data.fault(name, "is no pair of names", "one for each end of the arrow")
    unknown = [word for word in words if word not in EDGES]
    for word in unknown:
        data.fault(name, f"'{word}' is no edge of a lay", f"one of {', '.join(EDGES)}")
    return tuple(EDGES[word] for word in words if word in EDGES)


def _checked(data: Fields, values: dict[str, Any]) -> dict[str, Any]:
    """Every copy is cut from a ply that its piece is cut through; pins have their edges."""
    plies = values["plies"]
    for k, copy in enumerate(values["copies"] if data.sound("plies") else ()):
        name = f"copies[{k}].ply"
        if copy.ply not in plies and data.sound(name):
            data.fault(
                name, f"'{copy.ply.value}' is none that its piece is cut through",
                ", ".join(ply.value for ply in plies),
            )  # fmt: skip
    edges = values.pop("pin_edges")
    pins = [
        PinPoint(from_end, from_edge, edge)
        for (from_end, from_edge), edge in zip(values["pins"], edges, strict=False)
    ]
    pins += [PinPoint(0.0, 0.0, EdgeName.FOLD)] * (2 - len(pins))
    return values | {"pins": tuple(pins)}


def _present(data: dict[str, Any]) -> dict[str, Any]:
    """Earlier plans told by a note how a piece is cut, and named one edge for both pins."""
    note = data.get("note", "")
    told = note if isinstance(note, str) else ""
    data.setdefault("upper_only", "upper ply only" in told)
    data.setdefault("opened", "opened out" in told)
    if "pin_edge" in data:
        data.setdefault("pin_edges", [data["pin_edge"]] * 2)
    return data


COPY = Record(
    Copy,
    (
        Entry("outline", WORKED_OUT.ring),
        Entry("hand", choice(Hand)),
        Entry("ply", choice(PlyName)),
        Entry("heading_deg", WORKED_OUT.number(-360.0, 360.0)),
        SIDE,
    ),
)

MATCH = Record(MatchPoint, (Entry("group", TEXT), Entry("at", WORKED_OUT.point)))

PLACEMENT = Record(
    PlacedPiece,
    (
        Entry("piece", TEXT),
        Entry("plies", Kind(_plies, lambda plies: [ply.value for ply in plies])),
        Entry("copies", each(COPY, 1)),
        Entry("number", whole(1)),
        Entry("role", TEXT),
        Entry("label", TEXT),
        Entry("section", whole()),
        Entry("lay_outline", WORKED_OUT.ring, "outline"),
        Entry("lay_grain", WORKED_OUT.line, "grain"),
        Entry("face_down", FLAG),
        Entry("on_fold", FLAG),
        Entry("fold_edge", WORKED_OUT.optional_line),
        Entry("upper_only", FLAG),
        Entry("opened", FLAG),
        Entry("pins", Kind(_pairs, lambda pins: [
            [WORKED_OUT.figure(pin.from_end), WORKED_OUT.figure(pin.from_edge)] for pin in pins
        ])),
        Entry("pin_edges", Kind(_edges, lambda placed: [p.edge.value for p in placed.pins]), WHOLE),
        Entry("match", each(MATCH), older=()),
        WHOSE,
        Entry("by_hand", FLAG, older=False, spared=True),
    ),
    _checked,
    _present,
)  # fmt: skip
