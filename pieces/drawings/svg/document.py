"""An SVG file as a tree, read with limits: nothing is declared, expanded or fetched.

Entities are refused (defusedxml), no document type is fetched, and files with absurdly many
elements or levels are refused. Elements and attributes of other vocabularies are kept apart from
those of SVG.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import ParseError

from pieces.files.text_file import read_bytes
from pieces.findings import Finding, InputError

MOST_ELEMENTS = 50_000
MOST_LEVELS = 60
MOST_ATTRIBUTES = 500
"""Drawings of patterns have hundreds of elements, a few levels, and a dozen attributes each."""

_SVG = "{http://www.w3.org/2000/svg}"
_LINK = "{http://www.w3.org/1999/xlink}href"
_CHUNK = 1 << 16


@dataclass(slots=True)
class Node:
    """One element.

    Attributes
    ----------
    tag : str
        Its name in SVG; empty for an element of another vocabulary.
    attributes : dict of str to str
        Those of SVG, `href` among them however it is spelt.
    content : list of (Node or str)
        What is in it, in order.
    line : int
        Line of the file on which it begins.
    """

    tag: str
    attributes: dict[str, str]
    line: int
    content: list[Node | str] = field(default_factory=list)

    @property
    def children(self) -> list[Node]:
        """Elements in it."""
        return [node for node in self.content if isinstance(node, Node)]

    def child_text(self, tag: str) -> str:
        """Text of the first child of a kind, on one line; empty if there is none."""
        for node in self.children:
            if node.tag == tag:
                return " ".join(node.text().split())
        return ""

    def text(self) -> str:
        """All text in it."""
        return "".join(part if isinstance(part, str) else part.text() for part in self.content)


def read_document(path: Path) -> Node:
    """Read an SVG file.

    Raises
    ------
    InputError
        If it is no well-formed SVG file, or one that could do harm.
    """
    from defusedxml.common import DefusedXmlException
    from defusedxml.ElementTree import DefusedXMLParser

    content = read_bytes(path, "a drawing")
    builder = _Builder(str(path))
    parser: Any = DefusedXMLParser(target=builder)
    builder.expat = parser.parser
    try:
        for at in range(0, len(content), _CHUNK):
            parser.feed(content[at : at + _CHUNK])
        parser.close()
    except InputError:
        raise  # A limit of ours; it is a ValueError, as what expat and codecs raise is.
    except DefusedXmlException:
        raise InputError(
            [
                Finding(
                    str(path),
                    "declares entities, which are refused for safety",
                    fix="delete the [...] in the <!DOCTYPE> at its head, or save it as plain SVG",
                    line=builder.expat.CurrentLineNumber,
                )
            ]
        ) from None
    except ParseError as error:
        line = error.position[0]
        words = str(error).partition(":")[0]
        raise InputError(
            [Finding(str(path), f"is no well-formed SVG: {words}", line=line)]
        ) from error
    except LookupError as error:
        raise InputError([Finding(str(path), f"cannot be read: {error}")]) from error
    except ValueError as error:
        raise InputError([Finding(str(path), f"cannot be read as text: {error}")]) from error
    if builder.root is None or builder.root.tag != "svg":
        raise InputError([Finding(str(path), "is no SVG drawing", fix="its root must be <svg>")])
    return builder.root


class _Builder:
    """Builds the tree and stops at its limits."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.expat: Any = None
        self.root: Node | None = None
        self.open: list[Node] = []
        self.count = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self.count += 1
        if self.count > MOST_ELEMENTS:
            self._refuse(f"has more than {MOST_ELEMENTS:,} elements")
        if len(self.open) >= MOST_LEVELS:
            self._refuse(f"has elements in one another, more than {MOST_LEVELS} deep")
        if len(attributes) > MOST_ATTRIBUTES:
            self._refuse(f"has an element with more than {MOST_ATTRIBUTES} attributes")
        kept = {name: value for name, value in attributes.items() if "}" not in name}
        if _LINK in attributes:
            kept.setdefault("href", attributes[_LINK])
        local = tag.removeprefix(_SVG)
        node = Node("" if "}" in local else local, kept, self.expat.CurrentLineNumber)
        if self.open:
            self.open[-1].content.append(node)
        else:
            self.root = node
        self.open.append(node)

    def end(self, tag: str) -> None:
        self.open.pop()

    def data(self, data: str) -> None:
        if self.open:
            self.open[-1].content.append(data)

    def close(self) -> None:
        """Nothing is left to do."""

    def _refuse(self, words: str) -> None:
        raise InputError(
            [
                Finding(
                    self.file,
                    f"{words}; that is no drawing of a pattern",
                    line=self.expat.CurrentLineNumber,
                )
            ]
        )
