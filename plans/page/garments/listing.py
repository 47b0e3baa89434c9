"""All garments with their pictures; taking away, bringing back, copying and renaming them."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from pieces.files.own_shelf import GARMENTS, own_shelf
from plans.drawing.garment.light import LightPicture, garment_picture
from plans.outputs.keeping import put_file
from plans.page.asking import sent
from plans.page.garments import drafts
from plans.page.garments.shelf import (
    Kept,
    address,
    kept_garment,
    kept_garments,
    loaded,
    new_name,
    own_garment,
)
from plans.page.garments.trash import (
    bring_back,
    given_up,
    go_on,
    take_away,
    taken_away,
    trash_folder,
)
from plans.page.rendering import page


@dataclass(frozen=True)
class Card:
    """A garment as it is listed."""

    name: str
    title: str
    where: str
    own: bool
    picture: LightPicture | None
    roles: tuple[str, ...]
    count: int
    sizes: tuple[str, ...]
    wrong: int
    typed_on: bool

    @property
    def copied_as(self) -> str:
        """A name for a copy that is not taken."""
        return drafts.free_for(self.name)


def card_of(kept: Kept, typed_on: bool) -> Card:
    """Read a garment for the list; one that is at fault is listed as that."""
    garment, findings = loaded(kept)
    return Card(
        name=kept.name,
        title=garment.title if garment is not None else kept.name,
        where=address(kept.name),
        own=kept.own,
        picture=garment_picture(garment) if garment is not None and garment.pieces else None,
        roles=garment.roles if garment is not None else (),
        count=len(garment.pieces) if garment is not None else 0,
        sizes=garment.sizes if garment is not None else (),
        wrong=sum(1 for finding in findings if finding.fatal),
        typed_on=typed_on,
    )


def garments(request: Request) -> Response:
    """Show all garments: the user's own, drafts that are no garments yet, the demo ones."""
    typed = set(drafts.draft_names())
    cards = [card_of(kept, kept.name in typed and kept.own) for kept in kept_garments()]
    own = [card for card in cards if card.own]
    unfinished = sorted(typed - {card.name for card in own})
    return page(
        request,
        "garments.html",
        "Garments",
        here="garments",
        scripts=["garments.js"],
        own=own,
        demos=[card for card in cards if not card.own],
        unfinished=[(name, address(name, "draft")) for name in unfinished],
        gone=taken_away(),
        given_up=given_up(),
        gone_folder=str(trash_folder()),
    )


def remove(request: Request) -> Response:
    """Take a garment away; it can be brought back."""
    sent(request).finished()
    name = str(request.path_params["name"])
    aside = take_away(name)
    return JSONResponse({"aside": aside, "go": "/garments"})


def restore(request: Request) -> Response:
    """Bring back what was taken away."""
    asked = sent(request)
    if "draft" in asked:
        with drafts.LOCK:
            to = address(go_on(asked.text("draft")), "draft")
    else:
        to = address(bring_back(asked.text("aside")))
    asked.finished()
    return JSONResponse({"go": to})


def copy(request: Request) -> Response:
    """Put a copy of a garment, the user's own or a demo, on the shelf under another name."""
    kept = kept_garment(str(request.path_params["name"]))
    asked = sent(request)
    to = new_name(asked.text("to"), "to")
    asked.finished()
    drafts.refuse_taken(to, "to")
    put_new(kept.path.read_bytes(), to)
    return JSONResponse({"go": address(to)})


def rename(request: Request) -> Response:
    """Give a garment of the user's own another name; its draft goes with it."""
    kept = own_garment(str(request.path_params["name"]))
    asked = sent(request)
    to = new_name(asked.text("to"), "to")
    asked.finished()
    if to == kept.name:
        return JSONResponse({"go": address(to)})
    with drafts.LOCK:
        drafts.refuse_taken(to, "to")
        put_new(kept.path.read_bytes(), to)
        kept.path.unlink()
        drafts.move(kept.name, to)
    return JSONResponse({"go": address(to)})


def put_new(content: bytes, name: str, field: str = "to") -> None:
    """Put a file on the shelf under a name that is not taken.

    Raises
    ------
    AskedError
        At `field`, if it is.
    """
    if not put_file(content, own_shelf(GARMENTS) / f"{name}.toml", replace=False):
        raise drafts.taken_by("garment", name, field)


ROUTES = [
    Route("/garments", garments),
    Route("/garments/brought-back", restore, methods=["POST"]),
    Route("/garments/{name}/away", remove, methods=["POST"]),
    Route("/garments/{name}/copy", copy, methods=["POST"]),
    Route("/garments/{name}/rename", rename, methods=["POST"]),
]
