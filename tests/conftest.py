"""Hypothesis profiles: the suite draws the same examples every time; LAYWRIGHT_EXPLORE=1 others."""

from __future__ import annotations

import os
import sys

# Hundreds of programs are started here; each would compile our modules anew.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

# Two processes share two cores: threads of theirs that wait for each other cost more than they do.
# Set before numpy and OpenCV are loaded, for the processes that tests start as well.
os.environ.update(OPENBLAS_NUM_THREADS="1", OPENCV_FOR_THREADS_NUM="1")

import pytest
from hypothesis import settings

from tests.browser import browser
from tests.plans import demo

__all__ = ["browser"]

sys.dont_write_bytecode = False

# The shelf of whoever runs the tests is not looked at.
os.environ["LAYWRIGHT_SHELF"] = os.path.join(os.path.dirname(__file__), "no-shelf")

settings.register_profile("suite", derandomize=True, deadline=None)
settings.register_profile("explore", max_examples=1000, deadline=None)
settings.load_profile("explore" if os.environ.get("LAYWRIGHT_EXPLORE") else "suite")


@pytest.fixture(scope="session", autouse=True)
def shared_plans(tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> None:
    """Plans of the demo garments are made once for all processes of a run."""
    if hasattr(request.config, "workerinput"):
        folder = tmp_path_factory.getbasetemp().parent / "demo-plans"
        folder.mkdir(exist_ok=True)
        demo.SHARED.append(folder)
