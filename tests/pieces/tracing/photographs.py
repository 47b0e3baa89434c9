"""A drawn scene as a photograph that was read from a file."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from pieces.tracing.picture.photo import Photo, read_photo
from tests.pieces.tracing.rendering import Scene, jpeg


def photo_of(scene: Scene) -> Photo:
    """Draw it, write it as JPEG and read that."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "floor.jpg"
        path.write_bytes(jpeg(scene))
        return read_photo(path)
