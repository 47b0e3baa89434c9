"""Drafting: the form of a garment's pieces, judged and drawn as it is typed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from pieces.files.own_shelf import GARMENTS, own_files, own_shelf
from pieces.files.toml_merge import merged_text
from pieces.readers.shelf import all_names
from pieces.readers.shelf import shelf_names as demo_names
from plans.outputs.keeping import put_file
from plans.page.asking import Asked, AskedError, sent
from plans.page.garments import drafts
from plans.page.garments.fields import told, worst_first
from plans.page.garments.judging import (
    InSize,
    data_in_size,
    judged_alone,
    judged_in_all_sizes,
)
from plans.page.garments.picture import draft_picture, garment_view
from plans.page.garments.shelf import address, digest, new_name
from plans.page.garments.trash import give_up
from plans.page.names import NotThereError
from plans.page.rendering import page
from plans.page.settings import units


def _name(request: Request) -> str:
    return str(request.path_params["name"])


def draft(request: Request) -> Response:
    """Show the form; what stands in it comes with `state`."""
    name = _name(request)
    if name not in own_files(GARMENTS) and name in demo_names():
        return RedirectResponse(address(name), status_code=303)
    try:
        drafts.opened(name)
    except drafts.NoFormError:
        return RedirectResponse(address(name, "text"), status_code=303)
    return page(
        request,
        "draft.html",
        f"Draft of {name}",
        here="garments",
        scripts=["draft.js"],
        name=name,
        where=address(name),
    )


def state(request: Request) -> Response:
    """Tell what stands in the form: the draft as it was typed last, else the garment file."""
    return JSONResponse(_told(drafts.opened(_name(request))))


def _told(opened: drafts.Draft) -> dict[str, Any]:
    return {
        "name": opened.name,
        "data": opened.data,
        "former": opened.former,
        "stamp": opened.stamp,
        "kept": opened.is_kept,
        "on_shelf": opened.name in own_files(GARMENTS),
        "disk": _changed_on_disk(opened),
        "garments": all_names(),
    }


def _changed_on_disk(draft: drafts.Draft) -> dict[str, Any] | None:
    """The garment file where it is no longer the one that the draft began from."""
    text = drafts.file_text(draft.name)
    if text == draft.former or (text is None and draft.name not in own_files(GARMENTS)):
        return None
    try:
        data = None if text is None else drafts.data_of(text)
    except drafts.NoFormError:
        data = None
    said = "it is no text file" if text is None else text
    return {"text": said, "data": data, "stamp": _stamp(text)}


def _stamp(text: str | None) -> str:
    return f"file:{digest((text or '').encode('utf-8'))}"


def _data(asked: Asked) -> dict[str, Any]:
    """What stands in the form: an object with pieces that are objects."""
    data = asked.raw("data")
    if not isinstance(data, dict):
        raise AskedError("data", "is no garment")
    pieces = data.get("piece", [])
    if not isinstance(pieces, list) or not all(isinstance(piece, dict) for piece in pieces):
        raise AskedError("data", "its pieces are no list of objects")
    return data


def judge(request: Request) -> Response:
    """Say what `check` says of what was typed, each thing at its field, and draw one piece.

    With `alone` only that piece is judged, with those that it is made from; else all sizes are,
    the one that is shown (`size`) first. What is empty is asked for; with `finished` it is at
    fault.
    """
    asked = sent(request)
    data, alone = _data(asked), asked.flag("alone")
    count = len(data.get("piece", []))
    number = asked.whole("piece", -1, max(count - 1, -1), -1)
    finished, size = asked.flag("finished"), asked.text("size", "")
    asked.finished()
    name, system = _name(request), units(request)
    if alone and number >= 0:
        judged = [InSize(size, *judged_alone(data, name, number, size, system))]
    else:
        judged = judged_in_all_sizes(data, name, size, system)
    garment = judged[0].garment
    return JSONResponse(
        {
            "findings": _told_of(judged, data, finished),
            "picture": garment_view(garment)
            if number < 0
            else draft_picture(data_in_size(data, judged[0].size), number, garment, system),
            "alone": alone and number >= 0,
        }
    )


def _told_of(judged: list[InSize], data: dict[str, Any], finished: bool) -> list[dict[str, Any]]:
    return worst_first(
        one
        for each in judged
        for one in told(each.findings, data_in_size(data, each.size), finished, each.size)
    )


@dataclass(frozen=True)
class _Tab:
    """The draft as a tab has it, its name, and the stamp of what it saw last."""

    draft: drafts.Draft
    name: str
    seen: str


def _typed(request: Request, asked: Asked) -> _Tab:
    former = asked.raw("former")
    if asked.flag("former_is_kept"):
        former = _kept_former(_name(request))
    if former is not None and not isinstance(former, str):
        raise AskedError("former", "is no text")
    draft = drafts.Draft(_name(request), _data(asked), former, "")
    tab = asked.text("tab")
    if not tab.isalnum():
        raise AskedError("tab", "is no name of a tab")
    return _Tab(draft, tab, asked.text("seen"))


def _kept_former(name: str) -> str | None:
    """The text that the kept draft began from, which need not be sent each time."""
    try:
        kept = drafts.opened(name)
    except (NotThereError, drafts.NoFormError):
        kept = None
    if kept is None or not kept.is_kept:
        raise AskedError("former", "is not kept here any more; send it")
    return kept.former


def _other_tab(tab: _Tab) -> dict[str, Any] | None:
    """What another tab kept meanwhile; what this one typed is then kept under a name of its own."""
    typed = tab.draft
    try:
        now = drafts.opened(typed.name)
    except (NotThereError, drafts.NoFormError):
        return None
    if now.stamp == tab.seen or now.stamp.startswith(f"{tab.name}."):
        return None
    if not now.is_kept or now.data == typed.data:
        return None
    aside = drafts.free_for(typed.name)
    drafts.begin(aside, typed.data, typed.former)
    return {"aside": aside, "go": address(aside, "draft"), "theirs": _told(now)}


def keep(request: Request) -> Response:
    """Keep what was typed as a draft."""
    asked = sent(request)
    tab = _typed(request, asked)
    asked.finished()
    with drafts.LOCK:
        other = _other_tab(tab)
        if other is not None:
            return JSONResponse({"other_tab": other})
        stamp = drafts.keep(tab.draft, tab.name)
    return JSONResponse({"stamp": stamp, "disk": _changed_on_disk(tab.draft)})


def put(request: Request) -> Response:
    """Put a sound draft on the shelf, unless its file was changed meanwhile."""
    asked = sent(request)
    tab = _typed(request, asked)
    asked.finished()
    typed, name = tab.draft, tab.draft.name
    judged = [
        replace(each, findings=[f for f in each.findings if f.fatal])
        for each in judged_in_all_sizes(typed.data, name)
    ]
    wrong = _told_of(judged, typed.data, finished=True)
    with drafts.LOCK:
        other = _other_tab(tab)
        if other is not None:
            return JSONResponse({"other_tab": other})
        if wrong:
            return JSONResponse({"stamp": drafts.keep(typed, tab.name), "findings": wrong})
        changed = _changed_on_disk(typed)
        if changed is not None:
            return JSONResponse({"stamp": drafts.keep(typed, tab.name), "disk": changed})
        text = merged_text(typed.former, typed.data)
        # A file that is there may have a longer name than is given to new ones.
        target = own_files(GARMENTS).get(name) or own_shelf(GARMENTS) / f"{new_name(name)}.toml"
        if not put_file(text.encode("utf-8"), target, replace=typed.former is not None):
            return JSONResponse(
                {"stamp": drafts.keep(typed, tab.name), "disk": _changed_on_disk(typed)}
            )
        drafts.drop(name)
    return JSONResponse({"put": True, "go": address(name), **_told(drafts.opened(name))})


def aside(request: Request) -> Response:
    """Keep what was typed under another name, as a draft of its own."""
    asked = sent(request)
    typed = _typed(request, asked).draft
    wanted = new_name(asked.text("to"), "to")
    asked.finished()
    with drafts.LOCK:
        if not drafts.begin(wanted, typed.data, typed.former):
            free = drafts.free_for(wanted)
            raise AskedError("to", f"there is a garment or a draft '{wanted}'; '{free}' is free")
        drafts.drop(typed.name)
    return JSONResponse({"go": address(wanted, "draft")})


def drop(request: Request) -> Response:
    """Take the draft back to what the garment file says; without one it can be brought back."""
    asked = sent(request)
    seen = asked.text("seen")
    asked.finished()
    name = _name(request)
    with drafts.LOCK:
        now = drafts.opened(name)
        if now.is_kept and now.stamp != seen:
            raise AskedError("", "another tab has changed this draft; reload to see it")
        if name not in own_files(GARMENTS):
            return JSONResponse({"go": "/garments", "draft": give_up(name)})
        drafts.drop(name)
    return JSONResponse(_told(drafts.opened(name)))


_AT = "/garments/{name}/draft"

ROUTES = [
    Route(_AT, draft),
    Route(f"{_AT}/state", state),
    Route(f"{_AT}/judge", judge, methods=["POST"]),
    Route(f"{_AT}/keep", keep, methods=["POST"]),
    Route(f"{_AT}/put", put, methods=["POST"]),
    Route(f"{_AT}/aside", aside, methods=["POST"]),
    Route(f"{_AT}/drop", drop, methods=["POST"]),
]
