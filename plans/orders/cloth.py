"""The cloth of each role, from how it is named: a fabric, a file, a bolt of the stash, a width."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from fabrics.fabric import Fabric
from fabrics.folds.errors import FabricError
from fabrics.plain import in_lot
from fabrics.shelf import find_fabric
from pieces.errors import PieceError
from pieces.findings import Finding, InputError
from plans.errors import ContradictionError
from plans.folds.measured import on_the_same_cloth, with_amount, with_measured_width


def find_cloth(text: str, stash: Path | None) -> Fabric:
    """Return the fabric of `stash:TAG` (a bolt), a shelf name, a file, or a plain width."""
    place, sign, tag = text.partition(":")
    if sign and place.strip().lower() == "stash":
        from fabrics.stash.place import default_stash_path
        from fabrics.stash.store import Stash

        with Stash(stash or default_stash_path()) as base:
            return base.bolt(tag).as_fabric()
    return find_fabric(text)


def cloth_by_role(
    named: Iterable[tuple[str, str]], stash: Path | None, source: str = ""
) -> dict[str, Fabric]:
    """Find the cloth of roles; the name "base+overlay" lays two roles on one cloth.

    Two plain widths are two cloths, even if they are alike; a fabric that has a name, a file or a
    tag of its own is one cloth however often it is named.

    Parameters
    ----------
    named : iterable of (str, str)
        Roles, and the fabric as it is typed.
    stash : Path or None
        File of the stash, the user's own if None.
    source : str
        The order file that says so, for messages.

    Raises
    ------
    ContradictionError
        If a role is named twice, or no role is named.
    InputError, FabricError
        If there is no such fabric, or it is at fault.
    """
    cloth: dict[str, Fabric] = {}
    for names, text in named:
        try:
            fabric = find_cloth(text, stash)
        except (PieceError, FabricError) as error:
            raise in_order_file(source, f"cloth.{names}", error) from error
        roles = [name.strip() for name in names.split("+")]
        for role in roles:
            if not role:
                raise ContradictionError(f"cloth: '{names}' names no role")
            if role in cloth:
                raise ContradictionError(f"cloth: role '{role}' is given twice")
            # Cloth that nobody named is told apart by what it is for.
            cloth[role] = fabric if fabric.source or fabric.bolt else in_lot(fabric, roles)
    return cloth


def as_known(
    cloth: dict[str, Fabric],
    widths: dict[str, float],
    amounts: dict[str, tuple[float, bool | None]],
) -> dict[str, Fabric]:
    """Return cloth by role with what is known of it: how wide it is, how much there is.

    Parameters
    ----------
    cloth : dict of str to Fabric
    widths : dict of str to float
        Washed widths, mm.
    amounts : dict of str to (float, bool or None)
        Lengths that there are, mm, and whether they are washed.

    Raises
    ------
    ContradictionError
        If a role has no cloth.
    """
    for role, width in widths.items():

        def measured(fabric: Fabric, width: float = width) -> Fabric:
            return with_measured_width(fabric, width)

        cloth = _changed(cloth, role, "measured width", measured)
    for role, (length, washed) in amounts.items():

        def on_hand(fabric: Fabric, length: float = length, washed: bool | None = washed) -> Fabric:
            return with_amount(fabric, length, washed)

        cloth = _changed(cloth, role, "on hand", on_hand)
    return cloth


def _changed(
    cloth: dict[str, Fabric], role: str, what: str, change: Callable[[Fabric], Fabric]
) -> dict[str, Fabric]:
    if role not in cloth:
        raise ContradictionError(f"{what}: role '{role}' has no cloth")
    return on_the_same_cloth(cloth, role, change(cloth[role]))


def in_order_file(source: str, field: str, error: Exception) -> Exception:
    """Say where in an order file the cause of an error stands; as it is if it was typed."""
    if not source:
        return error
    if isinstance(error, InputError):
        place = Finding(source, "cannot be used, for this reason:", field=field)
        return InputError([place, *error.findings])
    return ContradictionError(f"{source}, {field}: {error}")
