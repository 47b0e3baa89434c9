"""What is written as TOML is read back as it was, whatever the names and texts hold."""

from __future__ import annotations

import tomllib

from hypothesis import given
from hypothesis import strategies as st

from pieces.files.toml_text import WIDTH, toml_text

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
NUMBERS = st.integers(-(10**6), 10**6) | st.floats(-1e6, 1e6)
POINTS = st.lists(NUMBERS, min_size=2, max_size=2)
VALUES = st.recursive(
    TEXTS | NUMBERS | st.booleans() | st.lists(POINTS, max_size=40),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
    max_leaves=12,
)
TABLES = st.dictionaries(TEXTS, VALUES, max_size=5)
SIZES = st.dictionaries(TEXTS, TABLES, min_size=1, max_size=3)


@given(TABLES, st.lists(TABLES, min_size=1, max_size=3), SIZES)
def test_everything_is_read_back(
    head: dict[str, object], pieces: list[dict[str, object]], sizes: dict[str, object]
) -> None:
    data = {**head, "piece": [*pieces, {"name": "x", "sizes": sizes}]}
    assert tomllib.loads(toml_text(data, "A comment\nof two lines")) == data


def test_long_lists_are_broken_into_lines_that_can_be_read() -> None:
    points = [[k / 7, k * 11.5] for k in range(60)]
    text = toml_text({"piece": [{"edges": [{"name": "a", "to": points}, {"name": "b", "to": []}]}]})
    assert max(map(len, text.splitlines())) <= WIDTH
    assert tomllib.loads(text)["piece"][0]["edges"][0]["to"] == points
