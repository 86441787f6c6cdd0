"""Two folders change places in one step, so that a place is never empty in between."""

from __future__ import annotations

import ctypes
import errno
import os
import sys
from pathlib import Path

__all__ = ["exchange"]

AT_FDCWD = -100
RENAME_EXCHANGE = 2
"""Of Linux, `linux/fs.h` and `linux/fcntl.h`: see rename(2)."""

RENAME_SWAP = 2
"""Of macOS, `sys/stdio.h`: see renamex_np(2). From its manual page; not tried on a machine."""

CANNOT = {errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP}
"""What a system or a file system says that knows no exchange."""


def exchange(first: Path, second: Path) -> bool:
    """Let two folders change places; False, with nothing done, where the system cannot do it in one step.

    Raises OSError if it could but may not.
    """
    libc = ctypes.CDLL(None, use_errno=True)
    one, other = os.fsencode(first), os.fsencode(second)
    if sys.platform == "linux" and hasattr(libc, "renameat2"):
        failed = libc.renameat2(AT_FDCWD, one, AT_FDCWD, other, RENAME_EXCHANGE)
    elif sys.platform == "darwin" and hasattr(libc, "renamex_np"):
        failed = libc.renamex_np(one, other, RENAME_SWAP)
    else:
        return False
    if not failed:
        return True
    code = ctypes.get_errno()
    if code in CANNOT:
        return False
    raise OSError(code, os.strerror(code), str(second))
