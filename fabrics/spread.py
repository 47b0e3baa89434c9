"""Spreads: how cloth is folded before cutting, as isometries from the lay to the cloth.

Terms
-----
cloth
    The washed cloth open on the table, right side up. x runs along the length (warp) from the
    raw cut end, y across from one selvage (0) to the other (width).
lay
    What lies on the table and what pieces are put on, seen from above: x along the cloth, y
    from the first fold.
ply
    One thickness of cloth in the lay: an isometry from lay to cloth over a range of lay y.
zone
    A range of lay y in which every point has the same usable plies.
fold edge
    Where two plies meet. A piece drawn as a half may be laid against it.
selvage
    The woven edge; a strip of this width at each side is unusable.

What each kind of fold is stands in `fabrics/folds/`: one formula for those along the grain, those
across it, and sections one after another. Laying the cloth right sides out mirrors the lay (y
becomes H - y), which turns every ply over.
"""

from __future__ import annotations

from fabrics.folds.fold import Fold, Spread
from fabrics.folds.plies import EPS_MM, Faces, FoldEdge, Ply, SpreadError, Zone

__all__ = ["Faces", "Fold", "FoldEdge", "Ply", "Spread", "SpreadError", "Zone", "make_spread"]


def make_spread(
    fold: Fold,
    width: float,
    selvage: float = 0.0,
    d1: float | None = None,
    d2: float | None = None,
    faces: Faces = Faces.IN,
) -> Spread:
    """Lay cloth of a width (mm, selvages included) in a fold.

    Parameters
    ----------
    fold : Fold
        Any but a sectioned one, which is a sequence of spreads.
    width, selvage : float
        Washed width and the unusable strip at each side, mm.
    d1, d2 : float, optional
        Fold depths near cloth y = 0 and near y = width, mm. The fold checks those
        that it takes, and fixes its own where it does not.
    faces : Faces
        Which faces lie together.

    Raises
    ------
    SpreadError
        If the depths do not suit the fold, a fold is no deeper than the selvage, or the selvages
        leave nothing.
    """
    if width - 2 * selvage <= EPS_MM or selvage < 0:
        raise SpreadError(f"two selvages of {selvage:g} mm leave nothing of {width:g} mm cloth")
    depths = fold.depths(width, d1, d2)
    for depth in depths:
        if 0.0 < depth <= selvage:
            raise SpreadError(
                f"a fold {depth:g} mm deep is no deeper than the selvage of {selvage:g} mm: "
                "nothing would lie double"
            )
    plies = fold.plies(width, depths)
    zones = fold.zones(width, selvage, depths)
    edges = fold.edges(width, depths)
    if faces is Faces.OUT:
        height = width - depths[0] - depths[1]
        plies = tuple(ply.turned_over(height) for ply in plies)
        zones = tuple(zone.turned_over(height) for zone in reversed(zones))
        edges = tuple(edge.turned_over(height) for edge in edges)
    return Spread(fold, width, selvage, *depths, faces, plies, zones, edges)
