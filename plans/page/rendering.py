"""Answers: pages from templates, in the units and the look that a person has chosen."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

from jinja2 import Environment, FileSystemLoader, StrictUndefined, pass_context
from jinja2.runtime import Context
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from pieces.lengths import System, format_length
from plans.page.settings import LOOKS, look, units
from plans.words.lists.moments import moment_words

TEMPLATES = Path(__file__).parent / "templates"

SUBJECTS = (
    ("garments", "/garments", "Garments"),
    ("cloth", "/cloth", "Cloth"),
    ("plans", "/plans", "Plans"),
    ("compare", "/compare", "Before buying"),
)
"""The views that every page links to: their name, address and title."""


@cache
def templates() -> Environment:
    """The templates; everything that is put into them is escaped."""
    found = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters["length"] = _length
    found.filters["moment"] = moment_words
    found.filters["as_json"] = json.dumps
    return found


@pass_context
def _length(context: Context, mm: float) -> str:
    """A length in the units of whoever asked."""
    system: System = context["units"]
    return format_length(mm, system)


def page(
    request: Request,
    template: str,
    title: str,
    here: str = "",
    status: int = 200,
    scripts: Iterable[str] = (),
    **values: Any,
) -> Response:
    """Answer with a page.

    Parameters
    ----------
    request : Request
    template : str
        Its file.
    title : str
    here : str
        Which of `SUBJECTS` it belongs to.
    status : int
    scripts : iterable of str
        Files in `static/` that it needs besides `page.js`.
    values
        What the template is given.
    """
    text = (
        templates()
        .get_template(template)
        .render(
            title=title,
            here=here,
            subjects=SUBJECTS,
            units=units(request),
            look=look(request),
            looks=LOOKS,
            scripts=tuple(scripts),
            address=request.url.path,
            **values,
        )
    )
    return HTMLResponse(text, status_code=status)


def handed_over(content: str | bytes, media: str, name: str) -> Response:
    """Answer with a file to keep under a name, in whatever letters that is (RFC 6266, 4.3)."""
    quoted = quote(name, safe="")
    named = f'filename="{name}"' if quoted == name else f"filename*=UTF-8''{quoted}"
    headers = {"content-disposition": f"attachment; {named}"}
    return Response(content, media_type=media, headers=headers)
