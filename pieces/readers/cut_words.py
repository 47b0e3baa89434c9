"""Cut labels in the trade's words: "1 on fold", "2", "1 pair", "cut 2 same way"."""

from __future__ import annotations

import re

from pieces.piece import Cut, CutKind

MOST_COPIES = 200
"""A count above this is taken for a slip."""

NOT_IN_ROLES = "+@="
"""What parts ROLE+ROLE=FABRIC and ROLE@GARMENT=FABRIC."""

_WORDS = re.compile(
    r"^\s*(?:cut\s+)?(?P<count>-?\d+)\s*(?P<kind>on\s+(?:the\s+)?fold|pairs?|same\s+way)?\s*$",
    re.IGNORECASE,
)

EXAMPLES = '"1 on fold", "2", "1 pair" or "2 same way"'


def require_role(role: str) -> None:
    """Refuse a role that no cloth could be given to.

    Raises
    ------
    ValueError
        If it is empty, or holds what parts roles where cloth is named.
    """
    if not role or role != role.strip():
        what = "begins or ends with a space" if role.strip() else "names no role"
        raise ValueError(f"{what}; write main, lining or any word of yours")
    taken = next((sign for sign in NOT_IN_ROLES if sign in role), None)
    if taken is not None:
        raise ValueError(
            f"'{role}' cannot be a role: {taken} parts what is said of cloth; name each role by "
            "itself"
        )


def parse_cut(role: str, text: str) -> Cut:
    """Read one cut label.

    A bare even count is left and right hands in equal number; "1" is one copy as drawn.

    Raises
    ------
    ValueError
        If the words are unknown or the count is zero, negative or absurd.
    """
    match = _WORDS.match(text)
    if match is None:
        raise ValueError(f"'{text}' is no cut label; write {EXAMPLES}")
    count = int(match["count"])
    words = re.sub(r"\s+", " ", (match["kind"] or "").lower())
    if count < 1:
        raise ValueError(f"'{text}' cuts {count}; cut at least 1, or leave the role out")
    if words.startswith("pair"):
        count *= 2
    if count > MOST_COPIES:
        raise ValueError(
            f"'{text}' cuts {count} copies; more than {MOST_COPIES} is taken for a slip"
        )
    if "fold" in words:
        return Cut(role, CutKind.FOLD, count)
    if words == "same way" or count == 1:
        return Cut(role, CutKind.SAME_WAY, count)
    return Cut(role, CutKind.PAIR, count)
