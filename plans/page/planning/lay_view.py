"""The lays of a plan as drawings in which a piece can be chosen, with what is said of each."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from fabrics.fold_words import taught_name
from pieces.lengths import System, format_length
from plans.drawing.fills import told_by_fill
from plans.drawing.lay_picture import LayPicture, Line, leftover_picture, section_picture
from plans.plan import FabricPlan, LeftoverCut
from plans.words.at_table.steps import PieceStep, Spreading, leftover_steps, section_steps
from plans.words.piece_names import counted


@dataclass(frozen=True)
class ShownPiece:
    """A piece that can be chosen: its step, the id of its outline, and the class of its fill."""

    step: PieceStep
    ident: str
    fill: int
    face_down: bool
    upper_only: bool


@dataclass(frozen=True)
class ShownLay:
    """One lay: its drawing, what it is in words, how it is spread, and its pieces.

    `svg` is markup of ours, in which every name is escaped.
    """

    key: str
    title: str
    words: str
    svg: Markup
    spread: Spreading
    pieces: tuple[ShownPiece, ...]

    @property
    def legend(self) -> str:
        """What marks on outlines mean: only those that occur."""
        parts = []
        if any(piece.face_down for piece in self.pieces):
            parts.append("Hatched: printed side of the paper down.")
        if any(piece.upper_only for piece in self.pieces):
            parts.append("Dotted outline: cut through the upper ply only.")
        return " ".join(parts)


def lays_of(entry: FabricPlan, key: str, system: System) -> tuple[ShownLay, ...]:
    """Every section of a fabric that carries something."""
    told = told_by_fill(entry)
    lays = []
    for index, section in enumerate(entry.sections):
        if section.extent <= 0.0:
            continue
        drawn = section_picture(entry, index, f"{key}{index}")
        placed = {one.number: one for one in entry.placements if one.section == index}
        marks = {
            number: _marks(drawn, number, one.grain, drawn.measured(one))
            for number, one in placed.items()
        }
        part = f", section {section.name}" if entry.has_several_lays else ""
        words = (
            f"{entry.fabric.title}{part}, {taught_name(section.spread.fold)}: "
            f"{counted(len(placed))} on {format_length(section.lay_length, system)} of lay. "
            "The list of pieces tells where each lies"
        )
        steps = section_steps(entry, index, system)
        pieces = tuple(
            ShownPiece(
                step, f"{drawn.key}-{step.number}",
                _fill(told, placed[step.number].whose, placed[step.number].role),
                placed[step.number].face_down, placed[step.number].upper_only,
            )
            for step in steps.pieces
        )  # fmt: skip
        title = f"Section {section.name}" if entry.has_several_lays else ""
        svg = drawn.whole(words, "".join(marks.values()))
        lays.append(ShownLay(drawn.key, title, words, Markup(svg), steps, pieces))
    return tuple(lays)


def leftover_lay(cut: LeftoverCut, key: str, system: System) -> ShownLay:
    """What is cut from one leftover."""
    drawn = leftover_picture(cut, key)
    steps = leftover_steps(cut, system)
    marks = [
        _marks(drawn, one.number, one.grain, drawn.measured_on_leftover(one)) for one in cut.copies
    ]
    copies = {one.number: one for one in cut.copies}
    pieces = tuple(
        ShownPiece(step, f"{drawn.key}-{step.number}", 0, copies[step.number].face_down, False)
        for step in steps.pieces
    )
    words = f"Leftover {cut.tag}: {counted(len(cut.copies))}"
    return ShownLay(drawn.key, "", words, Markup(drawn.whole(words, "".join(marks))), steps, pieces)


def _marks(drawn: LayPicture, number: int, arrow: Line, measured: tuple[Line, ...]) -> str:
    """Arrow and measured lines of a piece, shown only while it is chosen."""
    return f'<g class="marks" id="{drawn.key}-{number}m">{drawn.marks(arrow, measured)}</g>'


def _fill(told: tuple[str, ...], whose: object, role: str) -> int:
    """Number of a piece's fill, by what fills tell apart."""
    garment = getattr(whose, "garment", "")
    name = garment if garment in told else role
    return told.index(name) if name in told else 0
