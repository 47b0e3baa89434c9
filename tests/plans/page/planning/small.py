"""A garment of two rectangles, whose plans are made in a moment, and fields that ask for them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.page import Client

NASTY = "<script>alert(1)</script> 👖 שלום"
"""A title as someone might type it: markup, a picture, and letters from right to left."""

BAG = f"""
title = '{NASTY}'
units = "cm"

[[piece]]
name = "side"
cut = {{ main = "4" }}
drawn = "with allowance"
grain = [[5, 15], [35, 15]]
edges = [
  {{ name = "foot", to = [40, 0] }}, {{ name = "right", to = [40, 30] }},
  {{ name = "top", to = [0, 30] }}, {{ name = "left", to = [0, 0] }},
]

[[piece]]
name = "base"
cut = {{ main = "1", lining = "1" }}
drawn = "with allowance"
grain = [[5, 6], [20, 6]]
edges = [
  {{ name = "front", to = [25, 0] }}, {{ name = "right", to = [25, 12] }},
  {{ name = "back", to = [0, 12] }}, {{ name = "left", to = [0, 0] }},
]
"""

FIELDS: dict[str, Any] = {
    "garment-1": "bag",
    "cloth-main": "=typed",
    "width-main": "90cm",
    "cloth-lining": "demo-interfacing",
    "effort": "quick",
}


def shelved(folder: Path) -> None:
    """Put the bag and the pebbles on the shelf that lies in a folder."""
    (folder / "shelf" / "garments").mkdir(parents=True, exist_ok=True)
    for name, text in (("bag", BAG), ("pebbles", PEBBLES)):
        (folder / "shelf" / "garments" / f"{name}.toml").write_text(text, encoding="utf-8")


def begun(client: Client, **fields: Any) -> str:
    """Begin to lay the bag; the name of the work."""
    answer = client.send("/new/plan", **{**FIELDS, **fields})
    assert answer.status_code == 200, answer.text
    work: str = answer.json()["work"]
    return work


def news(client: Client, work: str) -> list[tuple[str, dict[str, Any]]]:
    """All that is told of some work until it is over."""
    found = []
    for block in client.get(f"/at-work/{work}/events").text.strip().split("\n\n"):
        fields = dict(line.split(": ", 1) for line in block.splitlines())
        found.append((fields["event"], json.loads(fields["data"])))
    return found


PEBBLES = """
title = "Pebbles"
units = "cm"

[[piece]]
name = "pebble"
cut = { main = "29 same way", lining = "29 same way" }
drawn = "with allowance"
grain = [[4, 8], [18, 8]]
edges = [
  { to = [16, -3] }, { to = [23, 7] }, { to = [19, 15] }, { to = [6, 17] }, { to = [0, 0] },
]
"""
"""Of an uneven shape, so that nothing proves how short they can be laid; laid in a moment."""
