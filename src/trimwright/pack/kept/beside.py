"""What is kept, or what another process makes of it."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import Any

from trimwright.cache import keep, kept

__all__ = ["UNSEEN", "made_beside"]

UNSEEN = ("Trim.stock", "SetOut.notes", "SetOut.order", "SetOut.long")
"""What no body follows from: lengths sold and their prices show in the pieces, if anywhere."""


def made_beside(pool: Executor, kind: str, key: str, work: Callable[..., bytes], *given: Any) -> Future[bytes]:
    """What is kept under a key; else what the work makes in the pool of what it is given, which is then kept."""
    data = kept(kind, key)
    if data is None:
        return pool.submit(_made, kind, key, work, *given)
    done: Future[bytes] = Future()
    done.set_result(data)
    return done


def _made(kind: str, key: str, work: Callable[..., bytes], *given: Any) -> bytes:
    data = work(*given)
    keep(kind, key, data)
    return data
