"""Tasks in processes of their own: news as they come, their best when asked, errors in words."""

from __future__ import annotations

import errno
import json
import os
import signal
from collections.abc import Callable
from functools import partial
from typing import Any

import pytest
from anyio import to_thread

from layout.stop import ASKED_TO_END
from plans.errors import PlanError
from plans.page.asking import AskedError, SeveralWrongError
from plans.page.work.jobs import Job, Jobs, State
from plans.page.work.streams import address
from tests.cli.programs import is_running, wait_until
from tests.page import Client, client

__all__ = ["client"]

Tell = Callable[[dict[str, Any]], None]


def counts(tell: Tell, most: int) -> dict[str, Any]:
    for k in range(most):
        tell({"kind": "step", "at": k})
    return {"counted": most}


def goes_on(tell: Tell) -> dict[str, Any]:
    tell({"kind": "begun"})
    try:
        while not ASKED_TO_END.wait(0.02):
            pass
    except KeyboardInterrupt:
        pass
    return {"best": "so far"}


def speaks_at_length(tell: Tell) -> dict[str, Any]:
    """Asked to end it is, as good as always, in the middle of a word."""
    long = "x" * 3_000_000
    try:
        while True:
            tell({"kind": "word", "long": long})
    except KeyboardInterrupt:
        return {"ended": "between words"}


def is_wrong(tell: Tell) -> dict[str, Any]:
    raise PlanError("no cloth for role 'main'")


def finds_several_fields_wrong(tell: Tell) -> dict[str, Any]:
    raise SeveralWrongError([AskedError("cloth", "is gone"), AskedError("gap", "is too much")])


def dies(tell: Tell) -> dict[str, Any]:
    os.kill(os.getpid(), signal.SIGKILL)
    return {}


def talks(tell: Tell) -> dict[str, Any]:
    text = "much " * 400_000
    try:
        while True:
            tell({"kind": "talk", "text": text})
    except KeyboardInterrupt:
        return {"said": "all of it"}


def begun(client: Client, task: Callable[..., dict[str, Any]], *arguments: Any) -> Job:
    """Begin a task as a view does, from a thread."""
    jobs: Jobs = client.inner.app.state.jobs  # type: ignore[attr-defined]
    portal = client.inner.portal
    assert portal is not None

    async def in_a_thread() -> Job:
        return await to_thread.run_sync(partial(jobs.begin, "a task", "/plans", task, *arguments))

    job: Job = portal.call(in_a_thread)
    return job


def news(client: Client, job: Job) -> list[tuple[str, dict[str, Any]]]:
    """All that is said until the work is over."""
    text = client.get(address(job)["events"]).text
    found = []
    for block in text.strip().split("\n\n"):
        fields = dict(line.split(": ", 1) for line in block.splitlines())
        found.append((fields["event"], json.loads(fields["data"])))
    return found


def test_a_task_tells_of_its_steps_and_its_result(client: Client) -> None:
    """The last step is always heard; a browser that comes late hears it, too."""
    job = begun(client, counts, 3)
    first = news(client, job)
    assert first[-1] == ("done", {"counted": 3})
    late = news(client, job)
    assert late == [("step", {"kind": "step", "at": 2}), ("done", {"counted": 3})]


def test_a_task_that_is_asked_to_end_hands_over_its_best(client: Client) -> None:
    """That will do: the result counts as done."""
    job = begun(client, goes_on)
    wait_until(lambda: "begun" in job.said, "it began")
    assert client.send(address(job)["end"]).json() == {"ending": True}
    assert news(client, job)[-1] == ("done", {"best": "so far"})


def test_a_task_that_is_asked_to_end_while_it_starts_is_told_of_as_ended(client: Client) -> None:
    """Not as lost, and nothing of Python itself is printed."""
    job = begun(client, goes_on)
    client.send(address(job)["end"])
    kind, said = news(client, job)[-1]
    if kind == "failed":
        assert said["lines"] == ["ended before anything was complete"]
    else:
        assert said == {"best": "so far"}


def test_being_asked_to_end_cuts_no_word_in_half(client: Client) -> None:
    """What is said arrives whole, however long it is, and the result after it."""
    job = begun(client, speaks_at_length)
    wait_until(lambda: "word" in job.said, "it spoke")
    client.send(address(job)["end"])
    wait_until(lambda: job.state.is_over, "it ended")
    assert job.result == {"ended": "between words"}


def test_what_is_told_is_told_whole_even_when_the_end_comes_meanwhile(client: Client) -> None:
    """Half of it would be taken for something else, and the result with it."""
    job = begun(client, talks)
    wait_until(lambda: "talk" in job.said, "it talks")
    client.send(address(job)["end"])
    wait_until(lambda: job.state.is_over, "it ended")
    assert job.state is State.DONE
    assert job.result == {"said": "all of it"}


def test_an_error_of_a_task_is_told_in_its_words(client: Client) -> None:
    """As the command line would say it."""
    said = news(client, begun(client, is_wrong))
    assert said == [("failed", {"blame": "input", "lines": ["no cloth for role 'main'"]})]


def test_a_lost_process_is_told_and_others_go_on(client: Client) -> None:
    """A task whose process was killed takes nothing along."""
    kind, said = news(client, begun(client, dies))[-1]
    assert kind == "failed"
    assert "ended from outside" in said["lines"][0]
    assert news(client, begun(client, counts, 1))[-1][0] == "done"


def test_a_process_that_cannot_begin_is_told_and_holds_nobody_up(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As where no memory is left: it neither waits for ever nor keeps the place of another."""

    def none_left(process: object) -> None:
        raise OSError(errno.ENOMEM, os.strerror(errno.ENOMEM))

    with monkeypatch.context() as patched:
        patched.setattr("multiprocessing.context.SpawnProcess.start", none_left)
        failed = [begun(client, counts, 1) for _ in range(3)]
    for job in failed:
        assert news(client, job)[-1][0] == "failed"
    assert news(client, begun(client, counts, 1))[-1] == ("done", {"counted": 1})


def test_what_is_wrong_with_a_field_is_no_fault_of_ours(client: Client) -> None:
    """A task looks things up once more, and may find that they are gone meanwhile."""
    kind, said = news(client, begun(client, finds_several_fields_wrong))[-1]
    assert kind == "failed"
    assert said["blame"] == "input"
    assert said["lines"] == ["is gone; is too much"]


def test_the_third_task_waits_for_its_turn(client: Client) -> None:
    """Two are at work; one that waits can be asked to end as well."""
    one, two, three = (begun(client, goes_on) for _ in range(3))
    wait_until(lambda: "begun" in one.said and "begun" in two.said, "two began")
    assert three.state is State.WAITING
    client.send(address(three)["end"])
    assert news(client, three)[-1][0] == "failed"
    four = begun(client, counts, 1)
    client.send(address(one)["end"])
    assert news(client, four)[-1] == ("done", {"counted": 1})
    client.send(address(two)["end"])
    assert news(client, two)[-1][0] == "done"


def test_work_that_is_not_known_is_told_so(client: Client) -> None:
    """A reopened page of an ended program asks for it."""
    answer = client.send("/at-work/none/end")
    assert answer.status_code == 404
    assert "begin it again" in answer.json()["lines"][0]


def test_the_end_of_the_server_ends_its_tasks(client: Client) -> None:
    """They hand over their best, and no process is left."""
    job = begun(client, goes_on)
    wait_until(lambda: "begun" in job.said, "it began")
    assert job.process is not None
    pid = job.process.pid
    client.inner.__exit__(None, None, None)
    try:
        assert job.state is State.DONE
        assert pid is not None
        wait_until(lambda: not is_running(pid), "it ended")
    finally:
        client.inner.__enter__()
