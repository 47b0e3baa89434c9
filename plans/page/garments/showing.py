"""One garment: its pieces, what is cut from what, what `check` says, its file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from pieces.drafting.garment import Garment
from pieces.drafting.summary import garment_summary
from pieces.files.text_file import read_bytes, read_text
from pieces.findings import Finding
from pieces.lengths import System
from pieces.piece import Piece
from pieces.seams.summary import seam_summary
from plans.drawing.garment.light import LightPicture, piece_picture
from plans.page.garments import drafts
from plans.page.garments.judging import judged
from plans.page.garments.shelf import Kept, address, finding_words, kept_garment, loaded
from plans.page.rendering import handed_over, page
from plans.page.settings import figures_in, units


@dataclass(frozen=True)
class Shown:
    """A piece with its picture."""

    piece: Piece
    picture: LightPicture
    like: str
    draft: str


def garment(request: Request) -> Response:
    """Show one garment."""
    kept = kept_garment(str(request.path_params["name"]))
    found, findings = loaded(kept)
    fatal = [finding_words(finding) for finding in findings if finding.fatal]
    asked = _asked(kept, found, findings, units(request))
    questions = [finding_words(finding) for finding in asked if not finding.fatal]
    told = None if found is None else replace(found, unit=figures_in(found.unit, units(request)))
    return page(
        request,
        "garment.html",
        found.title if found is not None else kept.name,
        here="garments",
        scripts=["garments.js"],
        name=kept.name,
        own=kept.own,
        file=str(kept.path),
        where=address(kept.name),
        plan=f"/new/plan?garment-1={quote(kept.name, safe='')}",
        garment=found,
        shown=_shown(found, request) if found is not None else [],
        said=garment_summary(told) if told is not None and told.pieces else [],
        seams=seam_summary(told) if told is not None else [],
        fatal=fatal,
        questions=questions,
        typed_on=kept.own and kept.name in drafts.draft_names(),
    )


def _asked(
    kept: Kept, garment: Garment | None, findings: Sequence[Finding], system: System
) -> Sequence[Finding]:
    """The questions about a garment with their figures in a person's units."""
    if not findings or garment is None or figures_in(garment.unit, system) == garment.unit:
        return findings
    return judged(drafts.data_of(read_text(kept.path)), kept.name, system=system)[1]


def _shown(garment: Garment, request: Request) -> list[Shown]:
    system = units(request)
    like = {draft.name: draft.like for draft in garment.drafts}
    return [
        Shown(
            piece,
            piece_picture(piece, system),
            like.get(piece.name, ""),
            address(garment.name, f"draft?piece={quote(piece.name, safe='')}"),
        )
        for piece in garment.pieces
    ]


def file(request: Request) -> Response:
    """Hand out the garment file as it is."""
    kept = kept_garment(str(request.path_params["name"]))
    content = read_bytes(kept.path, "a garment file")
    return handed_over(content, "application/toml", kept.path.name)


ROUTES = [Route("/garments/{name}", garment), Route("/garments/{name}/file", file)]
