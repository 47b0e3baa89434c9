"""Moving by hand as the page answers it: what is drawn, what is judged, what is refused."""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import Any

import pytest

from pieces.lengths import System
from plans.outputs.folder import read_plan
from plans.page.moving.table import opened_table
from plans.page.moving.tasks import Wanted, keep_moved, lay_again
from plans.page.planning.tasks.laying import Place
from tests.page import Client, client
from tests.plans.page.moving_plan import keep_apron, without_request

__all__ = ["client"]

AT = "/plans/apron-plan/move"


@pytest.fixture
def lay(client: Client, tmp_path: Path) -> dict[str, Any]:
    """What the browser gets of the plan."""
    keep_apron(tmp_path)
    answer: dict[str, Any] = client.get(f"{AT}/lay?fabric=1").json()
    return answer


def judged(client: Client, places: list[Any], **more: Any) -> dict[str, Any]:
    answer = client.send(f"{AT}/judge", fabric=1, places=places, **more)
    assert answer.status_code == 200, answer.text
    said: dict[str, Any] = answer.json()
    return said


def moved(lay: dict[str, Any], index: int, dx: float, dy: float) -> list[Any]:
    places = [list(place) for place in lay["places"]]
    places[index][2] += dx
    places[index][3] += dy
    return places


def test_the_page_lists_every_piece(client: Client, tmp_path: Path) -> None:
    """So that all can be chosen without a pointer; scripts and styles are files of ours."""
    plan = keep_apron(tmp_path)
    text = client.get(AT).text
    for placed in plan.fabrics[0].placements:
        assert f">{placed.number} <bdi>{placed.piece}</bdi></button>" in text
    assert "<style" not in text
    assert " style=" not in text
    assert '<script type="module" src="/static/moving.js">' in text


def test_a_found_lay_is_sound_and_drawn_with_what_may_be_done(lay: dict[str, Any]) -> None:
    """Poses, ties and edges; nothing is wrong."""
    assert lay["wrong"] == []
    assert "as long as the lay that was found" in lay["figures"][0]
    (section,) = lay["sections"]
    assert section["height"] == pytest.approx(900.0)
    assert (section["first"]["name"], section["begins"]) == ("right selvage", "cut end")
    assert all(len(piece["poses"]) >= 2 for piece in lay["pieces"])
    assert len(lay["places"]) == len(lay["pieces"])


def test_a_move_is_judged_in_the_units_of_who_asks(client: Client, lay: dict[str, Any]) -> None:
    """Named with number and piece."""
    wrong = judged(client, moved(lay, 0, -25.4, 0.0), piece=0)
    name = f"{lay['pieces'][0]['number']} {lay['pieces'][0]['name']}"
    assert {
        "numbers": [1],
        "text": f"{name} reaches 2.5 cm beyond the usable cloth at the cut end.",
    } in wrong["wrong"]
    assert wrong["where"].startswith(f"{name}: ")
    assert " from the cut end, " in judged(client, lay["places"], piece=0)["where"]
    client.send("/settings", units="imperial")
    texts = [one["text"] for one in judged(client, moved(lay, 0, -25.4, 0.0))["wrong"]]
    assert f"{name} reaches 1 in beyond the usable cloth at the cut end." in texts


def test_a_longer_lay_says_so_against_the_found_one(client: Client, lay: dict[str, Any]) -> None:
    """What is bought, too."""
    last = max(range(len(lay["places"])), key=lambda k: lay["places"][k][2])
    figures = judged(client, moved(lay, last, 500.0, 0.0))["figures"]
    assert "longer than the lay that was found" in figures[0]
    assert figures[1].startswith("to buy: ")
    assert figures[1].endswith(" more)")


def test_a_piece_turns_as_it_may(client: Client, lay: dict[str, Any]) -> None:
    """About its middle; what it may not is refused with the reason."""
    answer = client.send(f"{AT}/turn", fabric=1, places=lay["places"], piece=0).json()
    before = lay["places"][0][0]
    assert answer["places"][0][0] == (before + 180.0) % 360.0
    tie = next(k for k, piece in enumerate(lay["pieces"]) if len(piece["poses"]) == 2)
    refused = client.send(f"{AT}/turn", fabric=1, places=lay["places"], piece=tie, over=True)
    assert refused.status_code == 422
    assert "may not be turned over" in refused.json()["lines"][0]


def test_a_piece_in_the_hand_learns_where_it_may_not_be(
    client: Client, lay: dict[str, Any]
) -> None:
    """Rings of its reference around each other piece, and the ranges of the cloth."""
    said = client.send(f"{AT}/hold", fabric=1, places=lay["places"], piece=0).json()
    others = {piece["number"] for piece in lay["pieces"]} - {lay["pieces"][0]["number"]}
    assert {one[0] for one in said["barred"]} == others
    assert len(said["rings"]) <= len(said["barred"])
    assert said["ranges"][0]["y_from"] <= lay["places"][0][3] <= said["ranges"][0]["y_to"]


def test_what_snaps_is_sound(client: Client, lay: dict[str, Any]) -> None:
    """The nearest place that touches something, with the names of what."""
    _, _, x, y = lay["places"][0]
    asked = {"fabric": 1, "places": lay["places"], "piece": 0, "within": 30.0}
    snap = client.send(f"{AT}/snap", **asked, x=x + 4.0, y=y - 6.0).json()["snap"]
    assert "cut end" in snap["touches"]
    places = [list(place) for place in lay["places"]]
    places[0][2:] = [snap["x"], snap["y"]]
    assert judged(client, places)["wrong"] == []
    assert client.send(f"{AT}/snap", **asked, x=x + 9000.0, y=450.0).json()["snap"] is None


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("places", []),
        ("places", "all"),
        ("piece", 99),
        ("kept", [0.5]),
        ("by_hand", [-1]),
        ("fabric", 0),
        ("other", 1),
    ],
)
def test_what_makes_no_sense_is_refused_at_its_field(
    client: Client, lay: dict[str, Any], field: str, value: object
) -> None:
    """Nothing is judged of it."""
    sent = {"fabric": 1, "places": lay["places"], "piece": 0} | {field: value}
    answer = client.send(f"{AT}/judge", **sent)
    assert answer.status_code == 422
    assert answer.json()["field"] == field


@pytest.mark.parametrize(
    "bad",
    [[0, False, "x", 0], [0, 0, 0, 0], [0, False, 1e9, 0], [0, False], [0, False, 10**400, 0]],
)
def test_places_that_are_none_are_refused(
    client: Client, lay: dict[str, Any], bad: list[Any]
) -> None:
    """Far beyond any cloth, too."""
    places = [bad, *lay["places"][1:]]
    answer = client.send(f"{AT}/judge", fabric=1, places=places)
    assert (answer.status_code, answer.json()["field"]) == (422, "places")


def test_a_pose_that_is_not_permitted_is_refused(client: Client, lay: dict[str, Any]) -> None:
    """Off the grain, say."""
    places = [[33.0, *lay["places"][0][1:]], *lay["places"][1:]]
    answer = client.send(f"{AT}/judge", fabric=1, places=places)
    assert answer.status_code == 422
    assert "may not lie so" in answer.json()["lines"][0]


def test_plans_that_cannot_be_opened_say_why(client: Client, tmp_path: Path) -> None:
    """Earlier versions, and a garment that has changed; there is a way back."""
    keep_apron(tmp_path)
    garment = tmp_path / "apron.toml"
    garment.write_text(garment.read_text().replace("[25, 40]", "[26, 40]"))
    text = client.get(AT).text
    assert "has changed since this was planned" in text
    assert 'href="/plans/apron-plan"' in text
    without_request(tmp_path)
    assert "does not say what was asked for" in client.get(AT).text
    assert client.get("/plans/no-such/move").status_code == 404
    assert client.get("/plans/..%2F..%2Fetc/move").status_code == 404


def test_what_overlaps_is_not_kept(client: Client, lay: dict[str, Any], tmp_path: Path) -> None:
    """The pieces are named, and no folder is made."""
    places = moved(lay, 0, 200.0, 0.0)
    answer = client.send(f"{AT}/keep", fabric=1, places=places, name="mine")
    assert answer.status_code == 422
    assert "cannot be cut as it lies" in answer.json()["lines"][0]
    assert [path.name for path in (tmp_path / "plans").iterdir()] == ["apron-plan"]
    for name in ("", "../mine", "con"):
        refused = client.send(f"{AT}/keep", fabric=1, places=lay["places"], name=name)
        assert refused.status_code == 422, name
    assert client.send(f"{AT}/again", fabric=1, places=lay["places"]).status_code == 422


def test_the_rest_is_laid_again_as_a_task(client: Client, lay: dict[str, Any]) -> None:
    """What is kept stays; its news come as those of any work."""
    answer = client.send(f"{AT}/again", fabric=1, places=lay["places"], keep=[1])
    assert set(answer.json()) == {"events", "end"}
    jobs = client.inner.app.state.jobs  # type: ignore[attr-defined]
    until = time.monotonic() + 120.0
    while not (job := jobs.all()[0]).state.is_over and time.monotonic() < until:
        time.sleep(0.05)
    assert job.failure is None
    assert job.result["kept"] == [1]
    assert job.result["places"][1] == lay["places"][1]
    assert judged(client, job.result["places"])["wrong"] == []


def test_tasks_lay_again_and_keep(tmp_path: Path) -> None:
    """A kept plan says what was changed, and answers what the found one did."""
    keep_apron(tmp_path)
    plans = tmp_path / "plans"
    table = opened_table(plans / "apron-plan", 0, System.METRIC)
    lay = table.lay
    place = Place(plans, tmp_path / "stash.db", "a4")
    heard: list[dict[str, Any]] = []
    wanted = Wanted(
        table.folder, 0, System.METRIC, lay.layout.placements, lay.by_hand, lay.shortest
    )
    found = lay_again(heard.append, wanted, (0, 2))
    assert found["kept"] == [0, 2]
    assert heard[0]["kind"] == "stage"
    answer = keep_moved(heard.append, wanted, (0, 2), "mine", place)
    assert answer == {"go": "/plans/mine", "name": "mine"}
    plan = read_plan(plans / "mine")
    assert plan.fabrics[0].changed is not None
    assert len(plan.fabrics[0].changed.kept) == 2
    assert plan.asked is not None
    assert plan.asked["garment"][0]["name"] == "../../apron.toml"
    assert (plans / "mine" / "report.html").is_file()
    second = keep_moved(heard.append, wanted, (0,), "mine", place)
    assert second["name"] == "mine-2"


def test_half_a_sign_in_what_a_plan_answers_is_told(client: Client, tmp_path: Path) -> None:
    """No name of a file, and nothing that an answer could hold."""
    keep_apron(tmp_path)
    file = tmp_path / "plans" / "apron-plan" / "plan.json"
    data = json.loads(file.read_text())
    data["asked"]["garment"][0]["name"] = "\ud800"
    file.write_text(json.dumps(data))
    assert client.get(f"{AT}/lay?fabric=1").status_code == 422
    assert "half of a sign" in client.get(AT).text
