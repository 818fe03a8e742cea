"""Errors of the operating system about files, as messages in the shop's language."""

import errno

from kiosk.catalog.base.notes import Message, say

_WHY = {
    **dict.fromkeys((errno.ENOSPC, errno.EDQUOT), say("catalog.why.full")),
    **dict.fromkeys((errno.EACCES, errno.EPERM), say("catalog.why.closed")),
    **dict.fromkeys((errno.EBUSY, errno.EAGAIN), say("catalog.why.busy")),
    **dict.fromkeys((errno.EEXIST, errno.ENOTEMPTY), say("catalog.why.taken")),
    **dict.fromkeys((errno.EMFILE, errno.ENFILE), say("catalog.why.many")),
    **dict.fromkeys(
        (errno.ESTALE, errno.ENOTCONN, errno.EHOSTDOWN, errno.ETIMEDOUT, errno.ENODEV),
        say("catalog.why.away"),
    ),
    errno.EROFS: say("catalog.why.read_only"),
    errno.ENOENT: say("catalog.why.gone"),
    errno.EIO: say("catalog.why.broken"),
    errno.ENAMETOOLONG: say("catalog.why.long"),
    errno.EISDIR: say("catalog.why.folder"),
    errno.ENOTDIR: say("catalog.why.no_folder"),
    errno.ELOOP: say("catalog.why.ring"),
}


def why_of(error: Exception) -> Message | str:
    """Return what went wrong with a file, as a message in the shop's language.

    If there is none: the system's own text, or the name of the exception.
    """
    if not isinstance(error, OSError):
        return type(error).__name__
    return _WHY.get(error.errno or 0) or error.strerror or type(error).__name__
