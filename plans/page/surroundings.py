"""Where the page keeps things: what the command line is told by options and variables."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from starlette.requests import Request

from fabrics.stash.place import default_stash_path
from pieces.files.own_shelf import FABRICS, GARMENTS, own_shelf


@dataclass(frozen=True)
class Surroundings:
    """Folders and files of whoever started the page.

    Attributes
    ----------
    plans : Path
        Folder whose folders are plans.
    named_stash : Path or None
        File of the stash, if one was named.
    paper : str
        Paper that plans are printed on.
    """

    plans: Path
    named_stash: Path | None = None
    paper: str = "a4"

    @property
    def stash(self) -> Path:
        """File of the stash; it need not exist yet."""
        return self.named_stash or default_stash_path()

    @property
    def garments(self) -> Path:
        """Folder of the user's garments; it need not exist yet."""
        return own_shelf(GARMENTS)

    @property
    def fabrics(self) -> Path:
        """Folder of the user's fabrics; it need not exist yet."""
        return own_shelf(FABRICS)


def surroundings(request: Request) -> Surroundings:
    """Where the page that was asked keeps things."""
    found: Surroundings = request.app.state.surroundings
    return found
