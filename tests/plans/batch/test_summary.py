"""The table of a batch: what stands together in it, and that it adds up."""

from __future__ import annotations

from pathlib import Path

import pytest

from plans.batch.running import Wanted, run_batch
from plans.batch.summary import summary_data, summary_text
from plans.workers import local
from tests.plans.batch.orders import files_of, write_order, write_orders

BARE = Wanted(drawings=False)


@pytest.fixture(autouse=True)
def _one_core(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(local, "cores", lambda: 1)


def test_printed_costs_add_up(tmp_path: Path) -> None:
    """Half a metre three times costs 3 x 3.33, as printed; 3 x 3.335 would be 10.01."""
    folder = write_orders(tmp_path / "orders")
    for name in ("first", "second", "third"):
        write_order(folder, name, "110cm,price=6.67/m,step=0.5m")
    text = summary_text(run_batch(files_of(folder), tmp_path / "out", BARE))
    first, second, third, together = (
        # What the cloth is called is cut off in the narrower table, but never left out.
        line.removesuffix("planned").split() for line in text.splitlines() if "110cm,price" in line
    )  # fmt: skip
    costs = [float(row[-1]) for row in (first, second, third)]
    assert float(together[-1]) == pytest.approx(sum(costs))
    assert first[1] == "110cm,price=6.67/m,st..."


def test_what_is_on_hand_is_not_among_what_is_bought(tmp_path: Path) -> None:
    """Nothing of it is asked for in the shop, or paid for."""
    folder = write_orders(tmp_path / "orders")
    for name in ("first", "second"):
        write_order(folder, name, "110cm,price=10/m")
    write_order(folder, "third", "110cm,price=10/m", 'on_hand = { main = "2 m" }')
    text = summary_text(run_batch(files_of(folder), tmp_path / "out", BARE))
    rows = [line.split() for line in text.splitlines() if "110cm,price" in line]
    bought, taken, together = rows[0], rows[2], rows[3]
    assert bought[-4:] == ["0.5", "m", "5.00", "planned"]
    assert taken[-5:] == ["0.45", "m", "on", "hand", "planned"]
    assert together == ["110cm,price=10/m", "1", "m", "10.00"]
    again = summary_text(run_batch(files_of(folder), tmp_path / "out", BARE))
    assert "0.45 m on hand" in again


def test_all_that_is_paid_is_added_up_for_each_currency(tmp_path: Path) -> None:
    """Of two cloths and more; what has no price is said not to be in it."""
    folder = write_orders(tmp_path / "orders")
    write_order(folder, "first", "110cm,price=10 EUR/m")
    write_order(folder, "second", "112cm,price=20.01 EUR/m")
    write_order(folder, "third", "115cm,price=30 USD/m")
    outcome = run_batch(files_of(folder), tmp_path / "out", BARE)
    costs = [row["cost"] for row in summary_data(outcome.entries)["orders"]]
    assert costs == [5.0, 10.01, 15.0]  # 10.005, as a till rounds it
    rows = [line.split() for line in summary_text(outcome).splitlines() if "all cloth" in line]
    assert rows == [["all", "cloth", "15.01", "EUR"]]
    write_order(folder, "fourth", "116cm")
    text = summary_text(run_batch(files_of(folder), tmp_path / "out", BARE))
    assert "all cloth with a price" in text
