"""The exact model: the file and the faults of its joints."""

from __future__ import annotations

import json
from collections.abc import Callable
from concurrent.futures import Executor
from datetime import date, datetime
from pathlib import Path

from trimwright.cache import keep, kept, key_of
from trimwright.pack.kept.beside import UNSEEN, made_beside
from trimwright.pack.workers import load
from trimwright.project.project import Project
from trimwright.setout.piece import SetOut

__all__ = ["Exact", "exact_beside", "load_ahead", "remember_made"]

Exact = tuple[list[tuple[str, str, str]], bytes]
"""Faults of joints, each as two pieces and words, and the model as STEP."""


KERNEL = ("trimwright.solid.kept", "trimwright.solid.joints", "trimwright.solid.step")


def exact_beside(pool: Executor, set_out: SetOut, path: Path, issued: date) -> Callable[[], Exact]:
    """Exact solids, checked and as a file; `path` is where the kernel may write it."""
    key = key_of(set_out.room.name, set_out.trims, set_out.pieces, issued, path.name, without=UNSEEN)
    found = made_beside(pool, "step", key, _exact, set_out, path, issued)

    def result() -> Exact:
        faults, _, step = found.result().partition(b"\n")
        return [(first, second, words) for first, second, words in json.loads(faults)], step

    return result


def load_ahead(pool: Executor, project: Project) -> None:
    """Has the kernel loaded while the room is being set out, unless the model of this project was made before."""
    if kept("made", key_of(project)) is None:
        pool.submit(load, *KERNEL)


def remember_made(project: Project) -> None:
    """Remembers that the model of a project was made, and so is likely to be found again."""
    keep("made", key_of(project), b"")


def _exact(set_out: SetOut, path: Path, issued: date) -> bytes:
    """A line with the faults, then the model."""
    from trimwright.solid.joints import joint_faults
    from trimwright.solid.kept import kept_solids
    from trimwright.solid.step import write_step

    solids = kept_solids(set_out)
    write_step(path, set_out, solids, datetime(issued.year, issued.month, issued.day))
    faults = [(fault.first, fault.second, str(fault)) for fault in joint_faults(set_out, solids)]
    return json.dumps(faults).encode() + b"\n" + path.read_bytes()
