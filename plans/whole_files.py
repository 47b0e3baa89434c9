"""Writing a file whole: it is there complete, or the former one is as it was."""

from __future__ import annotations

import errno
import os
import re
import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

ASIDE = ".laywright-"
"""Names of what is written aside, before it takes its place, begin with this."""

ASIDE_END = ".aside"
"""And they end with this, so that nobody's own files are taken for them."""

LEFT_S = 24 * 3600.0
"""What was written aside and not touched for so long is a leaving, unless its writer still holds
it: no writing takes a day, but a machine may sleep for longer."""

_OURS = re.compile(re.escape(ASIDE) + r"[a-z0-9_]{8}" + re.escape(ASIDE_END))
"""Names as `tempfile` makes them."""

_CANNOT_LINK = frozenset(
    {errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EINVAL, errno.EMLINK}
)
"""What systems say of a link where the disk knows none (exFAT, some shared folders)."""

_cleared: set[str] = set()


@contextmanager
def written_aside(path: Path, content: bytes) -> Iterator[str]:
    """Give a complete file beside `path`, to be put in its place; what is left of it is removed.

    Raises
    ------
    OSError
        If the disk refuses.
    """
    aside = None
    folder = path.absolute().parent
    clear_leavings(folder)
    try:
        handle, aside = tempfile.mkstemp(dir=folder, prefix=ASIDE, suffix=ASIDE_END)
        with held(Path(aside)):
            with os.fdopen(handle, "wb") as stream:
                stream.write(content)
            os.chmod(aside, 0o644)
            yield aside
    finally:
        if aside is not None:
            Path(aside).unlink(missing_ok=True)


@contextmanager
def held(path: Path) -> Iterator[None]:
    """Hold what is written aside, so that other programs see that its writer lives.

    The system lets go of it when this program ends, however that is. Where the system or the disk
    knows no locks, nothing is held.
    """
    handle = _opened(path)
    try:
        if handle is not None:
            with suppress(OSError):
                _lock(handle)
        yield
    finally:
        if handle is not None:
            os.close(handle)


def _is_held(path: Path) -> bool:
    """Whether a program that lives holds this; False, too, where that cannot be told."""
    handle = _opened(path)
    if handle is None:
        return False
    try:
        _lock(handle)
    except BlockingIOError:
        return True
    except OSError:
        return False
    finally:
        os.close(handle)
    return False


def _opened(path: Path) -> int | None:
    """A file or a folder, open to be locked; None where that cannot be."""
    if os.name != "posix":
        # Elsewhere no folder is opened so, and what is open cannot be moved.
        return None
    try:
        return os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
    except OSError:
        return None


def _lock(handle: int) -> None:
    import fcntl

    fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


def write_whole(path: Path, content: bytes) -> None:
    """Write a file whole; what a link leads to is written, not the link, and a pipe as it is.

    Raises
    ------
    OSError
        If the disk refuses.
    """
    real = Path(os.path.realpath(path))
    if real.exists() and not real.is_file():
        real.write_bytes(content)
        return
    with written_aside(real, content) as aside:
        os.replace(aside, real)


def move_to_free(source: str | Path, target: Path) -> None:
    """Move a file to a place where there is nothing yet, whoever else writes there meanwhile.

    Raises
    ------
    FileExistsError
        If something is there; the file stays where it is.
    OSError
        If the disk refuses.
    """
    try:
        os.link(source, target)
    except FileExistsError:
        raise
    except OSError as error:
        if error.errno not in _CANNOT_LINK:
            raise
        _move_to_claimed(source, target)
    else:
        os.unlink(source)


def _move_to_claimed(source: str | Path, target: Path) -> None:
    """The same without a link: an empty file that nobody else can make keeps the place."""
    os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o644))
    try:
        os.replace(source, target)
    except BaseException:
        with suppress(OSError):
            os.unlink(target)
        raise


def clear_leavings(folder: Path, left_s: float = LEFT_S) -> None:
    """Remove what programs that were killed left aside in a folder, a day ago or more.

    A folder is looked through once by each program. What cannot be removed stays, and so does what
    a program that lives still holds, and a former plan of which anything is nowhere else.

    Parameters
    ----------
    folder : Path
    left_s : float
        Seconds for which it was not touched; 0 is for whoever alone may write there.
    """
    if str(folder) in _cleared:
        return
    _cleared.add(str(folder))
    with suppress(OSError):
        with os.scandir(folder) as entries:
            found = [Path(entry.path) for entry in entries if _OURS.fullmatch(entry.name)]
        for path in found:
            with suppress(OSError):
                if not path.is_symlink() and _is_left(path, left_s) and not _is_held(path):
                    _remove(path)


def _is_left(path: Path, left_s: float) -> bool:
    """Whether nothing of it was touched for long, and it holds no former plan that is lost."""
    inside = sorted(path.rglob("*")) if path.is_dir() else []
    latest = max(one.lstat().st_mtime for one in (path, *inside))
    if time.time() - latest < left_s:
        return False
    # A former plan lies in a folder of its name; new files lie at the top.
    former = (one.relative_to(path) for one in inside if one.is_dir() or one.parent != path)
    return all((path.parent / one).exists() for one in former)


def _remove(path: Path) -> None:
    if path.is_dir():
        shutil.rmtree(path, ignore_errors=True)
    else:
        path.unlink()
