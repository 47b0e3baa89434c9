"""Errors on their way to another process: with their words, and with all that they carry."""

from __future__ import annotations

import pickle

import pytest

from layout.errors import ProblemError
from layout.fit import NoLayoutError, Why
from layout.validation.violation import Code, Violation
from layout.validator import InvalidLayoutError
from pieces.findings import Finding, InputError
from plans.page.asking import AskedError, SeveralWrongError

ERRORS = (
    InputError([Finding("a.toml", "is missing", field="name"), Finding("a.toml", "is odd")]),
    ProblemError("front", "slots[1]", "lies nowhere"),
    NoLayoutError(Why.TOO_WIDE, "front", "A", 900.0, 800.0),
    InvalidLayoutError([Violation(Code.GAP, "too near", (0, 1))]),
    AskedError("gap", "is no length"),
    SeveralWrongError([AskedError("gap", "is no length"), AskedError("ends", "is too much")]),
)


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: type(error).__name__)
def test_an_error_comes_out_as_it_went_in(error: Exception) -> None:
    """Its class, its words and its fields; its faults, which are errors themselves, by words."""
    found = pickle.loads(pickle.dumps(error))
    assert type(found) is type(error)
    assert str(found) == str(error)
    assert found.__dict__.keys() == error.__dict__.keys()
    assert repr(found.__dict__) == repr(error.__dict__)
