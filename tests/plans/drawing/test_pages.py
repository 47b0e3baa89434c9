"""Tables over several pages: where they go on, and that no row stands on a page alone."""

from __future__ import annotations

import pytest

from plans.drawing.pages.paper import PAPERS, Pages, page_starts


@pytest.mark.parametrize(
    ("rows", "room", "starts"),
    [
        (5, 50.0, set()),
        (7, 50.0, {5}),
        (6, 50.0, {4}),
        (11, 50.0, {5, 9}),
        (10, 50.0, {5}),
        (3, 20.0, {2}),
        (2, 10.0, {1}),
        (0, 50.0, set()),
        (4, 5.0, {0}),
    ],
)
def test_a_table_goes_on_where_it_must_and_leaves_no_row_alone(
    rows: int, room: float, starts: set[int]
) -> None:
    """Rows of 10 mm, 50 mm a page: the last of six takes the fifth with it.

    Where that would only leave another one alone, it stands as it falls.
    """
    assert page_starts([10.0] * rows, room, 50.0) == starts


def test_a_row_as_high_as_a_page_stands_by_itself() -> None:
    """Two rows that fit no page together are not put on one."""
    assert page_starts([10.0, 10.0, 10.0, 45.0], 50.0, 50.0) == {3}


def test_pages_of_a_real_table_hold_two_rows_at_least() -> None:
    """However many rows there are, the last page of a table has more than one."""
    for count in range(20, 75):
        pages = Pages(PAPERS["a4"], "running")
        pages.new_page()
        rows = tuple((f"row {k}", "words") for k in range(count))
        pages.table(("what", "how"), rows, (1.0, 2.0))
        texts = [text.get_text() for text in pages.figures[-1].texts]
        assert sum(text.startswith("row") for text in texts) >= 2
