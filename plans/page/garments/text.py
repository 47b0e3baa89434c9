"""The garment file as a text: for keys that no form has, and files that no form can take."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from pieces.files.text_file import decoded, read_bytes
from pieces.findings import Finding, InputError
from pieces.readers.garment_toml import check_garment
from plans.outputs.keeping import put_file
from plans.page.asking import AskedError, sent
from plans.page.garments import drafts
from plans.page.garments.shelf import address, digest, finding_words, own_garment
from plans.page.rendering import page


def text(request: Request) -> Response:
    """Show the text with what `check` says of each line.

    Raises
    ------
    InputError
        If it is no text: signs that cannot be shown would be lost when it is written.
    """
    kept = own_garment(str(request.path_params["name"]))
    content = read_bytes(kept.path, "a garment file")
    typed = decoded(content, str(kept.path))
    return page(
        request,
        "garment_text.html",
        f"Text of {kept.name}",
        here="garments",
        scripts=["garment_text.js"],
        name=kept.name,
        where=address(kept.name),
        text=typed,
        seen=digest(content),
        findings=_told(check_text(kept.name, typed)),
    )


def check_text(name: str, typed: str) -> list[Finding]:
    """What `check` says of a text, as of a file of that name."""
    with TemporaryDirectory(prefix="laywright-") as folder:
        path = Path(folder) / f"{name}.toml"
        path.write_text(typed, encoding="utf-8")
        try:
            return check_garment(path)
        except InputError as error:
            return list(error.findings)


def _told(findings: list[Finding]) -> list[dict[str, object]]:
    return [{"kind": one.kind, "line": one.line, "words": finding_words(one)} for one in findings]


def judge(request: Request) -> Response:
    """Say what `check` says of the text as it is typed."""
    asked = sent(request)
    typed = asked.raw("text")
    asked.finished()
    if not isinstance(typed, str):
        raise AskedError("text", "is no text")
    name = str(request.path_params["name"])
    return JSONResponse({"findings": _told(check_text(own_garment(name).name, typed))})


def keep(request: Request) -> Response:
    """Write the text, unless the file was changed meanwhile."""
    kept = own_garment(str(request.path_params["name"]))
    asked = sent(request)
    typed, seen = asked.raw("text"), asked.text("seen")
    asked.finished()
    if not isinstance(typed, str) or not typed.strip():
        raise AskedError("text", "is empty; take the garment away if it is not wanted")
    findings = check_text(kept.name, typed)
    if any(finding.fatal for finding in findings):
        raise AskedError(
            "text",
            "not written, for it is at fault: "
            + "; ".join(finding_words(one) for one in findings if one.fatal),
        )
    with drafts.LOCK:
        # Right before it is written, for judging takes its time.
        content = read_bytes(kept.path, "a garment file")
        decoded(content, str(kept.path))
        if digest(content) != seen:
            raise AskedError(
                "text",
                "the file was changed meanwhile, so it was not written over; copy what you typed, "
                "reload, and put it in again",
            )
        put_file(typed.encode("utf-8"), kept.path, replace=True)
    return JSONResponse({"go": address(kept.name)})


_AT = "/garments/{name}/text"

ROUTES = [
    Route(_AT, text),
    Route(f"{_AT}/judge", judge, methods=["POST"]),
    Route(f"{_AT}/keep", keep, methods=["POST"]),
]
