"""Rooms built on this machine, one to a processor: each has a bench, where one process builds room by room."""

from __future__ import annotations

import os
from collections.abc import Generator, Iterator
from multiprocessing import Pipe
from multiprocessing.connection import wait

from trimwright.pack.workers import Worker
from trimwright.site.process import work
from trimwright.site.records import Failure, Outcome
from trimwright.site.room import RoomTask

__all__ = ["built_here", "processors"]

ROOMS = 40
"""A process is followed by a fresh one after so many rooms, so that what libraries keep of each cannot add up."""

TRIES = 2
"""A room whose process dies is tried so often: it may have been for want of memory."""


def processors() -> int:
    """How many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def built_here(tasks: Iterator[RoomTask], count: int) -> Generator[tuple[RoomTask, Outcome], None, None]:
    """Outcomes as they come, by so many processes; a task is asked for when a process is free to do it."""
    idle, busy = list[_Bench](), list[_Bench]()
    try:
        for task in tasks:
            bench = idle.pop() if idle else _Bench()
            busy.append(bench)
            bench.begin(task)
            if len(busy) >= count:
                yield from _finished(busy, idle)
        while busy:
            yield from _finished(busy, idle)
    finally:
        for bench in (*idle, *busy):
            bench.clear()


def _finished(busy: list[_Bench], idle: list[_Bench]) -> Iterator[tuple[RoomTask, Outcome]]:
    """The outcomes of the benches that are done next."""
    ready = wait([bench.connection for bench in busy])
    for bench in [bench for bench in busy if bench.connection in ready]:
        outcome = bench.outcome()
        if outcome is not None:
            busy.remove(bench)
            idle.append(bench)
            yield bench.task, outcome


class _Bench:
    """A process that builds one room at a time, followed by a fresh one where it is used up or has died."""

    task: RoomTask

    def __init__(self) -> None:
        self.rooms = self.tries = 0
        self._set_up()

    def _set_up(self) -> None:
        self.connection, other = Pipe()
        self.process = Worker(target=work, args=(other,), daemon=True)
        self.process.start()
        other.close()

    def begin(self, task: RoomTask) -> None:
        """Sets the process to work."""
        if self.rooms == ROOMS:
            self.clear()
            self._set_up()
            self.rooms = 0
        self.rooms += 1
        self.tries = 1
        self.task = task
        self._send()

    def outcome(self) -> Outcome | None:
        """What came of the room; None if the process died and a fresh one has begun it again."""
        try:
            outcome: Outcome = self.connection.recv()
        except (EOFError, OSError):
            self.clear()
            self._set_up()
            if self.tries == TRIES:
                said = f"the process that built it ended before it was done, {TRIES} times; is there memory enough?"
                return Failure(f"{self.task.file}: {said}", fault=True)
            self.tries += 1
            self._send()
            return None
        return outcome

    def _send(self) -> None:
        try:
            self.connection.send(self.task)
        except OSError:
            return  # it has died already, which is found out when its answer is looked for

    def clear(self) -> None:
        """Ends the process, whatever it is at: packs are swapped in whole, so nothing is lost but its time."""
        self.process.kill()
        self.process.join()
        self.connection.close()
