"""One line on what is being made, for work that takes longer than a second."""

from __future__ import annotations

import sys
import time
from typing import TextIO

__all__ = ["Progress"]

PATIENCE = 1.0
"""Seconds of silence before anything is said."""


class Progress:
    """Says on a terminal, or once a stage in a log, what is going on; says nothing of quick work."""

    def __init__(self, stream: TextIO | None = None) -> None:
        self.stream = sys.stderr if stream is None else stream
        self.start = time.monotonic()
        self.shown = False

    def __call__(self, stage: str) -> None:
        """Names the stage that begins."""
        if time.monotonic() - self.start < PATIENCE:
            return
        live = self.stream.isatty()
        self.stream.write(f"\r\033[K{stage} ..." if live else f"{stage} ...\n")
        self.stream.flush()
        self.shown = live

    def done(self) -> None:
        """Clears the line."""
        if self.shown:
            self.stream.write("\r\033[K")
            self.stream.flush()
