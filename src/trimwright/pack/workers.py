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
    return ProcessPoolExecutor(count, _Workers(), initializer=_end_with_parent)


def _end_with_parent() -> None:
    """A worker waits for work on a pipe that it holds open itself: without this it would outlive a killed parent."""
    Thread(target=_wait_for_parent, daemon=True).start()


def _wait_for_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
