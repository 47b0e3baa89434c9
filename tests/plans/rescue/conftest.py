"""Layouts of rectangles are found at once; searching on is tested where it is meant."""

from __future__ import annotations

import pytest

from plans.rescue import trial


@pytest.fixture(autouse=True)
def no_long_search(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
    """Leave out the longer search, but for tests marked for it."""
    if "searches_on" not in request.fixturenames:
        monkeypatch.setattr(trial, "MOST_COPIES", 0)


@pytest.fixture
def searches_on() -> None:
    """Search on, as the program does."""
