"""Why the system refuses a file or a folder, in plain words: its own differ from system to system and say errors by
their names in C."""

import errno

_WORDS = {
    errno.ENOENT: "there is no such file or folder",
    errno.ENOTDIR: "this is a file, not a folder, or lies in one",
    errno.EISDIR: "this is a folder, not a file",
    errno.EACCES: "permission denied",
    errno.EPERM: "permission denied",
    errno.EROFS: "what it is on can only be read",
    errno.ENOSPC: "no space is left on the disk",
    errno.EDQUOT: "this user's share of the disk is full",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ELOOP: "its links lead in a circle",
    errno.EEXIST: "it is there already",
    errno.EPIPE: "nobody reads it any more",
    errno.EADDRINUSE: "another program uses it",
}


def system_words(error: Exception) -> str:
    """The reason of an OSError in plain words, that of the system where none are known; of anything else its text."""
    if not isinstance(error, OSError):
        return str(error)
    known = _WORDS.get(error.errno or 0)
    return known or (error.strerror or "the system does not say why").casefold()
