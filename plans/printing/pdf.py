"""Pages bound to one PDF that asks to be printed at its true size."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from plans.drawing.writing import saving
from plans.printing.arranging import Arranged
from plans.printing.joint_marks import joint_places
from plans.printing.map_page import draw_map
from plans.printing.media import Medium
from plans.printing.pages import draw_tile
from plans.printing.tiles import joints_of

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def pdf_bytes(arranged: Arranged, paper: Medium) -> bytes:
    """Return the PDF: the map first, then every page."""
    return bound(_figures(arranged, paper), arranged.sheet.title)


def bound(figures: Iterable[Figure], title: str) -> bytes:
    """Bind pages to a PDF that asks to be printed at its true size.

    The viewer preference PrintScaling is None (ISO 32000-1, table 150), so that a print dialogue
    begins with the true size.
    """
    import matplotlib as mpl
    from matplotlib.backends.backend_pdf import PdfPages

    pages = io.BytesIO()
    # A simplified path would no longer be the piece.
    with (
        mpl.rc_context({"path.simplify": False}),
        saving(),
        PdfPages(pages, metadata={"Title": title}) as pdf,
    ):
        for figure in figures:
            pdf.savefig(figure)
    return _at_true_size(pages.getvalue())


def _figures(arranged: Arranged, paper: Medium) -> Iterator[Figure]:
    yield draw_map(arranged, paper)
    joints = joints_of(arranged.tiles)
    places = joint_places(joints, arranged.sheet)
    count = len(arranged.tiles)
    for tile in arranged.tiles:
        yield draw_tile(arranged.sheet, arranged.medium, tile, joints, places, count)


def _at_true_size(content: bytes) -> bytes:
    from pypdf import PdfReader, PdfWriter
    from pypdf.generic import NameObject

    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(content)))
    preferences = writer.create_viewer_preferences()
    preferences[NameObject("/PrintScaling")] = NameObject("/None")
    bound = io.BytesIO()
    writer.write(bound)
    return bound.getvalue()
