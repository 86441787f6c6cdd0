"""The processes that work beside the main one."""

from __future__ import annotations

import os
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context, parent_process
from threading import Thread

__all__ = ["workers"]


def workers(count: int) -> ProcessPoolExecutor:
    """Fresh processes that start when they are needed and end with this one, even if it is killed."""
    return ProcessPoolExecutor(count, get_context("spawn"), initializer=_end_with_parent)


def _end_with_parent() -> None:
    """A worker waits for work on a pipe that it holds open itself: without this it would outlive a killed parent."""
    Thread(target=_wait_for_parent, daemon=True).start()


def _wait_for_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
