"""Order files in TOML: garments with sizes and counts, the cloth of their roles, options.

```
cloth = { main = "demo-linen", interfacing = "demo-interfacing" }
fold = "auto"

[[garment]]
name = "blouse"

[[garment]]
name = "my-apron.toml"
size = "S"
count = 2
cloth = { main = "140cm" }      # for this garment alone
```

Files are named from the folder that the order file stands in.
"""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

from fabrics.shelf import all_names as fabric_names
from fabrics.spread import Fold
from layout.effort import MOST_MEMBERS
from pieces.files.toml_file import Table, as_typed, list_findings, load_sound, read_toml
from pieces.findings import Finding, InputError
from pieces.lengths import LengthError, System, format_length, unit_system
from pieces.readers.shelf import all_names as garment_names
from pieces.readers.shelf import find_garment
from plans.folds.levels import EFFORTS
from plans.order import MOST_BESIDE_MM, MOST_SEED
from plans.orders.amounts import parse_on_hand, parse_size
from plans.orders.request import MOST_MAKES, GarmentAsked, Request

KEYS = (
    "title", "units", "garment", "cloth", "measured_width", "on_hand", "fold", "makes", "gap",
    "ends", "margin", "leftovers", "leftover_size", "leftover_neck", "nap_optional", "effort",
    "seed", "members", "figures",
)  # fmt: skip
GARMENT_KEYS = ("name", "size", "count", "called", "cloth")

LONGEST_NAME = 40
"""Letters of what a garment is called: they are drawn on its pieces."""

NAME_WORDS = 'write name = "apron" (a name on the shelf, or a file)'


def says_order(path: Path) -> bool:
    """Whether a file is meant as an order, rather than as a garment: what it says shows that.

    Raises
    ------
    InputError
        If nothing can be made of it.
    """
    if path.suffix.lower() != ".toml" or not path.is_file():
        return False
    data = read_toml(path, [])
    if "piece" in data:
        return isinstance(data.get("garment"), list)
    return "garment" in data or "cloth" in data


def read_order_file(path: Path) -> Request:
    """Read an order file.

    Raises
    ------
    InputError
        With every fault of the file.
    """
    return load_sound(_read, path)


def check_order_file(path: Path) -> list[Finding]:
    """List everything that is wrong or questionable with an order file."""
    return list_findings(_read, path)


def request_from(data: dict[str, Any], path: Path) -> Request:
    """Read what an order file would hold, from plain data.

    Parameters
    ----------
    data : dict
    path : Path
        The file that it stands in: garments and cloth are looked for beside it.

    Raises
    ------
    InputError
        With everything that is wrong.
    """
    return load_sound(partial(_request, data, findings=[]), path)


def _read(path: Path) -> tuple[Request | None, list[Finding]]:
    findings: list[Finding] = []
    return _request(read_toml(path, findings), path, findings)


def _request(
    data: dict[str, Any], path: Path, findings: list[Finding]
) -> tuple[Request | None, list[Finding]]:
    table = Table(data, str(path), findings)
    table.known(KEYS)
    table.unit_field()
    garments = _garments(table, path)
    request = Request(
        garments=garments,
        cloth=_cloth(table, path),
        measured_width=_lengths(table, "measured_width"),
        on_hand=_on_hand(table),
        leftovers=table.flag("leftovers"),
        fold=table.text("fold", Request.fold, ("auto", *(fold.value for fold in Fold))),
        makes=_count(table, "makes"),
        gap=_length(table, "gap", Request.gap),
        ends=_length(table, "ends", Request.ends),
        margin=_length(table, "margin", Request.margin),
        effort=table.text("effort", Request.effort, EFFORTS),
        seed=_seed(table),
        members=_members(table),
        leftover_size=_size(table, "leftover_size", Request.leftover_size),
        leftover_neck=_length(table, "leftover_neck", Request.leftover_neck),
        nap_optional=table.flag("nap_optional"),
        system=System(
            table.text("figures", Request.system.value, tuple(one.value for one in System))
        ),
        title=table.text("title"),
        source=str(path),
    )
    return (request if garments else None), findings


def _garments(table: Table, path: Path) -> tuple[GarmentAsked, ...]:
    listed = table.data.get("garment", [])
    if not isinstance(listed, list) or not all(isinstance(entry, dict) for entry in listed):
        table.fault("garment", "is not a list of tables", "write [[garment]] before each garment")
        return ()
    if not listed:
        if "garment" not in table.meant:
            table.fault("garment", "there is no garment", "write [[garment]] before each garment")
        return ()
    return tuple(
        _garment(
            Table(data, table.file, table.findings, None, f"garment[{nth}].", table.unit), path
        )
        for nth, data in enumerate(listed, start=1)
    )


def _garment(entry: Table, path: Path) -> GarmentAsked:
    entry.known(GARMENT_KEYS)
    if not entry.has("name"):
        entry.fault("name", "is missing", NAME_WORDS)
    return GarmentAsked(
        name=_garment_name(entry, path),
        size=entry.text("size") or None,
        count=_count(entry, "count"),
        called=_called(entry),
        cloth=_cloth(entry, path),
    )


def _called(entry: Table) -> str:
    """What people call it, which stands before the name of each piece."""
    called = " ".join(entry.text("called").split())
    if any(sign in called for sign in "+@:*") or len(called) > LONGEST_NAME:
        shown = called if len(called) <= LONGEST_NAME else f"{called[:LONGEST_NAME]}..."
        entry.fault(
            "called",
            f"'{shown}' cannot stand before the names of pieces",
            f"up to {LONGEST_NAME} letters, without + @ : and *",
        )
        return ""
    return called


def _garment_name(entry: Table, path: Path) -> str:
    """A garment's name on the shelf, or its file as it is found from here."""
    text = entry.text("name")
    if not text.strip():
        if entry.has("name"):
            entry.fault("name", "is empty", NAME_WORDS)
        return text
    is_file = "." in text or "/" in text
    name = beside(text, path) if is_file and text not in garment_names() else text
    try:
        found = find_garment(name)
    except InputError as error:
        entry.fault("name", f"'{text}' {error.findings[0].message}", error.findings[0].fix)
        return name
    if not found.exists():
        entry.fault("name", f"there is no file '{found}'", "it is looked for beside the order")
    elif _is_order(found):
        entry.fault("name", f"'{text}' is an order file", "an order names garments")
    return name


def _is_order(path: Path) -> bool:
    """As `says_order`; what cannot be read is told when it is read as a garment."""
    try:
        return says_order(path)
    except InputError:
        return False


def _cloth(table: Table, path: Path) -> dict[str, str]:
    """Fabrics by role or "ROLE+ROLE", files as they are found from here."""
    cloth = table.table("cloth")
    if cloth is None:
        return {}
    found: dict[str, str] = {}
    seen: set[str] = set()
    for names in cloth.data:
        text = cloth.text(names)
        roles = [role.strip() for role in names.split("+")]
        if not all(roles):
            cloth.fault(names, "names no role", "write ROLE or ROLE+ROLE")
        for role in roles:
            if role in seen:
                cloth.fault(names, f"role '{role}' is given twice")
            seen.add(role)
        if cloth.data[names] == "" or (text and not text.strip()):
            cloth.fault(names, "names no cloth", 'write a fabric or a width, such as "140cm"')
        found[names] = _fabric(text, path)
    return found


def _fabric(text: str, path: Path) -> str:
    """A fabric as it is named from the folder of an order file, as it is found from here."""
    if text in fabric_names() or text.strip().lower().startswith("stash:"):
        return text
    is_there = _is_there(Path(beside(text, path)))
    is_file = not text[:1].isdigit() and (text.endswith(".toml") or "/" in text)
    return beside(text, path) if is_there or is_file else text


def _is_there(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def beside(text: str, path: Path) -> str:
    """A file that is named from the folder of another."""
    return str(path.parent / text)


def _lengths(table: Table, field: str) -> dict[str, float]:
    inner = table.table(field)
    found: dict[str, float] = {}
    for role in inner.data if inner is not None else ():
        length = None if inner is None else inner.length(role, positive=True)
        if length is not None:
            found[role] = length
    return found


def _on_hand(table: Table) -> dict[str, tuple[float, bool | None]]:
    inner = table.table("on_hand")
    found: dict[str, tuple[float, bool | None]] = {}
    for role, value in inner.data.items() if inner is not None else ():
        try:
            found[role] = parse_on_hand(value if isinstance(value, str) else str(value), table.unit)
        except LengthError as error:
            table.fault(f"on_hand.{role}", str(error), 'write "2 m washed" or "2 m unwashed"')
    return found


def _length(table: Table, field: str, default: float) -> float:
    length = table.length(field, default)
    if length is not None and length > MOST_BESIDE_MM:
        limit = format_length(MOST_BESIDE_MM, unit_system(str(table.data[field]), table.unit))
        table.fault(field, f"is too much; at most {limit}")
    return default if length is None else length


def _size(table: Table, field: str, default: tuple[float, float]) -> tuple[float, float]:
    text = table.text(field)
    if not text:
        return default
    try:
        return parse_size(text, table.unit)
    except LengthError as error:
        table.fault(field, str(error))
        return default


def _count(table: Table, field: str) -> int:
    """How many: a whole number from one on."""
    value = table.data.get(field, 1)
    if not _is_whole(value):
        table.fault(field, f"{_short(value)} is no number of garments", f"write {field} = 2")
        return 1
    if not 1 <= value <= MOST_MAKES:
        table.fault(field, f"{_short(value)} is no number of garments", f"from 1 to {MOST_MAKES}")
        return 1
    return int(value)


def _seed(table: Table) -> int:
    value = table.data.get("seed", Request.seed)
    if not _is_whole(value) or not 0 <= value <= MOST_SEED:
        table.fault("seed", f"{_short(value)} is no seed", f"a whole number from 0 to {MOST_SEED}")
        return Request.seed
    return int(value)


def _members(table: Table) -> int | None:
    """How many members search; None if the file does not say."""
    if not table.has("members"):
        return None
    value = table.data["members"]
    if not _is_whole(value) or not 1 <= value <= MOST_MEMBERS:
        table.fault(
            "members", f"{_short(value)} is no number of members", f"from 1 to {MOST_MEMBERS}"
        )
        return None
    return int(value)


def _is_whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _short(value: Any) -> str:
    text = as_typed(value)
    return text if len(text) <= 20 else f"{text[:20]}..."
