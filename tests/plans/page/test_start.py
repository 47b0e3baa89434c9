"""The first view, settings, and what is said where something is wrong."""

from __future__ import annotations

from tests.page import Client, client

__all__ = ["client"]


def test_an_empty_shelf_says_what_to_do_first(client: Client) -> None:
    """A person without anything of their own is told where to begin."""
    text = client.get("/").text
    assert "None of your own yet: type in the points" in text
    assert "No fabric of your own yet: a width such as" in text


def test_units_and_look_are_kept(client: Client) -> None:
    """The next view shows what was chosen."""
    assert client.send("/settings", units="imperial", look="dark").json() == {"kept": True}
    text = client.get("/").text
    assert '<option value="imperial" selected>' in text
    assert 'data-look="dark"' in text


def test_a_setting_that_is_not_known_is_refused_at_its_field(client: Client) -> None:
    """With what would be right."""
    answer = client.send("/settings", units="furlongs")
    assert answer.status_code == 422
    assert answer.json()["field"] == "units"
    assert answer.json()["lines"] == ["is none of metric, imperial"]
    assert client.send("/settings", colour="red").json()["lines"] == ["is not known here"]


def test_nothing_under_an_address_is_told_as_a_page(client: Client) -> None:
    """In words, with a way back."""
    answer = client.get("/no-such-view")
    assert answer.status_code == 404
    assert "Nothing is kept under this address." in answer.text
    assert client.send("/").status_code == 405
