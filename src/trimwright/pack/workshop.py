"""A hidden folder beside a pack in which the new one is made; what a killed run left of one is cleared away.

.trimwright-k3j2/            locked as long as its process lives
    den/                     the new pack; after the exchange, the old one
    old/den/                 the old pack for a moment, where the two cannot be exchanged in one step
"""

from __future__ import annotations

import fcntl
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from trimwright.pack.exchange import exchange

__all__ = ["swap_in", "workshop"]

PREFIX = ".trimwright-"
ASIDE = "old"


@contextmanager
def workshop(place: Path) -> Iterator[Path]:
    """An empty folder beside `place`, gone afterwards; first mends and clears what killed runs left there."""
    _clear_abandoned(place.parent)
    with ExitStack() as until:
        folder = _new_locked(place.parent, until)
        until.callback(shutil.rmtree, folder, ignore_errors=True)
        yield folder


def swap_in(made: Path, place: Path) -> None:
    """What was made takes `place`; what was there, if anything, is then where the other was made."""
    if not place.exists():
        made.rename(place)
    elif not exchange(made, place):
        _swap_in_two_steps(made, place)


def _swap_in_two_steps(made: Path, place: Path) -> None:
    """The old pack is put aside and comes back if the new one cannot follow; a run killed between is mended later."""
    aside = made.parent / ASIDE
    aside.mkdir()
    place.rename(aside / place.name)
    try:
        made.rename(place)
    except OSError:
        (aside / place.name).rename(place)
        raise
    (aside / place.name).rename(made)


def _clear_abandoned(parent: Path) -> None:
    """Removes the workshops of processes that are no more; an old pack whose place is empty goes back first.

    Where folders cannot be locked none is taken for abandoned, since none can be told from a living one.
    """
    for folder in sorted(p for p in parent.glob(f"{PREFIX}*") if p.is_dir() and not p.is_symlink()):
        with suppress(OSError), _locked(folder):
            for pack in sorted(folder.glob(f"{ASIDE}/*")):
                if not os.path.lexists(parent / pack.name):
                    pack.rename(parent / pack.name)
            shutil.rmtree(folder, ignore_errors=True)


def _new_locked(parent: Path, until: ExitStack) -> Path:
    """A new folder, locked as long as its process lives; one that another process clears away before is made again."""
    while True:
        folder = Path(tempfile.mkdtemp(prefix=PREFIX, dir=parent))
        try:
            until.enter_context(_locked(folder))
        except BlockingIOError:  # held by one that clears, which will have it gone in a moment
            continue
        except OSError:  # not to be locked at all: then it is not cleared either
            pass
        if folder.exists():
            return folder


@contextmanager
def _locked(folder: Path) -> Iterator[None]:
    """Holds a lock that ends with the process, however that ends. Raises OSError if it cannot be had."""
    opened = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
        yield
    finally:
        os.close(opened)
