"""Kinds of cases: how they are drawn, and what is wrong with the program's answer to one, if anything."""

from __future__ import annotations

import contextlib
import io
import signal
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import FrameType
from typing import Any

from hypothesis import strategies as st

from fuzz import laws
from fuzz.broken import broken_lists, broken_profiles, broken_rooms, broken_traces
from fuzz.rooms import Tables, rooms
from fuzz.toml import toml_text
from trimwright.cli import main
from trimwright.errors import DoesNotFit, ProfileError, RoomFileError
from trimwright.mesh.piece import piece_meshes
from trimwright.project.project import read_project
from trimwright.setout.piece import SetOut
from trimwright.setout.set_out import set_out

__all__ = ["KINDS", "Kind", "complaints", "file_of"]

PATIENCE = 10
"""Seconds of work after which a case hangs; a busy machine takes longer by the clock."""

REFUSED = (RoomFileError, ProfileError, DoesNotFit)
"""How a well-formed room may be refused. A GeometryError is a fault of the program: it took the room, then failed."""


@dataclass(frozen=True)
class Kind:
    """`share`: cases in a hundred of a long run; `few`: cases in the test suite."""

    name: str
    cases: st.SearchStrategy[Any]
    check: Callable[[Any, Path], Iterator[str]]
    share: float
    few: int


def complaints(kind: Kind, case: Any, folder: Path) -> list[str]:
    """All that is wrong with the answer to a case. Raises whatever the program raises that it should not."""

    def ring(_: int, __: FrameType | None) -> None:
        raise TimeoutError(f"over {PATIENCE} s")

    before = signal.signal(signal.SIGPROF, ring)
    signal.setitimer(signal.ITIMER_PROF, PATIENCE)
    try:
        return list(kind.check(case, folder))
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def file_of(case: Any) -> bytes:
    """A case as the file it is."""
    if isinstance(case, tuple):
        return bytes(case[1])
    return case if isinstance(case, bytes) else toml_text(case).encode()


def _taken(tables: Tables, folder: Path) -> SetOut | None:
    """The room set out, or nothing if the program refuses it."""
    path = folder / "room.toml"
    path.write_text(toml_text(tables), encoding="utf-8")
    try:
        return set_out(read_project(path))
    except REFUSED:
        return None


def _set_out(tables: Tables, folder: Path) -> Iterator[str]:
    done = _taken(tables, folder)
    if done is not None:
        meshes = piece_meshes(done)
        yield from laws.broken_pieces(done)
        yield from laws.broken_meshes(done, meshes)
        yield from laws.broken_joints(done, meshes)


def _solids(tables: Tables, folder: Path) -> Iterator[str]:
    done = _taken(tables, folder)
    if done is not None:
        yield from laws.broken_solids(done, piece_meshes(done))


def _lists(tables: Tables, folder: Path) -> Iterator[str]:
    (folder / "room.toml").write_text(toml_text(tables), encoding="utf-8")
    for command in ("check", "cuts", "buy"):
        yield from _answer([command, str(folder / "room.toml"), "--json"])


def _pack(tables: Tables, folder: Path) -> Iterator[str]:
    (folder / "room.toml").write_text(toml_text(tables), encoding="utf-8")
    place = folder / "pack"
    yield from _answer(["build", str(folder / "room.toml"), "--out", str(place), "--no-pictures", "--no-step"])
    if place.exists():
        yield from laws.broken_pack(place)
    if sorted(p.name for p in folder.iterdir()) not in (["pack", "room.toml"], ["room.toml"]):
        yield "something was written outside the pack"


def _broken_room(data: bytes, folder: Path) -> Iterator[str]:
    (folder / "room.toml").write_bytes(data)
    for command in ("check", "cuts"):
        yield from _answer([command, str(folder / "room.toml")])


def _broken_profile(data: bytes, folder: Path) -> Iterator[str]:
    (folder / "own.toml").write_bytes(data)
    yield from _answer(["profile", str(folder / "own.toml")])


def _broken_list(data: bytes, folder: Path) -> Iterator[str]:
    (folder / "list.toml").write_bytes(data)
    yield from _answer(["plan", str(folder / "list.toml")])


def _broken_trace(case: tuple[str, bytes], folder: Path) -> Iterator[str]:
    ending, data = case
    (folder / f"trace.{ending}").write_bytes(data)
    own = folder / "own.toml"
    own.write_text(f'format = 1\nname = "own"\nkind = "rail"\noutline = "trace.{ending}"\ndrop = 40\n')
    yield from _answer(["profile", str(own)])


def _answer(arguments: list[str]) -> Iterator[str]:
    """The contract of every command: its exit code, one message where it refuses, nothing else on standard error."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(arguments)
    if code not in (0, 1, 2):
        yield f"{arguments[0]}: code {code}: {err.getvalue()}"
    elif "Traceback" in err.getvalue():
        yield f"{arguments[0]}: a traceback: {err.getvalue()}"
    elif code == 2 and len(err.getvalue().rpartition("trimwright: ")[2]) < 20:
        yield f"{arguments[0]}: refused without a word"
    elif code != 2 and not out.getvalue().strip():
        yield f"{arguments[0]}: done without a word"


KINDS = (
    Kind("set out", rooms(), _set_out, 30, 240),
    Kind("solids", rooms(), _solids, 5, 12),
    Kind("lists", rooms(), _lists, 5, 16),
    Kind("packs", rooms(), _pack, 1, 8),
    Kind("broken rooms", broken_rooms(), _broken_room, 29, 774),
    Kind("broken profiles", broken_profiles(), _broken_profile, 10, 400),
    Kind("broken lists", broken_lists(), _broken_list, 10, 350),
    Kind("broken traces", broken_traces(), _broken_trace, 10, 200),
)
