"""`laywright plan --prove`: a proof where OR-tools is there, and how to get it where it is not."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from layout.bounds.proving.arranged import has_prover
from plans.cli.plan import command

SKIRT = [
    "wrap-skirt", "--cloth", "main=demo-linen", "--fold", "open", "--effort", "quick", "--json",
]  # fmt: skip


def test_without_the_extra_it_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Before anything is planned."""
    monkeypatch.setattr("layout.bounds.proving.arranged.has_prover", lambda: False)
    result = CliRunner().invoke(command, [*SKIRT, "--prove", "5"])
    assert result.exit_code == 2
    assert "pip install 'laywright[proof]'" in result.output


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
    found = []
    for more in ([], ["--prove", "0.5"]):
        result = CliRunner().invoke(command, [*SKIRT, *more])
        assert result.exit_code == 0, result.output
        found.append(json.loads(result.stdout)["fabrics"][0])
    assert found[1]["bound_mm"] >= found[0]["bound_mm"] - 0.5
    assert found[1]["bound_mm"] <= found[1]["length_mm"]
    assert found[1]["placements"] == found[0]["placements"]
