"""How a process is set up for the work of one room, before any large library is loaded."""

from __future__ import annotations

import gc
import os

__all__ = ["begin"]

NEW_OBJECTS = 400_000
"""So many more than were freed, and Python looks for cycles; its own 700 spends a tenth of a pack's time on it, 50,000
a fiftieth. A pack makes about 300,000; six in one process take 145 MB in place of 133.
"""


def begin() -> None:
    """One thread for products of matrices, unless the user says otherwise, and fewer looks for cycles of objects.

    Matrices of two thousand rows spend five times the work on more threads, most of it in waiting for each other.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    gc.set_threshold(NEW_OBJECTS, 20, 20)
