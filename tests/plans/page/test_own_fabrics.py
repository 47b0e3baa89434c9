"""Own fabrics on the page: new, copied, corrected with comments kept, never over a change."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from fabrics.shelf import find_fabric
from plans.cli.main import front_door
from plans.page.cloth.fabric_text import Typed, corrected, typed_of
from tests.page import Client, client

__all__ = ["client"]

FILE = """# Bought at the market.
title = "sea linen"  # as the label says
width = "140 cm"
one_way = false

# washed a sample
shrinkage = { along = "4 %", across = "2 %" }

[price]
amount = 12.50  # a metre
currency = "EUR"

[[flaws]]
from_end = "10 cm"
from_selvage = "2 cm"
length = "3 cm"
width = "3 cm"
"""


@pytest.fixture
def shelf(client: Client, tmp_path: Path) -> Path:
    """A shelf with one fabric, whose file has comments."""
    folder = tmp_path / "shelf" / "fabrics"
    folder.mkdir(parents=True)
    (folder / "sea.toml").write_text(FILE)
    return folder


def fields(text: str, **changed: Any) -> dict[str, Any]:
    """What the form of a file sends."""
    typed = typed_of(text)
    values = {**typed.values, "flaws": [dict(row) for row in typed.flaws]}
    return values | {key.replace("__", "."): value for key, value in changed.items()}


def digest(client: Client, name: str) -> str:
    """What the form of a fabric remembers of its file."""
    page = client.get(f"/cloth/fabric/{name}/correct").text
    return str(page.split('data-digest="')[1].split('"')[0])


def keep(client: Client, **sent: Any) -> Any:
    """Send the form as the script does."""
    return client.inner.post(
        "/cloth/fabrics",
        json={"was": "", "copied": "", "digest": ""} | sent,
        headers={
            "Origin": str(client.inner.base_url),
            "Accept": "application/json",
            "Sec-Fetch-Site": "same-origin",
        },
    )


def test_a_file_as_it_is_typed_again_is_the_same() -> None:
    """Nothing moves that nobody touched."""
    assert corrected(FILE, typed_of(FILE)) == FILE


def test_correcting_keeps_comments_and_order() -> None:
    """What is emptied goes; what is new comes before the tables; figures stay figures."""
    typed = typed_of(FILE)
    values = {
        **typed.values, "selvage": "1.5 cm", "shrinkage.across": "", "price.amount": "13,5",
        "one_way": True, "description": 'two\nlines "quoted"',
    }  # fmt: skip
    text = corrected(FILE, Typed(values, typed.flaws))
    for kept in (
        "# Bought at the market.",
        "# as the label says",
        "# washed a sample",
        "# a metre",
    ):
        assert kept in text
    assert "amount = 13.5" in text
    assert "across" not in text
    assert "one_way = true" in text
    again = typed_of(text).values
    assert again["selvage"] == "1.5 cm"
    assert again["description"] == 'two\nlines "quoted"'
    assert text.index("selvage") < text.index("[price]")


@pytest.mark.parametrize("count", [0, 1, 2, 3])
def test_flaws_come_and_go(count: int) -> None:
    """As many as are typed."""
    row = {"from_end": "1 m", "from_selvage": "5 cm", "length": "2 cm", "width": "1 cm"}
    text = corrected(FILE, Typed(typed_of(FILE).values, (row,) * count))
    assert typed_of(text).flaws == (row,) * count
    assert "# a metre" in text


def test_a_new_fabric_is_found_by_name_everywhere(client: Client) -> None:
    """By the command line, too."""
    answer = keep(
        client, name="meergrün-2", width="54 in", title="meergrün 🌊", **{"sold.by": "yard"}
    )
    assert answer.json() == {"go": "/cloth/fabric/meergr%C3%BCn-2"}
    assert find_fabric("meergrün-2").imperial
    assert "meergrün 🌊" in CliRunner().invoke(front_door, ["fabrics"]).output
    assert "meergrün 🌊" in client.get("/cloth/fabric/meergrün-2").text
    assert keep(client, name="meergrün-2", width="1 m").json()["field"] == "name"


def test_a_copy_of_a_demo_keeps_what_is_not_changed(client: Client, tmp_path: Path) -> None:
    """Under a name of one's own."""
    page = client.get("/cloth/fabrics/new?copy=demo-velveteen").text
    assert 'data-copied="demo-velveteen"' in page
    text = (Path(__file__).parents[3] / "fabrics/shelf/demo-velveteen.toml").read_text()
    answer = keep(client, name="velvet", copied="demo-velveteen", **fields(text, width="110 cm"))
    assert answer.status_code == 200, answer.text
    kept = (tmp_path / "shelf/fabrics/velvet.toml").read_text()
    assert kept == text.replace("112 cm", "110 cm")


def test_findings_stand_at_their_fields_and_nothing_is_kept(client: Client, tmp_path: Path) -> None:
    """All of them at once, in the words of `laywright check`."""
    sent = {
        "width": "140", "price.amount": "cheap", "shrinkage.along": "120 %",
        "repeat.across": "8 cm",
        "flaws": [{"from_end": "1 m", "from_selvage": "", "length": "2 cm", "width": "2 cm"}],
    }  # fmt: skip
    answer = keep(client, name="wrong", **sent)
    assert answer.status_code == 422
    said = {one["field"]: one["text"] for one in answer.json()["findings"]}
    assert {"units", "width", "price.amount", "shrinkage.along", "repeat.axis"} <= set(said)
    assert "flaws[1].from_end" in said
    assert "140" in said["units"]
    assert "has no unit" in said["width"]
    assert not (tmp_path / "shelf").exists()
    checked = client.send("/cloth/fabrics/check", was="", copied="", digest="", **sent).json()
    assert {one["field"] for one in checked["findings"]} == set(said)


def test_a_question_is_told_and_the_fabric_kept(client: Client) -> None:
    """As `laywright keep` does."""
    assert keep(client, name="narrow", width="140 mm").status_code == 200
    assert "is no usual width of cloth" in client.get("/cloth/fabric/narrow").text


def test_a_corrected_file_keeps_its_comments(client: Client, shelf: Path) -> None:
    """And its name."""
    answer = keep(client, was="sea", digest=digest(client, "sea"), **fields(FILE, colour="blue"))
    assert answer.json() == {"go": "/cloth/fabric/sea"}
    text = (shelf / "sea.toml").read_text()
    assert "# as the label says" in text
    assert find_fabric("sea").colour == "blue"


def test_a_file_that_changed_meanwhile_is_shown_and_not_written_over(
    client: Client, shelf: Path
) -> None:
    """What was typed may then be put on top of it: the other change stays."""
    before = digest(client, "sea")
    other = FILE.replace("sea linen", "lake linen")
    (shelf / "sea.toml").write_text(other)
    answer = keep(client, was="sea", digest=before, **fields(FILE, colour="blue"))
    changed = answer.json()["changed"]
    assert changed["text"] == other
    assert (shelf / "sea.toml").read_text() == other
    answer = keep(client, was="sea", digest=changed["digest"], **fields(FILE, colour="blue"))
    assert answer.json() == {"go": "/cloth/fabric/sea"}
    assert find_fabric("sea").colour == "blue"


def test_taken_away_and_brought_back(client: Client, shelf: Path) -> None:
    """Nothing is deleted; another of its name meanwhile is not written over."""
    assert client.send("/cloth/fabric/sea/away").json() == {"go": "/cloth#away"}
    assert not (shelf / "sea.toml").exists()
    assert client.get("/cloth/fabric/sea").status_code == 404
    assert "Bring <bdi>sea</bdi> back" in client.get("/cloth").text
    assert keep(client, name="sea", width="1 m").status_code == 200
    refused = client.send("/cloth/fabrics/back", aside="sea")
    assert "take that one away first" in refused.json()["lines"][0]
    client.send("/cloth/fabric/sea/away")
    back = client.send("/cloth/fabrics/back", aside="sea")
    assert back.json() == {"go": "/cloth/fabric/sea"}
    assert (shelf / "sea.toml").read_text() == FILE


NAMES = (
    "../evil", "..", "a/b", "a\\b", ".hidden", "con", "-rf", "a b", "x" * 300, "évil\x00", "1st",
    "<b>", "a.toml",
)  # fmt: skip


def test_name_and_lengths_without_a_unit_are_marked_beside_others(client: Client) -> None:
    """While one types and when it is kept."""
    sent = {"name": "Blue Tick!", "width": "140", "selvage": "80", "price.amount": "cheap"}
    fields = {"name", "units", "width", "selvage", "price.amount"}
    for answer in (keep(client, **sent), check(client, **sent)):
        assert {one["field"] for one in answer.json()["findings"]} == fields


def check(client: Client, **sent: Any) -> Any:
    """What is said while one types."""
    return client.send("/cloth/fabrics/check", was="", copied="", digest="", **sent)


@pytest.mark.parametrize("name", NAMES)
def test_names_that_cannot_be_are_refused(client: Client, tmp_path: Path, name: str) -> None:
    """Nothing is written anywhere."""
    before = sorted(tmp_path.rglob("*"))
    answer = keep(client, name=name, width="1 m")
    assert answer.status_code == 422
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize("name", ["../sea", "..%2Fsea", "sea.toml", "%2Fetc%2Fhosts", "demo-linen"])
def test_only_own_fabrics_are_corrected_and_taken_away(
    client: Client, shelf: Path, name: str
) -> None:
    """Neither demos nor what lies elsewhere."""
    (shelf.parent / "sea.toml").write_text(FILE)
    assert client.get(f"/cloth/fabric/{name}/correct").status_code == 404
    assert client.send(f"/cloth/fabric/{name}/away").status_code == 404
    assert keep(client, was=name, digest="x", **fields(FILE)).status_code == 404
    assert client.send("/cloth/fabrics/back", aside=name).status_code == 404
    assert (shelf.parent / "sea.toml").read_text() == FILE
    assert (shelf / "sea.toml").read_text() == FILE


def test_a_file_at_fault_is_listed_and_told(client: Client, shelf: Path) -> None:
    """What is no TOML at all is not corrected by a form."""
    (shelf / "odd.toml").write_text('width = "140"\n<b> = \n')
    assert "at fault: open it to see why" in client.get("/cloth").text
    assert "nothing can be planned on it" in client.get("/cloth/fabric/odd").text
    answer = client.get("/cloth/fabric/odd/correct")
    assert answer.status_code == 422
    assert "mend it in an editor" in answer.text


def test_texts_are_never_markup_nor_toml(client: Client, tmp_path: Path) -> None:
    """Whatever is typed is the text of a field."""
    title = '</textarea><script>x</script>" [price] amount = 1 \'\'\' """'
    assert keep(client, name="odd", width="1 m", title=title, colour='"').status_code == 200
    assert find_fabric("odd").title == title
    assert find_fabric("odd").price is None
    for address in ("/cloth", "/cloth/fabric/odd", "/cloth/fabric/odd/correct"):
        assert "<script>x" not in client.get(address).text


def test_more_flaws_than_a_layout_takes_are_refused(client: Client) -> None:
    """Before they are read."""
    row = {"from_end": "1 m", "from_selvage": "5 cm", "length": "2 cm", "width": "1 cm"}
    answer = keep(client, name="torn", width="1 m", flaws=[row] * 101)
    assert answer.json()["field"] == "flaws"
    assert keep(client, name="torn", width="1 m", flaws="all").status_code == 422
    assert keep(client, name="torn", width="1 m", surprise="x").status_code == 422
    assert keep(client, name="torn", width=["1 m"]).status_code == 422
