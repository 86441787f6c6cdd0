"""The processes that work beside the main one."""

from __future__ import annotations

import os
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import parent_process
from multiprocessing.context import SpawnContext, SpawnProcess
from threading import Thread
from types import ModuleType

__all__ = ["workers"]

ONE_THREAD = ("OPENBLAS_NUM_THREADS", "1")
"""What numpy reads when it is loaded."""


class Worker(SpawnProcess):
    """A fresh process that does not run the script which it was started from.

    A spawned process imports that script first, for what may be defined there; ours need nothing of it, and a script
    without `if __name__ == "__main__"` would do its whole work again in each.
    """

    def start(self) -> None:
        """Starts it while the script is out of sight."""
        script = sys.modules["__main__"]
        sys.modules["__main__"] = ModuleType("__main__")
        try:
            super().start()
        finally:
            sys.modules["__main__"] = script


class _Workers(SpawnContext):
    Process = Worker


def workers(count: int) -> ProcessPoolExecutor:
    """Fresh processes that start when they are needed and end with this one, even if it is killed."""
    return ProcessPoolExecutor(count, _Workers(), initializer=_begin)


def _begin() -> None:
    """Makes a worker end with its parent, and keeps it to one thread for products of matrices.

    A worker waits for work on a pipe that it holds open itself, so it would outlive a killed parent. More threads for
    matrices of two thousand rows spend five times the work, most of it in waiting for each other.
    """
    os.environ.setdefault(*ONE_THREAD)
    Thread(target=_wait_for_parent, daemon=True).start()


def _wait_for_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
