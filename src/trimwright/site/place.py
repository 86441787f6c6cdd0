"""The folder of a site: one that is free or a site's already, and that no other run is at work in."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from trimwright.errors import OutputError
from trimwright.site.records import FOLDER

__all__ = ["INDEX", "WRITTEN", "site_folder"]

INDEX = "site.json"
WRITTEN = ("index.html", "buying.csv", "cutting-plan.csv", "cutting-plan.pdf", "offcuts.toml")
"""What is written of the whole site beside the packs, but for the index."""


@contextmanager
def site_folder(out: Path) -> Iterator[None]:
    """Makes the folder if need be and holds it as long as a run lasts; the lock ends with the process.

    Raises OutputError if it cannot be written, if files in it that are not a site's would be lost, or if another run
    holds it.
    """
    try:
        if not (out / FOLDER).is_dir():
            for name in (*WRITTEN, INDEX):
                if os.path.lexists(out / name):
                    raise OutputError(f"{out}: its {name} is not that of a site; choose another folder with --out")
        (out / FOLDER).mkdir(parents=True, exist_ok=True)
        opened = os.open(out / FOLDER, os.O_RDONLY)
    except OSError as error:
        raise OutputError(f"{out}: cannot be written: {error.strerror or error}; choose another with --out") from None
    try:
        fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        os.close(opened)
        raise OutputError(f"{out}: another run is at work there; wait for it, or choose another with --out") from None
    except OSError:
        pass  # a file system without locks: then it is for the user to see to
    try:
        yield
    finally:
        os.close(opened)
