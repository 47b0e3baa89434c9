"""A garment: pieces and the fabric roles that they are cut in."""

from __future__ import annotations

from dataclasses import dataclass, field

from pieces.drafting.draft import Draft
from pieces.drafting.seam import Seam, Shorter
from pieces.findings import Finding
from pieces.piece import Piece


@dataclass(frozen=True)
class Garment:
    """What one garment file describes.

    Attributes
    ----------
    name : str
        Shelf name or file stem.
    title : str
    pieces : tuple of Piece
        In file order.
    description : str
    caution : str
        A line of safety advice to print with every plan (cords on children's clothes, say).
    source : str
        Path of the file it came from, for messages.
    sizes : tuple of str
        Sizes that the file gives, smallest first; empty if it gives one only.
    size : str
        The size that these pieces are of; empty if there is one only.
    unit : str or None
        Unit of the file's bare numbers, in which its user thinks.
    questions : tuple of Finding
        What is possible but hardly meant.
    drafts : tuple of Draft
        What the pieces were made from, with their named edges, where the file gives them.
    blocks : tuple of Draft
        What pieces were drafted from and that is never cut.
    seams : tuple of Seam
        Edges that are sewn together.
    shorter : tuple of Shorter
        Edges that are to be shorter than others.
    """

    name: str
    title: str
    pieces: tuple[Piece, ...]
    description: str = ""
    caution: str = ""
    source: str = ""
    sizes: tuple[str, ...] = ()
    size: str = ""
    unit: str | None = None
    questions: tuple[Finding, ...] = field(default=(), compare=False, repr=False)
    drafts: tuple[Draft, ...] = ()
    blocks: tuple[Draft, ...] = ()
    seams: tuple[Seam, ...] = ()
    shorter: tuple[Shorter, ...] = ()

    @property
    def roles(self) -> tuple[str, ...]:
        """Fabric roles, in the order in which pieces first name them."""
        return tuple(dict.fromkeys(cut.role for piece in self.pieces for cut in piece.cuts))
