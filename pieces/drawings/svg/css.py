"""The little of CSS that decides what is seen: simple rules of `<style>`, and `style` attributes.

Selectors of one element are read (`line`, `.hidden`, `#guide`, `g.notes`, `*`), several of them
with commas; others are named as not read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from pieces.drawings.svg.document import Node

MOST_RULES = 300

_SELECTOR = re.compile(r"(?P<tag>[A-Za-z]\w*|\*)?(?P<rest>(?:[.#][\w-]+)*)")

SHAPING = frozenset((
    "transform", "translate", "rotate", "scale", "d", "x", "y", "cx", "cy", "r", "rx", "ry",
    "transform-origin", "transform-box", "offset-path", "zoom",
))  # fmt: skip
"""Properties that would change an outline if they were obeyed."""


@dataclass(frozen=True)
class _Rule:
    tag: str
    ident: str
    classes: frozenset[str]
    rank: tuple[int, int, int, int]
    properties: dict[str, str]

    def fits(self, node: Node, classes: frozenset[str]) -> bool:
        return (
            self.tag in ("", "*", node.tag)
            and (not self.ident or self.ident == node.attributes.get("id"))
            and self.classes <= classes
        )


@dataclass
class Styles:
    """The rules of a document, and what in them was not read."""

    rules: list[_Rule] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    _known: dict[tuple[str, str, str], dict[str, str]] = field(default_factory=dict)

    def add(self, text: str) -> None:
        """Add the rules of a `<style>` element."""
        for selectors, body in _blocks(_without_comments(text)):
            if selectors.startswith("@"):
                self.unread.append("rules with @ in <style>")
                continue
            if len(self.rules) >= MOST_RULES:
                self.unread.append(f"what comes after {MOST_RULES:,} rules in <style>")
                return
            properties = dict(_properties(body))
            for selector in selectors.split(","):
                self._add_one(selector.strip(), properties)

    def _add_one(self, selector: str, properties: dict[str, str]) -> None:
        match = _SELECTOR.fullmatch(selector)
        if match is None or not selector:
            if properties.keys() & {"display", "visibility"} | properties.keys() & SHAPING:
                self.unread.append(f"the rule for '{selector[:40]}' in <style>")
            return
        parts = re.findall(r"([.#])([\w-]+)", match["rest"])
        ids = [name for sign, name in parts if sign == "#"]
        classes = frozenset(name for sign, name in parts if sign == ".")
        tag = match["tag"] or ""
        rank = (len(ids), len(classes), int(tag not in ("", "*")), len(self.rules))
        if len(set(ids)) <= 1:
            self.rules.append(_Rule(tag, ids[0] if ids else "", classes, rank, properties))

    def of(self, node: Node) -> dict[str, str]:
        """Properties of an element: its attributes, then rules, then its own style."""
        found: dict[str, str] = {
            key: node.attributes[key]
            for key in ("display", "visibility", "clip-path", "mask", "marker-start", "marker-end")
            if key in node.attributes
        }
        found.update(self._by_rules(node))
        found.update(_properties(node.attributes.get("style", "")))
        return found

    def _by_rules(self, node: Node) -> dict[str, str]:
        names = (node.attributes.get("class", ""), node.attributes.get("id", ""))
        key = (node.tag, *names)
        if not self.rules:
            return {}
        if key not in self._known:
            classes = frozenset(names[0].split())
            fitting = [rule for rule in self.rules if rule.fits(node, classes)]
            merged: dict[str, str] = {}
            for rule in sorted(fitting, key=lambda rule: rule.rank):
                merged.update(rule.properties)
            self._known[key] = merged
        return self._known[key]


def styles_of(root: Node) -> Styles:
    """Collect the rules of every `<style>` of a document."""
    styles = Styles()
    waiting = [root]
    while waiting:
        node = waiting.pop()
        if node.tag == "style":
            styles.add(node.text())
        waiting += reversed(node.children)
    return styles


def _without_comments(text: str) -> str:
    kept: list[str] = []
    at = 0
    while (begin := text.find("/*", at)) >= 0:
        kept.append(text[at:begin])
        end = text.find("*/", begin + 2)
        at = len(text) if end < 0 else end + 2
    return " ".join([*kept, text[at:]]).replace("<!--", " ").replace("-->", " ")


def _blocks(text: str) -> Iterator[tuple[str, str]]:
    """What stands before each outermost pair of braces, and in it; a statement has nothing."""
    begin = inside = depth = 0
    for match in re.finditer(r"[{};]", text):
        sign = match[0]
        if sign == "{":
            depth += 1
            inside = match.end() if depth == 1 else inside
        elif sign == "}" and depth:
            depth -= 1
            if not depth:
                yield text[begin : inside - 1].strip(), text[inside : match.start()]
                begin = match.end()
        elif sign == ";" and not depth:
            yield text[begin : match.start()].strip(), ""
            begin = match.end()


def _properties(text: str) -> Iterator[tuple[str, str]]:
    for declaration in text.split(";"):
        name, sign, value = declaration.partition(":")
        if sign:
            yield name.strip().lower(), value.replace("!important", "").strip()
