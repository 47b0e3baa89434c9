"""The text of an SVG element, line by line, and where it begins."""

from __future__ import annotations

from pieces.drawings.svg.document import Node


def text_lines(node: Node) -> str:
    """The text of an element; a tspan with a place of its own begins a new line."""
    words = ""
    for part in node.content:
        if isinstance(part, str):
            words += " ".join(part.split()) if not part.strip() else _squeezed(part)
        elif part.tag == "tspan":
            moved = part.attributes.keys() & {"x", "y", "dy"}
            words += ("\n" if moved and words.strip() else "") + text_lines(part)
    return words


def _squeezed(text: str) -> str:
    """Text with every run of white space as one space."""
    inner = " ".join(text.split())
    return f"{' ' if text[0].isspace() else ''}{inner}{' ' if text[-1].isspace() else ''}"


def first_of(node: Node, name: str) -> str:
    """The first x or y of a text, or of the first part of it that has one."""
    waiting = [node]
    while waiting:
        one = waiting.pop(0)
        numbers = one.attributes.get(name, "").replace(",", " ").split()
        if numbers:
            return numbers[0]
        waiting += [child for child in one.children if child.tag == "tspan"]
    return "0"
