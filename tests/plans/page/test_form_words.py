"""Findings in the words of the form: its fields, and what can be done on it."""

from __future__ import annotations

import pytest

from plans.page.garments.form_words import message_words, place_words, remedy_words


@pytest.mark.parametrize(
    ("field", "place"),
    [
        ("edges[1].to[1].x", "edge 1, across"),
        ("edges[2].to[3].y", "edge 2, point 3, up"),
        ("edges[3].smooth[2].x", "edge 3, point 2, across"),
        ("edges[1].arc.radius", "edge 1, arc, radius"),
        ("cut.main", "cut from main"),
        ("cut", "cut"),
        ("allowances.hem", "allowance at 'hem'"),
        ("start.y", "beginning, up"),
        ("grain[2].x", "grain, head, across"),
        ("notches[1].at", "notch 1, at"),
        ("edits[2].by", "change 2, by"),
        ("sew[1].edges.2", "seam 1, to"),
        ("strip.length", "strip, length"),
        ("fold", "on the fold"),
        ("match[2].at.edge", "match point 2, at, edge"),
        ("match.bar", "match point, on the design"),
        ("", ""),
    ],
)
def test_a_field_is_called_as_the_form_calls_it(field: str, place: str) -> None:
    """Counted rows, and a point by its two directions."""
    assert place_words(field) == place


@pytest.mark.parametrize(
    ("fix", "words"),
    [
        ('name it: fold = "EDGE"', 'tick "on the fold" at an edge'),
        ('write name = "front"', "give it a name"),
        ('say how wide: width = "6 cm"', "say how wide, such as 6 cm"),
        (
            "make 'a.b' longer by that, or state what is meant: ease = \"1.2 cm\" with the shorter "
            "side second",
            "make 'a.b' longer by that, or type 1.2 cm at \"ease\" with the shorter side second",
        ),
        ('true both lines, or say that it is meant: leave = ["corners"]',
         "true both lines, or say in the file's text that it is meant"),
        ("write [x, y]", ""),
        ('name one: notches = [{ name = "a", ... }]', 'give one a name at "Notches"'),
        ('pieces of one group match: group = "check"', "pieces of one group match"),
        ("known keys: name, cut", ""),
        ("state it, even if it is 0", "state it, even if it is 0"),
        ("did you mean 'hem'? known: hem, side", "did you mean 'hem'? known: hem, side"),
        (None, ""),
    ],
)  # fmt: skip
def test_a_remedy_is_what_the_form_offers(fix: str | None, words: str) -> None:
    """One that only a file can follow is left out."""
    assert remedy_words(fix) == words


@pytest.mark.parametrize(
    ("message", "words"),
    [
        ("is missing, and 20 (edges[1].to of 'front') has no unit",
         "20 (edge 1, end of 'front') has no unit"),
        ("it is sewn (sew[2]), but cut from nothing; is that meant?",
         "it is sewn (seam 2), but cut from nothing; is that meant?"),
        ('it is drawn as a half (fold = "hem") but cut',
         "it is drawn as a half ('hem' is on the fold) but cut"),
        ("'6 1/' is not a length", "'6 1/' is not a length"),
    ],
)  # fmt: skip
def test_a_message_names_no_key_of_the_file(message: str, words: str) -> None:
    """What was typed stays as it was typed."""
    assert message_words(message) == words
