"""Pages of marks as bodies of known size."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.camera.bodies import Body, Side
from pieces.tracing.camera.first_guess import Guess, first_guess
from pieces.tracing.camera.fitting import Fit
from pieces.tracing.camera.sheets import SHEETS, Quad, place_words
from pieces.tracing.marks import BODY_MM, MARKS_A_PAGE, PAGES, mark_corners
from pieces.tracing.picture.seen_marks import SeenMark
from pieces.tracing.refusal import Place, UntraceableError

TRUE_WITHIN = 0.25
"""Standard deviation (mm) of what the marks of a page span: printers feed paper unevenly."""

PAPER_OFF_MM = 1.5
"""Besides the stated error, by how much the paper of a page may differ from its standard size."""


@dataclass(frozen=True)
class MarkPages:
    """Pages of which all four marks are seen, as bodies, and the first guess of the camera."""

    bodies: tuple[Body, ...]
    guess: Guess


def find_pages(marks: list[SeenMark], size: tuple[int, int]) -> MarkPages | None:
    """Find the pages whose four marks are all seen.

    Raises
    ------
    UntraceableError
        If some marks of pages are seen, but of no page all four.
    """
    by_number = {mark.number: mark for mark in marks}
    bodies = []
    for page in range(PAGES):
        mine = [by_number.get(MARKS_A_PAGE * page + place) for place in range(MARKS_A_PAGE)]
        whole = [mark for mark in mine if mark is not None]
        if len(whole) == MARKS_A_PAGE:
            bodies.append(_body(whole, size))
    partly = [mark for mark in marks if mark.number < PAGES * MARKS_A_PAGE]
    if not bodies:
        if len(partly) >= 2:
            raise UntraceableError(
                "no page of marks has all its four marks in sight: lay it flat and whole into the "
                "picture",
                tuple(Place(_spot(mark.middle), "mark") for mark in partly),
            )
        return None
    guess = first_guess(np.asarray(bodies[0].ring), bodies[0].corners, size)
    return None if guess is None else MarkPages(tuple(bodies), guess)


def judge_papers(fit: Fit, quads: list[Quad]) -> None:
    """Refuse marks that were not printed at full size: the paper that they are on tells it.

    Raises
    ------
    UntraceableError
    """
    from shapely.geometry import Point as Spot
    from shapely.geometry import Polygon

    for body in fit.bodies:
        middle = Spot(*body.corners.mean(axis=0))
        for quad in quads:
            if not Polygon(quad.corners).contains(middle):
                continue
            floor = fit.to_floor(quad.corners)
            sides = np.hypot(*(np.roll(floor, -1, axis=0) - floor).T)
            wide, high = sorted([(sides[0] + sides[2]) / 2.0, (sides[1] + sides[3]) / 2.0])
            off = min(max(abs(wide - w), abs(high - h)) for w, h in SHEETS.values())
            if off > PAPER_OFF_MM + 0.003 * high:
                raise UntraceableError(
                    f"{body.name} measures {wide:.0f} x {high:.0f} mm by its marks, which is "
                    "neither A4 nor Letter: the marks were not printed at 100 %, or on other paper",
                    (Place(_spot(quad.corners.mean(axis=0)), f"{wide:.0f} x {high:.0f} mm"),),
                )


def _body(marks: list[SeenMark], size: tuple[int, int]) -> Body:
    sides = []
    for place, mark in enumerate(marks):
        corners = mark_corners(place)
        for k in range(4):
            # Clockwise round the black: the white is to the left.
            sides.append(Side(corners[k], corners[(k + 1) % 4], mark.sides[k], bright_left=True))
    outer = np.array([marks[0].corners[3], marks[1].corners[2], marks[2].corners[1],
                      marks[3].corners[0]])  # fmt: skip
    wide, high = BODY_MM
    ring = ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))
    name = f"the page of marks {place_words(outer.mean(axis=0), size)}"
    return Body(name, tuple(sides), outer, ring, TRUE_WITHIN)


def _spot(spot: FloatArray) -> tuple[float, float]:
    return float(spot[0]), float(spot[1])
