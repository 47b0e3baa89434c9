"""From one photograph to its pieces, or a refusal that says what would help."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np

from pieces.geometry_types import FloatArray, Point
from pieces.tracing.camera.fitting import Fit
from pieces.tracing.camera.judging import checks, judge_sharpness, widest_pixel
from pieces.tracing.camera.lengths import length_errors
from pieces.tracing.camera.sheets import place_words
from pieces.tracing.outlines.edges import outline_of
from pieces.tracing.outlines.touching import inward_pairs
from pieces.tracing.outlines.traced import Outline
from pieces.tracing.picture.arrows import find_arrow
from pieces.tracing.picture.colours import colour_of, unlike_others
from pieces.tracing.picture.papers import LOOKED_AT, Region, find_papers
from pieces.tracing.picture.photo import Photo
from pieces.tracing.picture.rims import Rim, fine_rim, resampled
from pieces.tracing.picture.seams import seam_seen
from pieces.tracing.refusal import Place, UntraceableError
from pieces.tracing.result.known_length import check_known
from pieces.tracing.result.reference import find_reference
from pieces.tracing.result.sizes import rectangle
from pieces.tracing.result.traced_photo import TracedPhoto, TracedPiece

LEAST_PIECE_MM = 15.0
"""What is narrower is a scrap, not a piece."""


def trace_photo(
    photo: Photo, paper: str | None = None, first: int = 1, known: float | None = None
) -> TracedPhoto:
    """Trace a photograph.

    Parameters
    ----------
    photo : Photo
    paper : str, optional
        What the sheets are, "A4" or "Letter"; told by their shape unless named.
    first : int
        Number of the first piece.
    known : float, optional
        A length (mm) between two marks or crosses in the picture, as a check.

    Raises
    ------
    UntraceableError
        If nothing in it can be measured so that its error can be stated.
    """
    regions = find_papers(photo)
    _none_cut_off(photo, regions)
    reach = 3.0 + 2.0 * max(photo.size) / LOOKED_AT
    rims = [fine_rim(photo, region.rim, reach) for region in regions]
    found = find_reference(photo, regions, rims, paper)
    fit = found.fit
    strips: frozenset[int] = frozenset()
    check = None
    if known is not None:
        check, strips = check_known(photo, found, rims, known)
    upright = _upright(fit, photo)
    pieces: list[TracedPiece] = []
    for k, rim in enumerate(rims):
        if k in found.regions | strips:
            continue
        piece = _piece(photo, fit, rim, upright, first + len(pieces))
        if piece is not None:
            pieces.append(piece)
    if not pieces:
        raise UntraceableError("there is no paper in it besides what it is measured by")
    unlike = unlike_others(
        [colour_of(photo, piece.seen) for piece in pieces],
        [colour_of(photo, body.corners) for body in fit.bodies],
    )
    pieces = [replace(p, unlike=odd) for p, odd in zip(pieces, unlike, strict=True)]
    return TracedPhoto(
        photo, found.words, found.paper, tuple(body.corners for body in fit.bodies),
        tuple(checks(fit)), fit.lens.tilt(fit.numbers),
        _metre_error(fit, [piece.seen for piece in pieces]), check, tuple(pieces),
    )  # fmt: skip


def _none_cut_off(photo: Photo, regions: list[Region]) -> None:
    cut = [region for region in regions if region.cut_off]
    if cut:
        where = place_words(np.asarray(cut[0].middle), photo.size)
        raise UntraceableError(
            f"paper {where} runs out of the picture; step back, or take it out of the picture",
            tuple(Place(region.middle, "cut off") for region in cut),
        )


def _upright(fit: Fit, photo: Photo) -> FloatArray:
    """Rotation of the floor that makes the picture's right and up those of the pieces."""
    middle = (np.asarray(photo.size, dtype=float) - 1.0) / 2.0
    a, b = fit.to_floor(np.array([middle, middle + np.array([10.0, 0.0])]))
    angle = np.arctan2(*(b - a)[::-1])
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[c, s], [-s, c]])


def _piece(
    photo: Photo, fit: Fit, rim: Rim, upright: FloatArray, number: int
) -> TracedPiece | None:
    floor = fit.to_floor(rim.points) @ upright.T
    x, y = floor.T
    seen = rim.points
    if float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) < 0.0:
        floor, seen = floor[::-1], seen[::-1]
    length, width = rectangle(floor)
    if width < LEAST_PIECE_MM:
        return None
    pixel = widest_pixel(fit, seen, f"piece {number}")
    error = max(_longest_error(fit, floor, seen), pixel)
    judge_sharpness(fit, rim, f"piece {number}", error)
    line = resampled(floor - floor.min(axis=0), 1.0)
    _none_touch(photo, line, floor - floor.min(axis=0), seen, number)
    outline = outline_of(line)
    # The outline has its lower left at 0, 0, its corners counted in.
    low = floor.min(axis=0) + (line - outline.line)[0]
    spots = [
        _spots_of(outline, k, floor - floor.min(axis=0), seen) for k in range(len(outline.edges))
    ]
    arrow = find_arrow(photo, rim.points)
    return TracedPiece(
        number, outline, length, width, error, seen, tuple(spots),
        None if arrow is None else _pair((fit.to_floor(arrow) @ upright.T - low).round(1) + 0.0),
        None if arrow is None else _pair(arrow),
    )  # fmt: skip


def _none_touch(
    photo: Photo, line: FloatArray, floor: FloatArray, seen: FloatArray, number: int
) -> None:
    """Refuse a rim that goes round papers that touch."""
    for a, b, sure in inward_pairs(line):
        spots = [seen[np.hypot(*(floor - line[i]).T).argmin()] for i in (a, b)]
        if sure or seam_seen(photo, *spots):
            x, y = (spots[0] + spots[1]) / 2.0
            raise UntraceableError(
                f"piece {number} looks like papers that touch or overlap, or is no paper: lay "
                "papers a finger's width apart, and take a hand or a tool out of the picture",
                (Place((float(x), float(y)), "papers touch"),),
            )


def _pair(ends: FloatArray) -> tuple[Point, Point]:
    (x1, y1), (x2, y2) = ends
    return (float(x1), float(y1)), (float(x2), float(y2))


def _spots_of(
    outline: Outline, index: int, floor: FloatArray, seen: FloatArray
) -> tuple[Point, Point, Point]:
    """Where (px) an edge starts, has its middle, and ends."""
    points = np.asarray(outline.edges[index].drawn.points)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    spots = []
    for part in (0.0, 0.5, 1.0):
        spot = [np.interp(part * along[-1], along, points[:, k]) for k in (0, 1)]
        x, y = seen[np.hypot(*(floor - spot).T).argmin()]
        spots.append((float(x), float(y)))
    return spots[0], spots[1], spots[2]


def _longest_error(fit: Fit, floor: FloatArray, seen: FloatArray) -> float:
    """Stated error of the longest measures of a piece, whichever is the least sure."""
    few = np.unique(np.linspace(0, len(floor) - 1, 48).astype(int))
    pairs = np.array(list(itertools.combinations(few, 2)))
    apart = np.hypot(*(floor[pairs[:, 0]] - floor[pairs[:, 1]]).T)
    chosen = pairs[np.argsort(apart)[-60:]]
    return float(length_errors(fit, seen[chosen[:, 0]], seen[chosen[:, 1]]).max())


def _metre_error(fit: Fit, rims: list[FloatArray]) -> float:
    """Stated error of the longest distance between pieces, scaled to a metre."""
    spots = np.vstack([rim[:: max(1, len(rim) // 12)] for rim in rims])
    floor = fit.to_floor(spots)
    pairs = np.array(list(itertools.combinations(range(len(spots)), 2)))
    apart = np.hypot(*(floor[pairs[:, 0]] - floor[pairs[:, 1]]).T)
    chosen = pairs[np.argsort(apart)[-60:]]
    errors = length_errors(fit, spots[chosen[:, 0]], spots[chosen[:, 1]])
    return float((errors / np.sort(apart)[-60:]).max() * 1000.0)
