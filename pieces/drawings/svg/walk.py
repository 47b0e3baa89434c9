"""The walk over an SVG document: every line and text that is seen, where it stands on the sheet.

Groups, transforms, nested svg, symbol and use are followed within limits: what refers to itself
is refused, and so is what unfolds into absurdly many elements. Nothing outside the file is read.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any, NoReturn

from pieces.drawings.svg.css import SHAPING, Styles, styles_of
from pieces.drawings.svg.document import MOST_LEVELS, Node
from pieces.drawings.svg.matrix import Matrix, read_transform
from pieces.drawings.svg.shapes import SHAPES, parts_of
from pieces.drawings.svg.sheet import Mark, Sheet, Stroke, Writing
from pieces.drawings.svg.text import first_of, text_lines
from pieces.drawings.svg.viewport import (
    ViewBox,
    Viewport,
    fitted,
    number_and_unit,
    pixels,
    read_view_box,
)
from pieces.findings import Finding, InputError
from pieces.outline import OutlineError
from pieces.readers.svg_path import TooLongError

MOST_INSTANCES = 20_000
"""Elements that a document may unfold into through `use`."""

MOST_DRAWN = 60_000
"""Segments of all lines together."""

MOST_FAULTS = 30
"""After so many the rest are only counted."""

_THROUGH = ("g", "a", "switch")
_NEVER_SEEN = (
    "defs", "symbol", "clipPath", "mask", "pattern", "marker", "linearGradient", "radialGradient",
    "filter", "style", "title", "desc", "metadata", "script", "view",
)  # fmt: skip
_UNIT_SHOWN = {"mm": "mm", "cm": "cm", "q": "mm", "in": "in", "pt": "in", "pc": "in", "px": "cm"}


@dataclass(frozen=True)
class _At:
    """Where the walk stands."""

    matrix: Matrix
    viewport: Viewport
    groups: tuple[Mark, ...] = ()
    seen: bool = True
    left_out: bool = False
    used: tuple[str, ...] = ()
    level: int = 0


def walk(root: Node, file: str, left_out: frozenset[str] = frozenset()) -> Sheet:
    """Return what a document shows.

    Parameters
    ----------
    root : Node
    file : str
        For messages.
    left_out : frozenset of str
        Ids of elements that the user wants left out.

    Raises
    ------
    InputError
        If it unfolds into absurdly much.
    """
    return _Walker(root, file, left_out).sheet


class _Walker:
    def __init__(self, root: Node, file: str, left_out: frozenset[str]) -> None:
        self.file = file
        self.left_out = left_out
        self.sheet = Sheet(title=root.child_text("title"))
        self.styles: Styles = styles_of(root)
        self.named = _named(root)
        self.count = 0
        self.segments = 0
        self.faults = 0
        matrix, viewport = self._frame(root)
        start = _At(matrix, viewport)
        for node in root.children:
            self._visit(node, start)
        for words in self.styles.unread:
            self._leave(words)
        for name in sorted(left_out - self.named.keys()):
            self.fault(None, f"there is no element '{name}' to leave out")
        if self.faults > MOST_FAULTS:
            self.sheet.findings.append(
                Finding(file, f"and {self.faults - MOST_FAULTS} more faults of this kind")
            )

    def fault(self, node: Node | None, words: str, fix: str | None = None) -> None:
        """Record what is wrong with an element."""
        self.faults += 1
        if self.faults > MOST_FAULTS:
            return
        line = None if node is None else node.line
        name = "" if node is None else node.attributes.get("id", "")
        what = "" if node is None else f"{node.tag}{f' {name!r}' if name else ''}: "
        self.sheet.findings.append(Finding(self.file, f"{what}{words}", line=line, fix=fix))

    def _refuse(self, node: Node, words: str) -> NoReturn:
        """Give up: what is so large is no pattern."""
        words = f"{words}; that is no drawing of a pattern"
        raise InputError([Finding(self.file, words, line=node.line)])

    def _leave(self, words: str) -> None:
        self.sheet.ignored[words] = self.sheet.ignored.get(words, 0) + 1

    def _frame(self, root: Node) -> tuple[Matrix, Viewport]:
        """The way from the root's own units to pixels, and its viewport."""
        own = self.styles.of(root)
        sheet = self.sheet
        sizes: dict[str, float] = {}
        try:
            box = read_view_box(root.attributes.get("viewBox", ""))
            for name in ("width", "height"):
                text = own.get(name, root.attributes.get(name, "auto")).strip()
                if text in ("auto", "inherit", ""):
                    continue
                number, unit = number_and_unit(text)
                if unit == "%":
                    continue
                if number <= 0.0:
                    raise OutlineError(f"{name} is not more than 0")
                sizes[name] = pixels(text, 0.0)
                if unit:
                    sheet.unit = _UNIT_SHOWN[unit] if not sheet.physical else sheet.unit
                    sheet.in_pixels = unit == "px"
                    sheet.physical = True
            width, height = _completed(sizes, box)
            sheet.width, sheet.height = width, height
            matrix = fitted(box, root.attributes.get("preserveAspectRatio", ""), width, height)
            if root.attributes.get("transform"):
                matrix = matrix.of(read_transform(root.attributes["transform"]))
        except OutlineError as error:
            self.fault(root, str(error))
            return Matrix(), Viewport(1.0, 1.0)
        return matrix, Viewport(box.width, box.height) if box else Viewport(width, height)

    def _visit(self, node: Node, at: _At) -> None:
        self.count += 1
        if self.count > MOST_INSTANCES:
            self._refuse(node, f"it unfolds into more than {MOST_INSTANCES:,} elements")
        if at.level > 2 * MOST_LEVELS:
            self.fault(node, "its uses of uses go too deep")
            return
        if node.tag in _NEVER_SEEN:
            return
        if node.tag == "":
            self._leave("an element that is not SVG")
            return
        ident = node.attributes.get("id", "")
        if ident in self.left_out and ident:
            self._leave(f"as you asked: {_place(node)}")
            at = replace(at, left_out=True)
        own = self.styles.of(node)
        if own.get("display") == "none":
            self._leave(f"not shown: {_place(node)}")
            return
        visibility = own.get("visibility", "inherit")
        seen = at.seen if visibility == "inherit" else visibility == "visible"
        mark = Mark(
            self.count, node.tag, ident, node.child_text("title"),
            node.attributes.get("class", ""), node.line,
        )  # fmt: skip
        try:
            inner = self._entered(node, own, at, seen)
            if node.tag in _THROUGH:
                self._through(node.children, replace(inner, groups=(*at.groups, mark)))
            elif node.tag == "svg":
                inner = self._in_view(node, node.attributes, inner)
                self._through(node.children, replace(inner, groups=(*at.groups, mark)))
            elif node.tag == "use":
                self._use(node, mark, inner)
            elif node.tag in SHAPES:
                self._shape(node, mark, own, inner)
            elif node.tag == "text":
                self._text(node, mark, inner)
            else:
                self._leave(f"an element <{node.tag[:20]}>")
        except OutlineError as error:
            self.fault(node, str(error))

    def _through(self, nodes: Iterable[Node], at: _At) -> None:
        for node in nodes:
            self._visit(node, replace(at, level=at.level + 1))

    def _entered(self, node: Node, own: dict[str, str], at: _At, seen: bool) -> _At:
        """Where the walk stands inside an element: its transform and what hides it."""
        shaping = {k for k in SHAPING & own.keys() if own[k] not in ("none", "auto", "initial")}
        if shaping:
            raise OutlineError(
                f"{', '.join(sorted(shaping))} in CSS is not read; write it as an attribute"
            )
        if node.attributes.get("transform-origin"):
            raise OutlineError("transform-origin is not read; put it into the transform")
        for name in ("clip-path", "mask"):
            if own.get(name, "none") != "none":
                self._leave(f"a {name}: what it hides is read all the same")
        matrix = at.matrix
        if node.attributes.get("transform", "").strip():
            matrix = matrix.of(read_transform(node.attributes["transform"]))
        return replace(at, matrix=matrix, seen=seen)

    def _in_view(self, node: Node, sizes: dict[str, str], at: _At) -> _At:
        """Enter the viewport of a nested svg or a symbol, `sizes` being its place and size."""
        width = pixels(_size(sizes, "width"), at.viewport.width)
        height = pixels(_size(sizes, "height"), at.viewport.height)
        if width <= 0.0 or height <= 0.0:
            raise OutlineError("its width or height is not more than 0, so that nothing is seen")
        box = read_view_box(node.attributes.get("viewBox", ""))
        view = fitted(box, node.attributes.get("preserveAspectRatio", ""), width, height)
        place = Matrix(
            e=pixels(sizes.get("x", "0"), at.viewport.width) if node.tag == "svg" else 0.0,
            f=pixels(sizes.get("y", "0"), at.viewport.height) if node.tag == "svg" else 0.0,
        )
        viewport = Viewport(box.width, box.height) if box else Viewport(width, height)
        return replace(at, matrix=at.matrix.of(place).of(view), viewport=viewport)

    def _use(self, node: Node, mark: Mark, at: _At) -> None:
        reference = node.attributes.get("href", "").strip()
        target = self.named.get(reference[1:]) if reference.startswith("#") else None
        if not reference.startswith("#"):
            self._leave("a use of something outside the file, which is never fetched")
            return
        if target is None:
            self.fault(node, f"there is no element '{reference[1:][:40]}' to use")
            return
        if reference in at.used:
            self.fault(node, f"'{reference[1:][:40]}' uses itself")
            return
        if target.tag in _NEVER_SEEN and target.tag != "symbol":
            return
        shift = Matrix(
            e=pixels(node.attributes.get("x", "0"), at.viewport.width),
            f=pixels(node.attributes.get("y", "0"), at.viewport.height),
        )
        inner = replace(
            at,
            matrix=at.matrix.of(shift),
            groups=(*at.groups, mark),
            used=(*at.used, reference),
            level=at.level + 1,
        )
        sizes = {k: v for k, v in node.attributes.items() if k in ("width", "height")}
        if target.tag == "symbol":
            own = self.styles.of(target)
            if own.get("display") == "none":
                return
            title = Mark(
                mark.number, "symbol", target.attributes.get("id", ""),
                target.child_text("title"), target.attributes.get("class", ""), target.line,
            )  # fmt: skip
            kept = {k: v for k, v in target.attributes.items() if k in ("width", "height")}
            inner = self._entered(target, own, inner, at.seen)
            inner = self._in_view(target, {**kept, **sizes}, inner)
            self._through(target.children, replace(inner, groups=(*inner.groups, title)))
        elif target.tag == "svg":
            sized = replace_attributes(target, sizes)
            self._visit(sized, inner)
        else:
            self._visit(target, inner)

    def _shape(self, node: Node, mark: Mark, own: dict[str, str], at: _At) -> None:
        if not at.seen:
            self._leave(f"not shown: {_place(node)}")
            return
        try:
            parts = parts_of(node, at.viewport)
        except TooLongError as error:
            self._refuse(node, str(error))
        self.segments += sum(len(part.segments) for part in parts)
        if self.segments > MOST_DRAWN:
            self._refuse(node, f"its lines have more than {MOST_DRAWN:,} segments together")
        if not parts:
            self._leave(f"draws nothing: {_place(node)}")
            return
        starts = own.get("marker-start", "none") != "none"
        only = starts and own.get("marker-end", "none") == "none"
        stroke = Stroke(mark, at.groups, parts, at.matrix, only)
        (self.sheet.left_out if at.left_out else self.sheet.strokes).append(stroke)

    def _text(self, node: Node, mark: Mark, at: _At) -> None:
        words = text_lines(node).strip()
        if not words or at.left_out:
            return
        if not at.seen:
            self._leave(f"not shown: {_place(node)}")
            return
        place = [first_of(node, name) for name in ("x", "y")]
        x = pixels(place[0], at.viewport.width)
        y = pixels(place[1], at.viewport.height)
        self.sheet.writings.append(Writing(mark, at.groups, words, at.matrix.apply(complex(x, y))))


def _place(node: Node) -> str:
    """How an element is named in messages."""
    return Mark(0, node.tag, node.attributes.get("id", ""), "", "", node.line).place


def replace_attributes(node: Node, attributes: dict[str, Any]) -> Node:
    """The same element with other values for some attributes."""
    return Node(node.tag, {**node.attributes, **attributes}, node.line, node.content)


def _completed(sizes: dict[str, float], box: ViewBox | None) -> tuple[float, float]:
    """Width and height in pixels; one that is missing follows from the view box."""
    if box is None:
        return sizes.get("width", 300.0), sizes.get("height", 150.0)
    if not sizes:
        return box.width, box.height
    width = sizes.get("width", sizes.get("height", 0.0) * box.width / box.height)
    return width, sizes.get("height", width * box.height / box.width)


def _size(sizes: dict[str, str], name: str) -> str:
    text = sizes.get(name, "100%").strip()
    return "100%" if text == "auto" else text


def _named(root: Node) -> dict[str, Node]:
    """Elements by id; of several with one id the first counts."""
    found: dict[str, Node] = {}
    waiting = [root]
    while waiting:
        node = waiting.pop()
        ident = node.attributes.get("id")
        if ident:
            found.setdefault(ident, node)
        waiting += reversed(node.children)
    return found
