"""`trimwright view`: make the page, watch the file, make it again, until it is stopped."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from threading import Thread

from trimwright.errors import RoomFileError, TrimwrightError
from trimwright.view.board import Board
from trimwright.view.serve import Server
from trimwright.view.watch import folders_of, stamp

__all__ = ["view"]

INTERVAL = 0.1
"""Seconds between two looks at the files: much shorter than the making of a page, and no load."""

Tell = Callable[[str], None]


def view(room: Path, port: int | None, tell: Tell) -> None:
    """Serves the page of a room file and follows the file until Ctrl-C; `tell` gets a line at each rebuild.

    Raises RoomFileError if there is no file, OutputError if the port is taken. A wrong file ends nothing: the page
    says what is wrong.
    """
    if not room.exists():
        raise RoomFileError(f"{room}: there is no such file; trimwright new {room} asks for a room and writes it")
    board = Board()
    with Server(board, port) as server:
        Thread(target=server.serve_forever, kwargs={"poll_interval": INTERVAL}, daemon=True).start()
        tell(f"{room}: open {server.address} (Ctrl-C ends it)")
        try:
            _follow(room, board, tell)
        except KeyboardInterrupt:
            tell("ended")
        finally:
            server.shutdown()


def _follow(room: Path, board: Board, tell: Tell) -> None:
    # What takes a second to import is imported while the browser is opened.
    from trimwright.view.rebuild import Made, rebuilt

    made: Made | None = None
    while True:
        seen = stamp(folders_of(room))
        start = time.monotonic()
        try:
            before, made = made, rebuilt(room, made)
        except TrimwrightError as error:
            board.complain(str(error))
            tell(f"wrong: {error}")
        except Exception as error:
            board.complain(f"a fault of the program: {type(error).__name__}: {error}")
            tell(board.shown.wrong)
        else:
            board.show(made.page, made.texts)
            changed = ", ".join(made.changed_since(before)) or "no trim changed"
            tell(f"made in {time.monotonic() - start:.1f} s: {changed}")
        _wait_for_change(room, seen)


def _wait_for_change(room: Path, seen: frozenset[tuple[str, int, int]]) -> None:
    """Comes back when files differ from what was seen and have stayed so for one look: no half-written file is read."""
    before = seen
    while (now := stamp(folders_of(room))) == seen or now != before:
        before = now
        time.sleep(INTERVAL)
