"""What a walk along the seams of a garment leaves to ask."""

from __future__ import annotations

from pieces.drafting.garment import Garment
from pieces.readers.questions import Question
from pieces.seams.mismatch import Mismatch
from pieces.seams.walk import compare_shorter, walk


def seam_questions(
    garment: Garment, seam_fields: list[str], shorter_fields: list[str]
) -> list[Question]:
    """List what does not meet, each at the field of the file that declares it."""
    found: list[Question] = []
    for field, walked in zip(seam_fields, walk(garment), strict=True):
        found += [_question(field, each) for each in (walked.mismatches if walked else ())]
    for field, mismatch in zip(shorter_fields, compare_shorter(garment), strict=True):
        if mismatch is not None:
            found.append(_question(field, mismatch))
    return [*found, *_never_cut(garment, seam_fields)]


def _question(field: str, mismatch: Mismatch) -> Question:
    return Question(None, field, mismatch.message, mismatch.fix)


def _never_cut(garment: Garment, fields: list[str]) -> list[Question]:
    """Pieces that are sewn but that no role cuts: their label is not complete."""
    uncut = {piece.name for piece in garment.pieces if not piece.cuts}
    asked: dict[str, Question] = {}
    for field, seam in zip(fields, garment.seams, strict=True):
        for edge in (edge for side in seam.sides for edge in side.edges):
            if edge.piece in uncut:
                asked.setdefault(
                    edge.piece,
                    Question(
                        edge.piece,
                        "cut",
                        f"it is sewn ({field}), but cut from nothing; is that meant?",
                        'write cut = { base = "2" }',
                    ),
                )
    return list(asked.values())
