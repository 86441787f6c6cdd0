"""The process at a bench. Little is loaded here, so that what it sets comes before the libraries that read it."""

from __future__ import annotations

import signal
from multiprocessing.connection import Connection

from trimwright.pack.workers import begin_worker

__all__ = ["work"]


def work(connection: Connection) -> None:
    """A process's whole life: rooms come, outcomes go. Ctrl-C is the matter of the process that started it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    begin_worker()
    from trimwright.site.room import build_room

    while True:
        try:
            task = connection.recv()
        except EOFError:
            return
        connection.send(build_room(task))
