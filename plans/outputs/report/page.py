"""One self-contained HTML report: inline drawings, no network, complete without its script."""

from __future__ import annotations

import base64
import hashlib
from functools import lru_cache
from pathlib import Path

from pieces.lengths import System
from plans.outputs.report.fabric_part import fabric_part, leftover_part
from plans.outputs.report.markup import escape, heading
from plans.outputs.report.table_view import table_view
from plans.plan import Plan
from plans.words import facts
from plans.words import leftover_lines as words
from plans.words.purchase_words import shopping_line


def write_html(plan: Plan, path: Path, system: System) -> None:
    """Write the report of all fabrics of a plan."""
    path.write_text(html_text(plan, system), encoding="utf-8")


def html_text(plan: Plan, system: System) -> str:
    """Return the report as HTML text."""
    makes = f", {plan.makes} of them" if plan.makes > 1 else ""
    body = []
    if plan.missing_roles:
        body.append(f"<p><strong>Not planned: {escape(', '.join(plan.missing_roles))}</strong></p>")
    body += [f"<p>{escape(text)}</p>" for text in facts.shared_words(plan)]
    body.append(heading(2, "Shopping list" if plan.fabrics else "Nothing to buy"))
    body += [f'<p class="ask">{escape(shopping_line(entry, system))}</p>' for entry in plan.fabrics]
    body += [
        f'<p class="ask">{escape(words.saving_line(saving, system))}</p>' for saving in plan.savings
    ]
    body.append('<p class="leading"><a class="large" href="#table">At the cutting table</a></p>')
    body += [f'<p class="caution">{escape(caution)}</p>' for caution in plan.cautions]
    body += [fabric_part(entry, f"f{k}", system) for k, entry in enumerate(plan.fabrics)]
    body += [leftover_part(cut, f"l{k}", system) for k, cut in enumerate(plan.on_leftovers)]
    script = _shipped("report.js")
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8"/>\n'
        f'<meta http-equiv="Content-Security-Policy" content="{content_security_policy()}"/>\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1"/>\n'
        '<meta name="color-scheme" content="light dark"/>\n'
        f"<title>{escape(plan.title)}: cutting plan</title>\n<style>{_shipped('report.css')}"
        "</style>\n</head>\n<body>\n<main>\n"
        + heading(1, f"{plan.title}{makes}")
        + '\n<div id="plan">\n'
        + "\n".join(body)
        + f"\n</div>\n{table_view(plan, system)}\n</main>\n<script>{script}</script>\n"
        "</body>\n</html>\n"
    )


def content_security_policy() -> str:
    """Return what the report may do: its own script and styles, and nothing from anywhere.

    The drawings carry styles at their elements.
    """
    digest = base64.b64encode(hashlib.sha256(_shipped("report.js").encode()).digest()).decode()
    return (
        f"default-src 'none'; script-src 'sha256-{digest}'; style-src 'unsafe-inline'; "
        "base-uri 'none'; form-action 'none'"
    )


@lru_cache(maxsize=2)
def _shipped(file: str) -> str:
    """A file that stands beside this module, as it stands."""
    return Path(__file__).with_name(file).read_text(encoding="utf-8")
