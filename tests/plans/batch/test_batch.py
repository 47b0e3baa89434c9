"""A batch: every order planned as by itself, done ones skipped, nothing lost however it ends."""

from __future__ import annotations

import errno
import os
import shutil
import signal
import subprocess
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest

import plans.outputs.folder
from pieces.findings import InputError
from pieces.lengths import System, format_purchase
from plans.batch import running
from plans.batch.answer import Answer, OrderTask, State, answer_order
from plans.batch.found import Reader, look_into
from plans.batch.records import NAME, Records
from plans.batch.running import Entry, OnStep, Outcome, Wanted, run_batch
from plans.batch.summary import summary_csv, summary_data, summary_text
from plans.data.plan_json import plan_to_json
from plans.orders.planning import plan_order_file
from plans.outputs.folder import FolderError, read_plan
from plans.workers import local
from tests.plans.batch.orders import files_of, write_order, write_orders

ROOT = Path(__file__).parents[3]
BARE = Wanted(drawings=False)


@pytest.fixture(autouse=True)
def _one_core(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing here needs more; what does says so."""
    monkeypatch.setattr(local, "cores", lambda: 1)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_orders(tmp_path / "orders", first="90cm", second="110cm", third="140cm")


def states(entries: tuple[Entry, ...]) -> list[tuple[str, str, bool]]:
    return [(entry.name, entry.answer.state.value, entry.before) for entry in entries]


def ran(
    orders: tuple[Path, ...], out: Path, wanted: Wanted, on_step: OnStep | None = None
) -> tuple[tuple[Entry, ...], bool]:
    outcome = run_batch(orders, out, wanted, on_step=on_step)
    return outcome.entries, outcome.interrupted


def refuse(task: OrderTask) -> Answer:
    raise AssertionError(f"planned again: {task.order.cloth}")


def test_each_order_is_planned_as_by_itself(folder: Path, tmp_path: Path) -> None:
    """The plan of each is that of `laywright plan`; the table tells its figures."""
    out = tmp_path / "out"
    entries, interrupted = ran(files_of(folder), out, BARE)
    assert not interrupted
    assert [state for _, state, _ in states(entries)] == ["planned"] * 3
    for path, entry in zip(files_of(folder), entries, strict=True):
        alone = plan_order_file(path, folder=out / path.stem)
        assert plan_to_json(read_plan(out / path.stem)) == plan_to_json(alone)
        (cloth,), (fabric,) = entry.answer.cloths, alone.fabrics
        assert (cloth.buy, cloth.length) == (fabric.purchase.bought, fabric.length)
    rows = summary_data(entries)["orders"]
    assert [row["cloth"] for row in rows] == ["90cm", "110cm", "140cm"]
    assert len(summary_csv(entries).splitlines()) == 4
    assert summary_text(Outcome(entries, False)).endswith("3 orders: planned 3.\n")


def test_drawings_come_along(folder: Path, tmp_path: Path) -> None:
    """The same files as `laywright plan` writes, unless only the JSON is wanted."""
    out = tmp_path / "out"
    run_batch(files_of(folder)[:1], out, Wanted())
    assert sorted(path.suffix for path in (out / "first").iterdir()) == [
        ".html", ".json", ".pdf", ".png", ".svg",
    ]  # fmt: skip
    run_batch(files_of(folder)[:1], out, BARE)
    assert [path.name for path in (out / "first").iterdir()] == ["plan.json"]


def test_what_is_done_is_skipped_and_what_changed_is_not(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The order, its garment, how it is searched, and whether its plan still stands: all count."""
    out = tmp_path / "out"
    first, _ = ran(files_of(folder), out, BARE)
    done: list[str] = []

    def telling(task: OrderTask) -> Answer:
        done.append(task.order.cloth["main"].name)
        return answer_order(task)

    monkeypatch.setattr(running, "answer_order", refuse)
    again, _ = ran(files_of(folder), out, BARE)
    assert again == tuple(replace(entry, before=True) for entry in first)
    assert "planned, as before" in summary_text(Outcome(again, False))
    monkeypatch.setattr(running, "answer_order", telling)
    write_order(folder, "second", "120cm")
    with (out / "third" / "plan.json").open("a") as file:
        file.write("\n")
    entries, _ = ran(files_of(folder), out, BARE)
    assert done == ["120cm", "140cm"]
    assert [entry.before for entry in entries] == [True, False, False]
    shutil.rmtree(out / "first")
    run_batch(files_of(folder), out, BARE)
    assert done[2:] == ["90cm"]
    garment = folder / "garments" / "cushion.toml"
    garment.write_text(garment.read_text().replace("42", "43"))
    run_batch(files_of(folder), out, BARE)
    assert len(done) == 6
    run_batch(files_of(folder), out, replace(BARE, members=1))
    assert len(done) == 9


def test_a_faulty_order_stops_no_other(folder: Path, tmp_path: Path) -> None:
    """Each says what is wrong with it; a plan that is there is known to be of an earlier order."""
    out = tmp_path / "out"
    run_batch(files_of(folder), out, BARE)
    (folder / "broken.toml").write_text('cloth = { main = "')
    write_order(folder, "lost", "no-such-cloth")
    write_order(folder, "narrow", "20cm")
    write_order(folder, "second", "110cm", 'on_hand = { main = "10cm" }')
    write_order(folder, "wrong", "90cm", 'on_hand = { mein = "10cm" }')
    (folder / "first.TOML").write_text((folder / "first.toml").read_text())
    there = look_into(folder)
    entries, _ = ran(there.orders, out, BARE)
    told = {entry.name: entry.answer for entry in entries if entry.answer.state.value != "planned"}
    assert {name: answer.state for name, answer in told.items()} == {
        "broken": State.FAULTY,
        "lost": State.FAULTY,
        "narrow": State.NO_LAYOUT,
        "second": State.SHORT,
        "wrong": State.FAULTY,
        "first": State.FAULTY,
    }
    assert "no-such-cloth" in told["lost"].reason
    assert "20cm" in told["narrow"].reason
    assert "of an earlier order" in told["second"].reason
    assert "is named like first.TOML" in told["first"].reason
    text = summary_text(Outcome(entries, False), ("fabric.toml",))
    assert "planned 2, faulty order 4, no layout fits 1, too little cloth 1" in text
    assert "passed over: fabric.toml" in text
    assert max(map(len, text.splitlines())) <= 100


def test_what_several_orders_buy_of_one_cloth_is_told_together(
    folder: Path, tmp_path: Path
) -> None:
    """How much to ask for in one shop, and what it costs."""
    write_order(folder, "first", "demo-linen")
    write_order(folder, "second", "demo-linen")
    outcome = run_batch(files_of(folder), tmp_path / "out", BARE)
    one, two, three = (entry.answer.cloths[0] for entry in outcome.entries)
    text = summary_text(outcome)
    (line,) = [line for line in text.splitlines() if line.startswith("demo-linen")]
    bought = format_purchase(one.buy + two.buy, System.METRIC)
    assert line.split() == ["demo-linen", *bought.split(), f"{2 * (one.cost or 0):.2f}", "EUR"]
    assert three.fabric == "140cm"


def test_orders_that_use_the_stash_are_told_of(folder: Path, tmp_path: Path) -> None:
    """Each counts on all of it, as if there were no other."""
    stash = tmp_path / "stash.sqlite"
    for name in ("first", "second"):
        write_order(folder, name, "110cm", "leftovers = true")
    outcome = run_batch(files_of(folder), tmp_path / "out", BARE, stash)
    assert outcome.on_stash == ("first", "second")
    assert "each counts on all of it" in summary_text(outcome)
    outcome = run_batch(files_of(folder)[1:], tmp_path / "out", BARE, stash)
    assert "counts on all of it" not in summary_text(outcome)


def test_an_interrupt_keeps_what_is_done(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And the next run goes on from there."""
    out = tmp_path / "out"

    def stop(done: int, _: int) -> None:
        if done == 2:
            raise KeyboardInterrupt

    entries, interrupted = ran(files_of(folder), out, BARE, on_step=stop)
    assert interrupted
    assert [state for _, state, _ in states(entries)] == ["planned", "planned", "not reached"]
    again, interrupted = ran(files_of(folder), out, BARE)
    assert not interrupted
    assert [entry.before for entry in again] == [True, True, False]


KILLED = """
import os, signal, sys
from pathlib import Path
from plans.batch.running import Wanted, run_batch
from plans.outputs import folder
from plans.workers import local

def killed(*_):
    os.kill(os.getpid(), signal.SIGKILL)

local.cores = lambda: 1
setattr(folder, sys.argv[3], killed)
orders = tuple(sorted(Path(sys.argv[1]).glob("*.toml")))
run_batch(orders, Path(sys.argv[2]), Wanted(drawings=False))
"""


@pytest.mark.parametrize("place", ["_swap", "check_target"])
def test_a_batch_killed_in_the_middle_of_a_write_goes_on(
    folder: Path, tmp_path: Path, place: str
) -> None:
    """No half plan is ever there, nothing of it stays behind, and nobody is locked out."""
    out = tmp_path / "out"
    ended = subprocess.run(
        [sys.executable, "-c", KILLED, str(folder), str(out), place],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=False,
    )
    assert ended.returncode == -signal.SIGKILL
    assert not (out / "first").exists()
    entries, _ = ran(files_of(folder), out, BARE)
    assert [entry.answer.state for entry in entries] == [State.PLANNED] * 3
    assert sorted(path.name for path in out.iterdir()) == [NAME, "first", "second", "third"]


def test_two_batches_never_write_into_one_folder(folder: Path, tmp_path: Path) -> None:
    """The second is told so before it does anything; afterwards it may."""
    out = tmp_path / "out"
    with Records(out):
        before = sorted(out.iterdir())
        with pytest.raises(FolderError, match="another batch writes there"):
            run_batch(files_of(folder), out, BARE)
        assert sorted(out.iterdir()) == before
    run_batch(files_of(folder)[:1], out, BARE)
    assert (out / "first" / "plan.json").exists()


def test_records_that_are_none_cost_time_and_nothing_else(folder: Path, tmp_path: Path) -> None:
    """A file that is no database is made anew."""
    out = tmp_path / "out"
    run_batch(files_of(folder)[:1], out, BARE)
    (out / NAME).write_bytes(b"no database, whatever it was " * 100)
    entries, _ = ran(files_of(folder)[:1], out, BARE)
    assert states(entries) == [("first", "planned", False)]


def test_a_plans_place_that_holds_something_else_is_left_alone(
    folder: Path, tmp_path: Path
) -> None:
    """That order is not written; the others are."""
    out = tmp_path / "out"
    run_batch(files_of(folder)[:1], out, BARE)
    (out / "second").mkdir()
    (out / "second" / "letter.txt").write_text("mine")
    entries, _ = ran(files_of(folder), out, BARE)
    assert [state for _, state, _ in states(entries)] == ["planned", "not written", "planned"]
    assert "holds other files" in entries[1].answer.reason
    assert (out / "second" / "letter.txt").read_text() == "mine"


def test_a_disk_that_refuses_ends_a_batch_at_once(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rather than plan on for hours and keep nothing; what was done before stays done."""
    out = tmp_path / "out"
    swap = plans.outputs.folder._swap

    def full(aside: Path, target: Path) -> None:
        if target.name == "second":
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        assert target.name != "third"
        swap(aside, target)

    monkeypatch.setattr(plans.outputs.folder, "_swap", full)
    with pytest.raises(FolderError, match="the disk is full"):
        run_batch(files_of(folder), out, BARE)
    monkeypatch.undo()
    monkeypatch.setattr(local, "cores", lambda: 1)
    entries, _ = ran(files_of(folder), out, BARE)
    assert [entry.before for entry in entries] == [True, False, False]


def test_a_folder_that_can_only_be_read_is_refused_before_anything_is_planned(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The records in it can still be opened, which says nothing."""
    out = tmp_path / "out"
    run_batch(files_of(folder)[:1], out, BARE)

    def refused(*_: object, **__: object) -> str:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    monkeypatch.setattr(tempfile, "mkdtemp", refused)
    monkeypatch.setattr(running, "answer_order", refuse)
    with pytest.raises(FolderError, match="can only be read"):
        run_batch(files_of(folder), out, BARE)


def test_folders_that_cannot_be(folder: Path, tmp_path: Path) -> None:
    """Each with what is wrong with it."""
    (tmp_path / "empty").mkdir()
    (tmp_path / "none").mkdir()
    (tmp_path / "none" / "cloth.toml").write_text('name = "cloth"')
    for place, said in (
        ("nowhere", "cannot be read"),
        ("empty", "holds no order file; laywright plan --save-order"),
        ("none", "holds no order file \\(1 TOML files are none\\)"),
        ("none/cloth.toml", "cannot be read"),
    ):
        with pytest.raises(InputError, match=said):
            look_into(tmp_path / place)
    for place, said in (
        ("none/cloth.toml", "is a file"),
        ("none", "holds other files and no batch"),
        ("nowhere/out", "does not exist; make it first"),
        ("none/cloth.toml/out", "cannot be written"),
    ):
        with pytest.raises(FolderError, match=said):
            run_batch(files_of(folder), tmp_path / place, BARE)


def ends_its_worker(task: OrderTask) -> Answer:
    if task.order.cloth["main"].width == 1100.0:
        os._exit(9)
    return answer_order(task)


def test_an_order_that_ends_every_worker_is_given_up(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The others are planned; the next run tries it again."""
    monkeypatch.setattr(local, "cores", lambda: 2)
    monkeypatch.setattr(running, "answer_order", ends_its_worker)
    out = tmp_path / "out"
    entries, _ = ran(files_of(folder), out, BARE)
    assert [state for _, state, _ in states(entries)] == ["planned", "given up", "planned"]
    assert "memory" in entries[1].answer.reason
    monkeypatch.setattr(running, "answer_order", answer_order)
    entries, _ = ran(files_of(folder), out, BARE)
    assert [entry.before for entry in entries] == [True, False, True]
    assert [entry.answer.state for entry in entries] == [State.PLANNED] * 3


def test_a_fault_of_ours_is_one_orders(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is told where it happened, and is not kept."""

    def wrong(*_: object) -> None:
        raise ZeroDivisionError("in a place of ours")

    monkeypatch.setattr("plans.batch.answer.plan_with", wrong)
    out = tmp_path / "out"
    entries, _ = ran(files_of(folder)[:1], out, BARE)
    assert entries[0].answer.state is State.FAULT
    assert "in a place of ours" in entries[0].answer.reason
    assert "plans/batch/answer.py" in entries[0].answer.trace
    monkeypatch.undo()
    monkeypatch.setattr(local, "cores", lambda: 1)
    entries, _ = ran(files_of(folder)[:1], out, BARE)
    assert states(entries) == [("first", "planned", False)]


KEY = """
import sys
import tempfile
from pathlib import Path
from plans.batch.found import Reader
from plans.batch.running import Wanted
from plans.program import fingerprint
print(fingerprint(Wanted().task(Reader(None).read(Path(sys.argv[1])), Path('out'))))
"""


def test_a_question_is_known_again_in_another_process(tmp_path: Path) -> None:
    """Whatever order sets have there: garments hold some."""
    order = tmp_path / "order.toml"
    order.write_text('cloth = { main = "140cm" }\n[[garment]]\nname = "trousers"\n')
    found = {
        subprocess.run(
            [sys.executable, "-c", KEY, str(order)],
            env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2", "3")
    }
    assert len(found) == 1


def test_no_plan_takes_the_place_of_the_table(tmp_path: Path) -> None:
    """An order whose plan would be called as the table is refused."""
    order = tmp_path / "summary.csv.toml"
    order.write_text('cloth = { main = "140cm" }\n[[garment]]\nname = "wrap-skirt"\n', "utf-8")
    assert "would take the place of summary.csv" in str(Reader(None).read(order).fault)


def test_a_name_that_is_no_text_is_told_before_anything_is_planned(tmp_path: Path) -> None:
    """Neither a table nor the records could hold it."""
    name = os.fsdecode(b"bad\xff.toml")
    try:
        (tmp_path / name).write_text("[[garment]]\n", "utf-8")
    except OSError:
        pytest.skip("this file system keeps names in UTF-8")
    with pytest.raises(InputError, match="a name that is no text; rename it"):
        look_into(tmp_path)
