"""Reading files of JSON and other text of ours: bounded, and every refusal as a finding."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pieces.findings import Finding, InputError
from pieces.system_words import system_words

LARGEST_FILE_BYTES = 200_000_000
"""Files above this are no plans or exports."""


def read_json(path: Path, what: str) -> Any:
    """Read a JSON file whole.

    Parameters
    ----------
    path : Path
    what : str
        What the file should be, for messages: "a plan".

    Raises
    ------
    InputError
        If it cannot be read, is too large, is no text, or is no JSON (with the line).
    """
    return parse_json(read_text_file(path, what), str(path))


def read_text_file(path: Path, what: str) -> str:
    """Read a text file whole; raises as `read_json`."""
    name = str(path)
    try:
        if path.is_dir():
            raise InputError([Finding(name, "is a folder", fix=f"name {what} in it")])
        with path.open("rb") as stream:
            content = stream.read(LARGEST_FILE_BYTES + 1)
    except OSError as error:
        raise InputError([Finding(name, f"cannot be read: {system_words(error)}")]) from error
    if len(content) > LARGEST_FILE_BYTES:
        raise InputError([Finding(name, f"is too large to be {what}")])
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(
            [Finding(name, "is not a text file in UTF-8", fix=f"{what} is; was it changed?")]
        ) from error


def parse_json(text: str, file: str) -> Any:
    """Read JSON text of a file; InputError with the line if it is none."""
    try:
        return json.loads(text)
    except json.JSONDecodeError as error:
        raise InputError(
            [
                Finding(
                    file, f"is no JSON: something else stands at column {error.colno}",
                    fix="was it cut off or edited? write it again from the program",
                    line=error.lineno,
                )
            ]
        ) from error  # fmt: skip
    except RecursionError as error:
        raise InputError([Finding(file, "is no JSON of ours: it is nested too deep")]) from error
    except ValueError as error:
        raise InputError(
            [Finding(file, "is no JSON of ours: a number in it has thousands of digits")]
        ) from error
