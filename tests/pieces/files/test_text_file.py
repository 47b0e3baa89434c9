"""What is no file that a person saved."""

from __future__ import annotations

from pathlib import Path

import pytest

from pieces.files.text_file import read_text
from pieces.findings import InputError


def test_a_device_is_refused_before_it_is_read() -> None:
    """It would never end."""
    device = Path("/dev/zero")
    if not device.is_char_device():
        pytest.skip("this system has no /dev/zero")
    with pytest.raises(InputError, match="is a device, not a file"):
        read_text(device)
