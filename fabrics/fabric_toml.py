"""Fabric files in TOML."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from fabrics.buying import SHOP_STEP_MM
from fabrics.fabric import Fabric, Repeat
from fabrics.plain import PLAIN_SELVAGE_MM, WIDEST_MM
from fabrics.spread import Faces
from pieces.files.toml_file import Table, list_findings, load_sound, read_toml
from pieces.findings import Finding
from pieces.geometry_types import Ring
from pieces.lengths import System, format_in, format_length, unit_system

NARROW_MM = 300.0
"""Cloth narrower than this is questioned: 140 mm is a slip of the unit."""

AXIS_WORDS = (
    'write the distance of one axis of the design from the selvage, "middle", or "none" for an '
    "uneven design"
)

LONGEST_BOLT_MM = 200_000.0
"""No bolt is longer; bolts of dress fabric hold 10 to 100 m (common practice, no source)."""

MOST_FLAWS = 100
"""Each is an obstacle to every piece in every place, so that thousands would take hours."""

KEYS = (
    "title", "description", "units", "width", "selvage", "washed", "one_way", "faces_alike",
    "grainless", "faces", "repeat", "shrinkage", "price", "sold", "on_hand", "flaws",
    "colour", "fibre",
)  # fmt: skip


def load_fabric(path: Path) -> Fabric:
    """Read a fabric file.

    Raises
    ------
    InputError
        With every fault of the file.
    """
    return load_sound(_read, path)


def says_fabric(path: Path) -> bool:
    """Whether a file is meant as a fabric, rather than as a garment: what it says shows that."""
    data = read_toml(path, [])
    return "width" in data or ("piece" not in data and "selvage" in data)


def check_fabric(path: Path) -> list[Finding]:
    """List everything that is wrong or questionable with a fabric file."""
    return list_findings(_read, path)


def _read(path: Path) -> tuple[Fabric | None, list[Finding]]:
    findings: list[Finding] = []
    table = Table(read_toml(path, findings), str(path), findings)
    table.known(KEYS)
    table.unit_field()
    typed_width = _width(table)
    # Without a width the rest is read all the same, for its faults.
    width = typed_width or WIDEST_MM
    selvage = table.length("selvage", PLAIN_SELVAGE_MM) or 0.0
    if 2 * selvage >= width and typed_width is not None:
        table.fault(
            "selvage",
            f"two selvages of {format_in(selvage, table.unit)} leave nothing of a width of "
            f"{format_in(width, table.unit)}",
            "1 to 1.5 cm is usual",
        )
    sold = _sold(table)
    price, currency, price_unit = _price(table)
    shrink = table.table("shrinkage")
    along = across = 0.0
    if shrink is not None:
        shrink.known(("along", "across"))
        along, across = shrink.percent("along"), shrink.percent("across")
    fabric = Fabric(
        name=path.stem,
        title=table.text("title", path.stem),
        width=width,
        selvage=selvage,
        washed=table.flag("washed"),
        one_way=table.flag("one_way"),
        faces_alike=table.flag("faces_alike"),
        grainless=table.flag("grainless"),
        faces=Faces(table.text("faces", "in", ("in", "out")) or "in"),
        repeat=_repeat(table, width * (1.0 - across)),
        shrink_along=along,
        shrink_across=across,
        shrinkage_known=shrink is not None,
        price=price,
        currency=currency,
        price_unit=price_unit,
        step=sold[0],
        minimum=sold[1],
        own_step=table.has("sold"),
        on_hand=table.length("on_hand"),
        flaws=_flaws(table, width if table.data.get("washed") is True else width * (1.0 - across)),
        imperial=sold[2],
        colour=table.text("colour"),
        fibre=table.text("fibre"),
        description=" ".join(table.text("description").split()),
        source=str(path),
    )
    return (fabric if typed_width is not None else None), findings


def _width(table: Table) -> float | None:
    if not table.has("width"):
        table.fault("width", "is missing", 'write width = "140 cm"')
        return None
    width = table.length("width", None, positive=True)
    if width is not None and not NARROW_MM <= width <= WIDEST_MM:
        table.fault(
            "width",
            f"{table.data['width']} is no usual width of cloth; is the unit right?",
            "check the unit; 36 to 60 in, 90 to 150 cm are usual",
            fatal=False,
        )
    return width


def _sold(table: Table) -> tuple[float, float, bool]:
    """Return cutting step and minimum (mm), and whether it is sold by the yard."""
    sold = table.table("sold")
    if sold is None:
        return SHOP_STEP_MM[System.METRIC], 0.0, False
    sold.known(("by", "step", "minimum"))
    yards = sold.text("by", "metre", ("metre", "yard")) == "yard"
    usual = SHOP_STEP_MM[System.IMPERIAL if yards else System.METRIC]
    step = sold.length("step", usual, positive=True)
    return step or usual, sold.length("minimum", 0.0) or 0.0, yards


def _price(table: Table) -> tuple[float | None, str, float]:
    price = table.table("price")
    if price is None:
        return None, "", 1000.0
    price.known(("amount", "currency", "per"))
    amount = price.number("amount")
    if amount is None and not price.has("amount"):
        price.fault("amount", "is missing", "write amount = 12.50")
    elif amount is not None and amount < 0.0:
        price.fault("amount", f"{amount:g} is negative")
    unit = price.length("per", 1000.0, positive=True)
    return amount, price.text("currency", ""), unit or 1000.0


def _repeat(table: Table, washed_width: float) -> Repeat | None:
    repeat = table.table("repeat")
    if repeat is None:
        return None
    repeat.known(("along", "across", "axis"))
    along = repeat.length("along", 0.0) or 0.0
    across = repeat.length("across", 0.0) or 0.0
    axis: float | None = None
    if repeat.has("axis"):
        value = repeat.data["axis"]
        if value == "middle":
            axis = washed_width / 2.0
        elif isinstance(value, str) and value != "none" and not any(c.isdigit() for c in value):
            repeat.fault("axis", f"'{value}' is not known", AXIS_WORDS)
        elif value != "none":
            axis = repeat.length("axis")
    elif across > 0.0:
        repeat.fault("axis", "is missing for a repeat across", AXIS_WORDS)
    if along <= 0.0 and across <= 0.0:
        repeat.fault("along", "a repeat needs a length along or across that is more than 0")
    return Repeat(along, across, axis)


def _flaws(table: Table, washed_width: float) -> tuple[Ring, ...]:
    flaws = table.data.get("flaws", [])
    if not isinstance(flaws, list):
        table.fault("flaws", "is not a list", "write [[flaws]] tables")
        return ()
    if len(flaws) > MOST_FLAWS:
        table.fault(
            "flaws",
            f"there are {len(flaws)}, more than the {MOST_FLAWS} that a layout can keep clear of",
            "put flaws that lie close together into one, and leave out those that you cut around",
        )
        return ()
    found = []
    for index, data in enumerate(flaws, start=1):
        ring = _flaw(table, index, data, washed_width)
        if ring is not None:
            found.append(ring)
    return tuple(found)


def _flaw(parent: Table, index: int, data: Any, washed_width: float) -> Ring | None:
    if not isinstance(data, dict):
        parent.fault("flaws", f"entry {index} is not a table")
        return None
    table = Table(data, parent.file, parent.findings, None, f"flaws[{index}].", parent.unit)
    table.known(("from_end", "from_selvage", "length", "width"))
    values = [table.length(field) for field in ("from_end", "from_selvage", "length", "width")]
    x, y, length, width = values
    if x is None or y is None or not length or not width:
        table.fault(
            "from_end",
            "a flaw needs from_end, from_selvage, length and width",
            "measured on the washed cloth from the cut end and from the selvage at y = 0",
        )
        return None
    if x + length > LONGEST_BOLT_MM:
        field = "length" if length > LONGEST_BOLT_MM / 2 else "from_end"
        system = unit_system(str(data[field]), table.unit)
        table.fault(
            field,
            f"the flaw reaches {format_length(x + length, system)} from the cut end, farther than "
            "any bolt",
            f"check the unit; a bolt holds up to {format_length(LONGEST_BOLT_MM / 2, system)}",
        )
        return None
    if y >= washed_width:
        table.fault(
            "from_selvage",
            f"the flaw lies beside the cloth, which is {format_in(washed_width, table.unit)} wide "
            "when it is washed",
            "check the unit; it is measured from the selvage at y = 0",
            fatal=False,
        )
    return ((x, y), (x + length, y), (x + length, y + width), (x, y + width))
