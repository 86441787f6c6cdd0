"""How a command ends that is told to from outside: by `kill`, or by its terminal being closed."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from threading import current_thread, main_thread
from types import FrameType

__all__ = ["clearing_up"]

SIGNALS = (signal.SIGTERM, signal.SIGHUP)
"""Those that would end a process where it stands, with what it had begun left lying about."""


@contextmanager
def clearing_up() -> Iterator[None]:
    """While it lasts, such a signal is first what Ctrl-C is, an exception on which all is cleared up, and then itself.

    So whoever sent it sees the process end by it. One that is ignored, as under `nohup`, stays so.
    """
    ours = [number for number in SIGNALS if signal.getsignal(number) is signal.SIG_DFL]
    if current_thread() is not main_thread():  # signals are no matter of other threads
        ours = []
    came: list[int] = []

    def end(number: int, _: FrameType | None) -> None:
        came.append(number)
        if len(came) == 1:  # a terminal that is closed says so twice, and the second must not end the clearing up
            raise KeyboardInterrupt

    for number in ours:
        signal.signal(number, end)
    try:
        yield
    finally:
        for number in ours:
            signal.signal(number, signal.SIG_DFL)
        if came:
            os.kill(os.getpid(), came[-1])
