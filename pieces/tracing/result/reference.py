"""What a photograph is measured by: pages of marks if there are any, else sheets of paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pieces.findings import Finding, InputError
from pieces.tracing.camera.fitting import (
    CENTRE_SPREAD,
    STIFF,
    UNTRIMMED_SPREAD,
    Fit,
    fit_camera,
)
from pieces.tracing.camera.judging import judge, judge_flatness, judge_sharpness
from pieces.tracing.camera.mark_pages import MarkPages, find_pages, judge_papers
from pieces.tracing.camera.sheets import (
    SHEETS,
    Quad,
    Sheets,
    as_other_paper,
    find_sheets,
    quad_of,
)
from pieces.tracing.marks import KNOWN_MARKS
from pieces.tracing.picture.papers import Region
from pieces.tracing.picture.photo import Photo
from pieces.tracing.picture.rims import Rim
from pieces.tracing.picture.seen_marks import SeenMark, find_marks
from pieces.tracing.refusal import UntraceableError

CLEARLY = 12.0
"""By how much the misfit of one paper size must be below that of the other."""


TRIMMED = 6.0
"""By how much a picture fits better if the optical axis need not be in its middle."""


@dataclass(frozen=True)
class Reference:
    """A camera that is believed, what it was fitted to, and what is no piece because of it.

    Attributes
    ----------
    fit : Fit
    words : str
        "4 sheets of A4".
    paper : str or None
        Of what size its sheets are, by their shape; None of marks.
    regions : frozenset of int
        Indices of the papers that are references, or bear marks.
    known_marks : tuple of SeenMark
        The marks for a known length that are seen.
    """

    fit: Fit
    words: str
    paper: str | None
    regions: frozenset[int]
    known_marks: tuple[SeenMark, ...]


def find_reference(
    photo: Photo, regions: Sequence[Region], rims: Sequence[Rim], paper: str | None
) -> Reference:
    """Find it, fit the camera and judge it.

    Raises
    ------
    UntraceableError
        If there is none, or it cannot be believed.
    """
    quads = [
        quad
        for k, (rim, region) in enumerate(zip(rims, regions, strict=True))
        if (quad := quad_of(k, rim.points, region.bright)) is not None
    ]
    marks = find_marks(photo)
    marked = _with_marks(regions, marks)
    size: str | None = None
    pages = find_pages(marks, photo.size)
    if pages is not None:
        fit, words, used = _by_pages(photo, pages, quads), _count(len(pages.bodies)), marked
    else:
        plain = [quad for quad in quads if quad.region not in marked]
        fit, sheets = _by_sheets(photo, plain, paper)
        judge(fit)
        for k, body in zip(sheets.regions, fit.bodies, strict=True):
            judge_sharpness(fit, rims[k], body.name)
        count = len(sheets.bodies)
        size = sheets.paper
        words = f"{count} sheet{'s' if count > 1 else ''} of {size}"
        used = marked | frozenset(sheets.regions)
    known = tuple(mark for mark in marks if mark.number in KNOWN_MARKS)
    return Reference(fit, words, size, used, known)


def _by_pages(photo: Photo, pages: MarkPages, quads: list[Quad]) -> Fit:
    fit = fit_camera(pages.bodies, pages.guess, photo.size)
    judge(fit)
    judge_flatness(fit)
    judge_papers(fit, quads)
    return fit


def _count(pages: int) -> str:
    return f"{pages} page{'s' if pages > 1 else ''} of marks"


def _with_marks(regions: Sequence[Region], marks: Sequence[SeenMark]) -> frozenset[int]:
    """Indices of the papers that a mark lies on."""
    import cv2

    return frozenset(
        k
        for k, region in enumerate(regions)
        for mark in marks
        if cv2.pointPolygonTest(
            region.rim.astype(np.float32), (float(mark.middle[0]), float(mark.middle[1])), False
        )
        >= 0
    )


def _by_sheets(photo: Photo, quads: list[Quad], paper: str | None) -> tuple[Fit, Sheets]:
    """Fit the camera to the sheets, of the size that alone fits."""
    found = find_sheets(quads, photo.size, tuple(SHEETS))
    if not found:
        raise UntraceableError(
            "there is no sheet of A4 or Letter in it that lies flat and whole: lay four of them "
            "round the pieces, or marks of laywright print marks"
        )
    most = [sheets for sheets in found if len(sheets.bodies) == len(found[0].bodies)]
    tried = {sheets.paper: sheets for sheets in most}
    for other in SHEETS:
        if other not in tried and (taken := as_other_paper(most[0], other, photo.size)):
            tried[other] = taken
    single = len(most[0].bodies) == 1
    centre = UNTRIMMED_SPREAD if single else CENTRE_SPREAD
    fits = [
        (fit_camera(sheets.bodies, sheets.guess, photo.size, centre, STIFF), sheets)
        for sheets in tried.values()
    ]
    fits.sort(key=lambda entry: entry[0].misfit)
    best, others = fits[0], [entry for entry in fits if entry[1].paper != fits[0][1].paper]
    if others and others[0][0].misfit < best[0].misfit + CLEARLY:
        raise UntraceableError(
            "seen so obliquely, sheets of A4 and Letter look alike: hold the camera level, and lay "
            "four sheets"
        )
    if paper is None and len(best[1].bodies) == 1:
        raise InputError(
            [
                Finding(
                    photo.source, "one sheet alone does not tell of what size it is",
                    fix="say --paper a4 or --paper letter, or lay four of them",
                )
            ]
        )  # fmt: skip
    if paper is not None and best[1].paper != paper:
        raise UntraceableError(
            f"sheets of {paper} were named, but what lies there has the shape of {best[1].paper}"
        )
    if not single:
        return best
    judge(best[0])
    return _judged_alone(best[0], best[1], photo.size), best[1]


def _judged_alone(flat: Fit, sheets: Sheets, size: tuple[int, int]) -> Fit:
    """Fit the camera to one sheet, which hardly tells where the optical axis is, or how it bends.

    The stated error leaves both open.

    Raises
    ------
    UntraceableError
        If one of both is seen to be out of the usual.
    """
    open_flat = fit_camera(sheets.bodies, sheets.guess, size, bend_spread=STIFF)
    if flat.misfit > open_flat.misfit + TRIMMED:
        raise UntraceableError(
            "the sheet does not look as it does in the middle of a camera's picture: the picture "
            "was trimmed, or the sheet is bent; with four sheets a trimmed picture can be measured"
        )
    judge_flatness(fit_camera(sheets.bodies, sheets.guess, size, UNTRIMMED_SPREAD))
    return fit_camera(sheets.bodies, sheets.guess, size)
