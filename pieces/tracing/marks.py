"""Pages of machine-readable marks: what is printed, and what is looked for in a picture.

The marks are those of the ArUco dictionary of 4 x 4 cells (Garrido-Jurado, Munoz-Salinas,
Madrid-Cuevas, Marin-Jimenez, Automatic generation and detection of highly reliable fiducial
markers, Pattern Recognition 47, 2014); a frame of one black cell goes round them.
"""

from __future__ import annotations

from pieces.geometry_types import Point, Ring

BITS = (
    0xB532, 0x0F9A, 0x332D, 0x9946, 0x549E, 0x79CD, 0x9E2E, 0xC4F2, 0xFEDA, 0xCF56, 0xF991,
    0x11A7, 0x0EB7, 0x2A0F, 0x24B1, 0x263E, 0x4665, 0x6600,
)  # fmt: skip
"""The inner cells of marks 0 to 17, row by row from the upper left; 1 is white."""

CELLS = 4
MARK_MM = 60.0
"""Side of a mark on a page, its black frame included."""

BODY_MM = (170.0, 235.0)
"""Width and height of what the four marks of a page span; it is in the middle of A4 or Letter."""

PAGES = 4
MARKS_A_PAGE = 4

KNOWN_MARKS = (16, 17)
"""Two marks to cut out and lay at a distance that a tape tells."""

KNOWN_MARK_MM = 50.0


def mark_corners(place: int) -> tuple[Point, Point, Point, Point]:
    """Corners of a mark on its page, mm from the lower left corner of what the four span.

    In the order upper left, upper right, lower right, lower left, as seen with the mark upright.

    Parameters
    ----------
    place : int
        0 lower left, 1 lower right, 2 upper right, 3 upper left.
    """
    x = 0.0 if place in (0, 3) else BODY_MM[0] - MARK_MM
    y = 0.0 if place in (0, 1) else BODY_MM[1] - MARK_MM
    top, right = y + MARK_MM, x + MARK_MM
    return (x, top), (right, top), (right, y), (x, y)


def white_cells(mark: int, side: float) -> list[Ring]:
    """Rectangles (mm from the mark's lower left corner) that are white in a black mark.

    Cells side by side are one rectangle, so that no hair line is between them.
    """
    cell = side / (CELLS + 2)
    found: list[Ring] = []
    for row in range(CELLS):
        bits = [BITS[mark] >> (15 - CELLS * row - k) & 1 for k in range(CELLS)]
        top = side - cell * (row + 1)
        start = None
        for k, bit in enumerate([*bits, 0]):
            if bit and start is None:
                start = k
            elif not bit and start is not None:
                x1, x2 = cell * (start + 1), cell * (k + 1)
                found.append(((x1, top - cell), (x2, top - cell), (x2, top), (x1, top)))
                start = None
    return found
