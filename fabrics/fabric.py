"""A fabric: what it is, how it may be laid, how it is sold."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fabrics.spread import Faces
from pieces.geometry_types import Ring


@dataclass(frozen=True)
class Repeat:
    """A repeating design; lengths in mm of washed cloth.

    `along` and `across` are the repeats (0: none). `axis` is the cloth y of one axis in which the
    design is its own mirror image; None means uneven (no axis): single layer, one way.
    """

    along: float = 0.0
    across: float = 0.0
    axis: float | None = None


@dataclass(frozen=True)
class Fabric:
    """A fabric as it lies in the shop or on the shelf. Lengths in mm, as bought unless said.

    Attributes
    ----------
    name, title : str
    width, selvage : float
        Full width, and the unusable strip at each side.
    washed : bool
        Whether it was washed already: shrinkage then no longer applies.
    one_way : bool
        Nap, pile or one-way print: all heads point one way.
    faces_alike : bool
        Whether both faces are the same, so that hands do not matter.
    grainless : bool
        Non-woven, felt: pieces may lie any way round.
    faces : Faces
        Which faces lie together when folded.
    repeat : Repeat or None
    shrink_along, shrink_across : float
        Fractions lost in the wash, 0 <= s < 1.
    shrinkage_known : bool
        Whether anyone said how much it shrinks; 0 may be a measured figure or nobody's.
    price, currency : float or None, str
        Price of one `price_unit` of length.
    price_unit, step, minimum : float
        Length that the price is for, the shop's cutting step and least cut.
    own_step : bool
        Whether the step is this cloth's own; if not, it is sold in the units of whoever asks.
    on_hand : float or None
        Length that there is.
    bolt : str
        Tag of the bolt in the stash that this is; empty for cloth that is yet to be bought.
    flaws : tuple of Ring
        Polygons to avoid, cloth coordinates of the washed cloth.
    imperial : bool
        Whether it is sold by the yard, so that purchases are shown in yards.
    lot : str
        Tells cloths apart that are described alike: two plain widths are two cloths. Empty for
        cloth that has a name of its own.
    """

    name: str
    title: str
    width: float
    selvage: float = 10.0
    washed: bool = False
    one_way: bool = False
    faces_alike: bool = False
    grainless: bool = False
    faces: Faces = Faces.IN
    repeat: Repeat | None = None
    shrink_along: float = 0.0
    shrink_across: float = 0.0
    shrinkage_known: bool = True
    price: float | None = None
    currency: str = ""
    price_unit: float = 1000.0
    step: float = 100.0
    minimum: float = 0.0
    own_step: bool = True
    on_hand: float | None = None
    bolt: str = ""
    flaws: tuple[Ring, ...] = ()
    imperial: bool = False
    colour: str = ""
    fibre: str = ""
    description: str = ""
    source: str = ""
    lot: str = ""

    @property
    def width_cut(self) -> float:
        """Full width of the washed cloth, mm."""
        return self.width if self.washed else self.width * (1.0 - self.shrink_across)

    @property
    def selvage_cut(self) -> float:
        """Width of one selvage strip of the washed cloth, mm."""
        return self.selvage if self.washed else self.selvage * (1.0 - self.shrink_across)

    @property
    def kept_along(self) -> float:
        """Share of a length that is left after washing: 1 if it was washed already."""
        return 1.0 if self.washed else 1.0 - self.shrink_along

    @property
    def plain(self) -> bool:
        """Whether it is cloth without a name: a width with what is known of it."""
        return not self.source and not self.bolt

    def as_washed(self) -> Fabric:
        """The same cloth after washing: what it lost across is lost, and nothing more shrinks."""
        if self.washed:
            return self
        return replace(self, width=self.width_cut, selvage=self.selvage_cut, washed=True)
