"""Photographs that are handed in to the page: measured by a task, told as a draft."""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import Any

import pytest

from pieces.findings import InputError
from pieces.lengths import System
from plans.traced.request import TraceRequest
from tests.page import Client, client

__all__ = ["client"]

AT = "/new/garment/files/photograph"


def test_only_pictures_are_taken(client: Client, tmp_path: Path) -> None:
    """By their ending, and under a name that stays where it belongs."""
    for name, content in (("x.svg", b"x"), ("..%2Fx.jpg", b"x"), (".jpg", b"x"), ("x.jpg", b"")):
        assert client.hand_in(f"{AT}/{name}", content).status_code in (404, 422), name
    assert not list((tmp_path / "shelf").rglob("*"))
    assert client.hand_in(f"{AT}/x.jpg", b"x").json() == {"kept": "x.jpg"}
    assert client.get("/new/garment/found/x.jpg").content == b"x"
    for name in ("..%2F..%2Fstash.db", "y.jpg", "x.jpg%2F..%2F..%2F..%2Fstash.db"):
        assert client.get(f"/new/garment/found/{name}").status_code == 404


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"name": "../x", "photos": ["x.jpg"]}, "name"),
        ({"name": "x", "photos": []}, "photo"),
        ({"name": "x", "photos": "x.jpg"}, "photo"),
        ({"name": "x", "photos": ["x.jpg"], "paper": "A3"}, "paper"),
        ({"name": "mine", "photos": ["x.jpg"]}, "name"),
    ],
)
def test_what_cannot_be_measured_is_refused_at_its_field(
    client: Client, fields: dict[str, Any], field: str
) -> None:
    """Before any work begins."""
    pytest.importorskip("cv2")
    client.hand_in(f"{AT}/x.jpg", b"x")
    client.send("/garments/blouse/copy", to="mine")
    answer = client.send("/new/garment/photographs", **fields)
    assert answer.status_code == 422
    assert answer.json()["field"] == field


def test_the_place_is_offered_where_the_extra_is(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And nowhere else."""
    from plans.page.garments import photographs

    for name, offered in (("no_such_library", False), ("json", True)):
        monkeypatch.setattr(photographs, "LIBRARY", name)
        assert ("From photographs" in client.get("/new/garment").text) is offered


def test_a_photograph_that_is_none_is_called_by_its_own_name(
    client: Client, tmp_path: Path
) -> None:
    """Where it was laid is no affair of the person."""
    pytest.importorskip("cv2")
    from plans.page.garments.photographs import measure

    client.hand_in(f"{AT}/bad.jpg", b"no picture at all")
    photo = tmp_path / "shelf" / "garments" / ".handed-in" / "bad.jpg"
    with pytest.raises(InputError) as refused:
        measure(lambda _: None, [photo], "traced", None, [], System.METRIC)
    assert str(refused.value).startswith("bad.jpg: is no photograph")


def test_a_photograph_without_a_scale_is_called_by_its_own_name(
    client: Client, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So is the picture in which the trouble is marked."""
    pytest.importorskip("cv2")
    from pieces.tracing.refusal import UntraceableError
    from plans.page.garments.photographs import measure
    from plans.traced import running

    photo = tmp_path / "bad.jpg"

    def refuse(request: TraceRequest) -> list[str]:
        seen = request.out.parent / "x-bad.png"
        raise UntraceableError(f"{request.out.parent / 'bad.jpg'}: no sheet (marked in {seen})")

    monkeypatch.setattr(running, "trace", refuse)
    with pytest.raises(UntraceableError) as refused:
        measure(lambda _: None, [photo], "traced", None, [], System.METRIC)
    assert str(refused.value) == "bad.jpg: no sheet (marked in x-bad.png)"


def test_a_measured_photograph_becomes_a_draft(client: Client, tmp_path: Path) -> None:
    """With its errors in the file's comments, and what no picture tells asked for."""
    pytest.importorskip("cv2")
    from plans.page.garments.photographs import measure
    from tests.pieces.tracing.rendering import jpeg
    from tests.pieces.tracing.scenes import good

    known = good(102)
    client.hand_in(f"{AT}/floor.jpg", jpeg(known.scene))
    photo = tmp_path / "shelf" / "garments" / ".handed-in" / "floor.jpg"
    told: list[dict[str, Any]] = []
    said = measure(told.append, [photo], "traced", None, [], System.METRIC)
    assert told[0]["kind"] == "progress"
    assert said["go"] == "/garments/traced/draft"
    assert str(tmp_path) not in "\n".join(said["lines"])
    assert client.get(said["found"][0]).content.startswith(b"\x89PNG")
    assert not photo.exists()
    state = client.get("/garments/traced/draft/state").json()
    assert len(state["data"]["piece"]) == len(known.rings)
    assert "fill in" not in state["former"]
    judged = client.send("/garments/traced/draft/judge", data=state["data"], piece=0).json()
    asked = {one["field"] for one in judged["findings"] if one["piece"] == 0}
    assert {"cut", "drawn", "grain"} <= asked
    assert judged["picture"]["edges"]


@pytest.mark.parametrize("new", ["photograph/new.jpg", "new.svg"])
def test_what_nobody_went_on_with_is_removed_after_a_week(
    client: Client, tmp_path: Path, new: str
) -> None:
    """A photograph may show a room; one of today stays. A drawing that comes sees to it, too."""
    folder = tmp_path / "shelf" / "garments" / ".handed-in"
    folder.mkdir(parents=True)
    for name, days in (("old.jpg", 8.0), ("young.jpg", 1.0)):
        (folder / name).write_bytes(b"x")
        then = time.time() - days * 24 * 3600
        os.utime(folder / name, (then, then))
    client.hand_in(f"/new/garment/files/{new}", b"x")
    assert {path.name for path in folder.iterdir()} == {Path(new).name, "young.jpg"}
