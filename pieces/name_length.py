"""How long a name may be that becomes the name of a file or folder."""

from __future__ import annotations

MOST_BYTES = 200
"""Of a name that a person gives: endings and numbers come on top."""

MOST_MADE_BYTES = 250
"""Of a name with all that the program puts behind it: file systems permit 255."""


def name_too_long(name: str, most: int = MOST_BYTES) -> str:
    """Say that a name is too long and how long it may be; empty if it is not."""
    length = len(name.encode("utf-8", "surrogatepass"))
    if length <= most:
        return ""
    if length == len(name):
        return f"is too long: {length} letters, at most {most}"
    return (
        f"is too long: {length} bytes, at most {most} (a plain letter is one byte, one with "
        "an accent two, signs of other scripts up to four)"
    )


def cut_to_length(name: str, most: int = MOST_BYTES) -> str:
    """The beginning of a name that is not too long, in whole signs."""
    if not name_too_long(name, most):
        return name
    return name.encode("utf-8", "surrogatepass")[:most].decode("utf-8", "ignore")


def with_ending(name: str, ending: str, most: int = MOST_BYTES) -> str:
    """A name with an ending, of which as much is cut off as both together are too long.

    Only for what is then not written over: two long names may be cut to the same one.
    """
    return cut_to_length(name, max(0, most - len(ending.encode("utf-8")))) + ending


def numbered(name: str, number: int, most: int = MOST_BYTES) -> str:
    """A name with a number behind it, from the second of that name on; see `with_ending`."""
    return name if number < 2 else with_ending(name, f"-{number}", most)


def is_numbered(name: str, wished: str) -> bool:
    """Whether a name is what another became because that was taken."""
    number = name.rpartition("-")[2]
    return name != wished and number.isdecimal() and name == numbered(wished, int(number))
