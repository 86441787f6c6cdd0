"""The processes that work beside the main one."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, nullcontext, suppress
from dataclasses import dataclass
from importlib import import_module
from multiprocessing import parent_process
from multiprocessing.context import SpawnContext, SpawnProcess
from threading import Thread
from types import ModuleType
from typing import Any, TypeVar

from trimwright import process
from trimwright.errors import OutputError

__all__ = ["Hands", "Here", "Worker", "Workers", "at_work", "begin_worker", "hands", "load"]


Made = TypeVar("Made")


LIGHT = (
    "trimwright.pack.kept.light",
    "embreex.rtcore_scene",
    "embreex.mesh_construction",
    "manifold3d",
    "shapely",
)
PICTURES = ("trimwright.pack.kept.pictures", "trimwright.picture.draw", "scipy.sparse.csgraph")
DRAWINGS = ("trimwright.pack.drawings", "trimwright.drawing.dxf")
"""What the processes beside load ahead, those too that are imported only where they are used."""


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
            with _deaf():
                super().start()
        finally:
            sys.modules["__main__"] = script

    def run(self) -> None:
        """Its work; then it is gone at once: to take down large libraries one by one takes a third of a second."""
        super().run()
        os._exit(0)


@contextmanager
def _deaf() -> Iterator[None]:
    """Processes that are started meanwhile never hear of Ctrl-C or of a closed terminal: who started them ends them."""
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT, signal.SIGHUP})  # they inherit that
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


class _Workers(SpawnContext):
    """Makes processes and remembers them."""

    def __init__(self) -> None:
        self.made: list[Worker] = []

    def Process(self, *given: Any, **named: Any) -> Worker:  # type: ignore[override]  # its own name
        """A new worker."""
        self.made.append(Worker(*given, **named))
        return self.made[-1]


class Workers(ProcessPoolExecutor):
    """Fresh processes that start when they are needed and end with this one, even if it is killed."""

    def __init__(self, count: int) -> None:
        self._context = _Workers()
        with _deaf():  # it begins with the process that counts what all of them share
            super().__init__(count, self._context, initializer=begin_worker)

    def __exit__(self, kind: type[BaseException] | None, *rest: Any) -> bool | None:
        """Waits for what they do; after an error they are stopped in it."""
        if kind is not None:
            self.end()
        return super().__exit__(kind, *rest)

    def end(self) -> None:
        """Stops them in whatever they do, and waits until they are gone."""
        begun = [worker for worker in self._context.made if worker.pid is not None]  # one whose start failed has none
        for worker in begun:
            worker.terminate()
        for worker in begun:
            worker.join()


@dataclass(frozen=True, slots=True)
class Hands:
    """Who works beside the process that writes a pack; both may be the same."""

    solids: Workers | Here
    """Makes what needs the kernel, which only this one loads, draws templates and the evening, and writes the DXF."""

    pictures: Workers | Here
    """Follows the light and draws the room by day."""


@contextmanager
def hands(solids: bool, pictures: bool) -> Iterator[Hands]:
    """Processes that start at once: what they work with can be loaded while a room is set out."""
    with Workers(1) as first, Workers(1) if solids or pictures else nullcontext(first) as second:
        first.submit(load, *LIGHT, *(PICTURES if pictures else ()))
        second.submit(load, *DRAWINGS)
        yield Hands(second, first)


@contextmanager
def at_work(crew: Hands) -> Iterator[Hands]:
    """While they make a pack: an error ends them before what they write in is cleared away.

    Raises OutputError if one of them was ended from outside.
    """
    try:
        yield crew
    except BaseException as error:
        for one in (crew.solids, crew.pictures):
            one.end()
        if isinstance(error, BrokenProcessPool):
            raise OutputError("a process that worked beside this one was ended: is there memory enough?") from None
        raise


def load(*modules: str) -> None:
    """Loads modules by their names, each as far as it can be."""
    for module in modules:
        with suppress(Exception):  # whoever needs it will be told
            import_module(module)


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

    def end(self) -> None:
        """Nothing is left to stop."""


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
