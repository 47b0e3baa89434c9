"""Where compiled kernels are kept, so that only the first run on a machine prepares them.

The folder is `$LAYWRIGHT_CACHE`, or the platform's user cache folder; where that cannot be written,
a temporary one. It is named after the kernels' sources, since a change in one file does not by
itself make numba compile its callers anew. numba keys what it stores by processor, and writes
atomically, so that one folder serves several machines and processes at once.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from pathlib import Path

from pieces.files.user_folders import passing_folder, user_cache_folder


def kernel_folder() -> Path:
    """Return a writable folder for the kernels as they are now."""
    digest = hashlib.sha256()
    for source in sorted(Path(__file__).parent.rglob("*.py")):
        digest.update(source.read_bytes())
    name = f"kernels-{digest.hexdigest()[:12]}"
    for parent in (user_cache_folder(), passing_folder()):
        folder = parent / name
        try:
            folder.mkdir(parents=True, exist_ok=True)
            with tempfile.TemporaryFile(dir=folder):
                return folder
        except OSError:
            continue
    return Path(tempfile.mkdtemp(prefix="laywright-"))


def prepare_cache() -> None:
    """Point numba at the folder; call before numba is imported."""
    os.environ.setdefault("NUMBA_CACHE_DIR", str(kernel_folder()))


def is_warm() -> bool:
    """Whether kernels of these sources were compiled here before."""
    folder = Path(os.environ.get("NUMBA_CACHE_DIR", str(kernel_folder())))
    return any(folder.rglob("rounds.separate*.nbi"))
