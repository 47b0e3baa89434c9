"""`laywright plan --prove`: places ruled out, and more where OR-tools is there."""

from __future__ import annotations

import json
from typing import Any

import pytest
from click.testing import CliRunner

from layout.bounds.proving.arranged import has_prover
from plans.cli.plan import command

SKIRT = ("wrap-skirt", "--cloth", "main=demo-linen", "--fold", "open", "--effort", "quick")
TROUSERS = ("trousers", "--cloth", "main=demo-linen", "--fold", "lengthwise", "--effort", "quick")


def planned(*given: str) -> dict[str, Any]:
    """The one fabric of a plan."""
    result = CliRunner().invoke(command, [*given, "--json"])
    assert result.exit_code == 0, result.output
    entry: dict[str, Any] = json.loads(result.stdout)["fabrics"][0]
    return entry


@pytest.fixture
def without_prover(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("layout.bounds.proving.arranged.has_prover", lambda: False)


@pytest.mark.usefixtures("without_prover")
def test_two_legs_are_proved_to_need_their_length() -> None:
    """Without OR-tools: in 2026 the shortest layout that any search found was 1461 mm, and 30."""
    before, after = planned(*TROUSERS), planned(*TROUSERS, "--prove", "20")
    assert before["bound_mm"] < 1300.0
    assert 1461.0 + 30.0 - 3.0 < after["bound_mm"] <= 1461.5 + 30.0
    assert after["bound_kind"] == "places ruled out"
    assert {share["piece"] for share in after["bound_pieces"]} >= {"front leg", "back leg"}
    assert after["placements"] == before["placements"]


def test_no_time_is_no_proof() -> None:
    """Seconds are more than nothing."""
    result = CliRunner().invoke(command, [*SKIRT, "--prove", "0"])
    assert result.exit_code == 2
    assert "--prove" in result.output


@pytest.mark.skipif(
    not has_prover(), reason="OR-tools is not installed: pip install 'laywright[proof]'"
)
def test_a_proof_is_never_worse_than_what_is_known_without() -> None:
    """However little time there is."""
    before, after = planned(*SKIRT), planned(*SKIRT, "--prove", "0.5")
    assert after["bound_mm"] >= before["bound_mm"] - 0.5
    assert after["bound_mm"] <= after["length_mm"]
    assert after["placements"] == before["placements"]
