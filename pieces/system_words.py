"""What the operating system refused, in the words of a person, with what to do."""

from __future__ import annotations

import errno

from pieces.name_length import MOST_BYTES

WORDS = {
    errno.ENOENT: "there is no such file or folder",
    errno.EACCES: "it is not permitted; look at the rights of the file and its folder",
    errno.EPERM: "it is not permitted; look at the rights of the file and its folder",
    errno.EROFS: "the disk can only be read; choose a place on another one",
    errno.ENOSPC: "the disk is full; make room and try again",
    errno.EDQUOT: "your share of the disk is used up; make room and try again",
    errno.EFBIG: "the system permits no file as large as that; lift the limit and try again",
    errno.EIO: "the disk does not answer as it should; copy what you can and try another one",
    errno.EISDIR: "it is a folder; name a file",
    errno.ENOTDIR: "a part of its path is a file, not a folder; look at the spelling",
    errno.EEXIST: "something of that name is there already; choose another name",
    errno.ENAMETOOLONG: f"the name is too long; choose one of at most {MOST_BYTES} letters",
    errno.ELOOP: "its links lead round in a circle",
    errno.EMFILE: "too many files are open; close other programs and try again",
    errno.ENFILE: "too many files are open; close other programs and try again",
    errno.ENOMEM: "there is not enough memory; close other programs and try again",
    errno.EBUSY: "another program is using it; close that and try again",
    errno.ENXIO: "it is no ordinary file; name another one",
    errno.EINVAL: "the name cannot be that of a file",
}


def system_words(error: OSError) -> str:
    """Say what an error of the operating system means, and what to do."""
    known = WORDS.get(error.errno or 0)
    return known or f"the system refuses it ({error.strerror or error})"
