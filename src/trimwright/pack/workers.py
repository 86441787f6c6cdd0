"""The processes that work beside the main one."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from multiprocessing import parent_process
from multiprocessing.context import SpawnContext, SpawnProcess
from threading import Thread
from types import ModuleType
from typing import Any, TypeVar

from trimwright import process

__all__ = ["Here", "Worker", "begin_worker", "workers"]


Made = TypeVar("Made")


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
    return ProcessPoolExecutor(count, _Workers(), initializer=begin_worker)


class Here(Executor):
    """Does what it is given at once and in this process: for a pack that is made beside others, one to a processor."""

    def submit(self, work: Callable[..., Made], /, *given: Any, **named: Any) -> Future[Made]:
        """The work done, or the error that it ended in."""
        future: Future[Made] = Future()
        try:
            future.set_result(work(*given, **named))
        except Exception as error:
            future.set_exception(error)
        return future


def begin_worker() -> None:
    """Sets this process up for its work, and makes it end with the one that started it.

    A worker waits for work on a pipe that it holds open itself, so it would outlive a killed parent.
    """
    process.begin()
    Thread(target=_wait_for_parent, daemon=True).start()


def _wait_for_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
