"""Views of fabrics: what is known of one; new, copied, corrected, taken away and brought back."""

from __future__ import annotations

from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from fabrics.fabric_toml import check_fabric, load_fabric
from fabrics.shelf import fabric_file, shelf_names
from pieces.files.own_shelf import FABRICS, own_files
from pieces.findings import Finding, InputError
from pieces.lengths import LengthError, NoUnitError, parse_length
from plans.page.asking import Asked, AskedError, sent
from plans.page.cloth import own_fabrics
from plans.page.cloth.fabric_fields import FIELDS, FLAW, GROUPS, LENGTHS, Kind
from plans.page.cloth.fabric_text import Typed, Value, corrected, typed_of
from plans.page.names import NotThereError
from plans.page.rendering import page
from plans.page.settings import units
from plans.words.lists.tables import fabric_rows

MOST_FLAWS = 100
"""Rows of flaws that are read; the file permits no more."""


def fabric(request: Request) -> Response:
    """Show what is known of a fabric on a shelf, and what is doubtful about it."""
    name = request.path_params["name"]
    path = fabric_file(name)
    if path is None:
        raise NotThereError(f"there is no fabric '{name}' on the shelf (any more)")
    try:
        found = load_fabric(path)
    except InputError:
        found = None
    return page(
        request,
        "cloth_fabric.html",
        found.title if found else name,
        "cloth",
        scripts=("cloth.js",),
        name=name,
        fabric=found,
        own=name in own_files(FABRICS),
        hides=name in own_files(FABRICS) and name in shelf_names(),
        findings=[_said(finding) for finding in check_fabric(path)],
        rows=fabric_rows(found, units(request)) if found else [],
    )


def new(request: Request) -> Response:
    """A form for a fabric of one's own: from nothing, or from a copy."""
    copied = request.query_params.get("copy", "")
    text = own_fabrics.NEW
    if copied:
        path = fabric_file(copied)
        if path is None:
            raise NotThereError(f"there is no fabric '{copied}' on the shelf (any more)")
        text = own_fabrics.seen(path).text
    title = "A fabric of your own" if not copied else f"A copy of {copied}"
    return _form(request, title, text, copied=copied)


def correct(request: Request) -> Response:
    """The same form with a fabric of one's own."""
    name = request.path_params["name"]
    seen = own_fabrics.seen(own_fabrics.own_file(name))
    return _form(request, f"Correct {name}", seen.text, name=name, digest=seen.digest)


def _form(
    request: Request, title: str, text: str, name: str = "", digest: str = "", copied: str = ""
) -> Response:
    typed = typed_of(text)
    return page(
        request,
        "cloth_fabric_form.html",
        title,
        "cloth",
        scripts=("cloth_fabric.js",),
        groups=GROUPS,
        flaw=FLAW,
        values=typed.values,
        flaws=typed.flaws,
        name=name,
        digest=digest,
        copied=copied,
    )


def check(request: Request) -> Response:
    """Tell what is wrong or doubtful with what is typed; nothing is kept."""
    asked = sent(request)
    was = asked.text("was", "")
    name = asked.text("name", "") or was
    for unused in ("copied", "digest"):
        asked.raw(unused)
    text = _text(asked)
    asked.finished()
    said = _judged(text, name)
    # While one types, a name that is not there yet is no fault.
    fault = own_fabrics.name_fault(name) if name and not was else ""
    if fault:
        said.insert(0, {"field": "name", "text": fault, "fatal": True})
    return JSONResponse({"findings": said})


def save(request: Request) -> Response:
    """Keep a fabric, new or corrected; what is wrong stands at its fields, and nothing is kept."""
    asked = sent(request)
    was, name, digest = asked.text("was", ""), asked.text("name", ""), asked.text("digest", "")
    asked.raw("copied")
    text = _text(asked)
    asked.finished()
    said = _judged(text, was or name)
    fault = "" if was else _name_fault(name)
    if fault:
        said.insert(0, {"field": "name", "text": fault, "fatal": True})
    fatal = [one for one in said if one["fatal"]]
    if fatal:
        alone = bool(fault) and len(fatal) == 1
        lines = [fault] if alone else ["The fabric is not kept: mend what is marked."]
        field = "name" if alone else ""
        return JSONResponse({"lines": lines, "field": field, "findings": said}, status_code=422)
    if was:
        try:
            own_fabrics.keep_corrected(was, text, digest)
        except own_fabrics.ChangedError as error:
            now = {"text": error.now.text, "digest": error.now.digest, "lines": [str(error)]}
            return JSONResponse({"changed": now})
    else:
        own_fabrics.keep_new(name, text)
    return JSONResponse({"go": f"/cloth/fabric/{quote(was or name)}"})


def away(request: Request) -> Response:
    """Take a fabric of one's own off the shelf."""
    own_fabrics.take_away(request.path_params["name"])
    return JSONResponse({"go": "/cloth#away"})


def back(request: Request) -> Response:
    """Bring back one that was taken away."""
    asked = sent(request)
    name = own_fabrics.bring_back(asked.text("aside"))
    asked.finished()
    return JSONResponse({"go": f"/cloth/fabric/{quote(name)}"})


def _text(asked: Asked) -> str:
    """The file that is meant: one's own or the copied one, with what is typed put in."""
    was, copied = asked.text("was", ""), asked.text("copied", "")
    text = own_fabrics.NEW
    if was:
        text = own_fabrics.seen(own_fabrics.own_file(was)).text
    elif copied and (path := fabric_file(copied)) is not None:
        text = own_fabrics.seen(path).text
    return corrected(text, _typed(asked))


def _typed(asked: Asked) -> Typed:
    values: dict[str, Value] = {
        field.key: asked.flag(field.key) if field.kind is Kind.FLAG else asked.text(field.key, "")
        for field in FIELDS
    }
    rows = asked.rows("flaws")
    if len(rows) > MOST_FLAWS:
        raise AskedError("flaws", f"are more than the {MOST_FLAWS} that a layout can keep clear of")
    flaws = []
    for row in rows:
        flaw = {field.key: row.text(field.key, "") for field in FLAW}
        row.finished()
        if any(flaw.values()):
            flaws.append(flaw)
    return Typed(values, tuple(flaws))


def _name_fault(name: str) -> str:
    if not name:
        return "is needed: plans and cards name the fabric by it"
    return own_fabrics.name_fault(name)


def _judged(text: str, name: str) -> list[dict[str, str | bool]]:
    """What is wrong or doubtful with a file, for its fields.

    That no unit is said stands once for the whole file; in a form every figure without one is
    marked, too.
    """
    said = [_said(finding) for finding in own_fabrics.findings_of(text, name)]
    typed = typed_of(text)
    if typed.values["units"] or not any(one["field"] == "units" for one in said):
        return said
    values = [(key, str(typed.values[key])) for key in LENGTHS] + [
        (f"flaws[{number}].{key}", value)
        for number, flaw in enumerate(typed.flaws, start=1)
        for key, value in flaw.items()
    ]
    bare = [(key, value) for key, value in values if _has_no_unit(value)]
    return said + [
        {"field": key, "text": f"has no unit (write {value} cm, mm or in)", "fatal": True}
        for key, value in bare
    ]


def _has_no_unit(value: str) -> bool:
    try:
        parse_length(value)
    except NoUnitError:
        return True
    except LengthError:
        return False
    return False


def _said(finding: Finding) -> dict[str, str | bool]:
    """A finding for its field: without the file, which is the one that is shown."""
    fix = f" ({finding.fix})" if finding.fix else ""
    field = finding.field or ""
    return {"field": field, "text": f"{finding.message}{fix}", "fatal": finding.fatal}


ROUTES = [
    Route("/cloth/fabrics/new", new),
    Route("/cloth/fabrics/check", check, methods=["POST"]),
    Route("/cloth/fabrics/back", back, methods=["POST"]),
    Route("/cloth/fabrics", save, methods=["POST"]),
    Route("/cloth/fabric/{name}", fabric),
    Route("/cloth/fabric/{name}/correct", correct),
    Route("/cloth/fabric/{name}/away", away, methods=["POST"]),
]
