"""A room file with some entries changed, set out and measured as it would be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple

from trimwright.clearance.clearance import Clearance, clashes
from trimwright.clearance.gaps import clearances, gap_between
from trimwright.clearance.obstacles import Obstacle, obstacles
from trimwright.mesh.piece import piece_meshes
from trimwright.mesh.shape import Mesh
from trimwright.project.models import RoomFile
from trimwright.project.project import Project, project_of
from trimwright.project.read import validate
from trimwright.setout.piece import SetOut, Trim
from trimwright.setout.set_out import set_out

__all__ = ["Pair", "Trial", "pair_of", "trial"]


class Pair(NamedTuple):
    """The names of a trim and of an obstacle; `trims`: of two trims whose pieces lie in each other."""

    trim: str
    obstacle: str
    trims: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """The tables of a file, what they are set out to, and the gaps there."""

    data: Mapping[str, Any]
    project: Project
    set_out: SetOut
    meshes: Mapping[str, Mesh]
    obstacles: tuple[Obstacle, ...]
    lines: tuple[Clearance, ...]

    @property
    def clashing(self) -> dict[Pair, list[Clearance]]:
        """The clashes by trim and obstacle, in the order of the pieces."""
        found: dict[Pair, list[Clearance]] = {}
        for line in clashes(self.lines):
            found.setdefault(pair_of(line), []).append(line)
        return found

    def trim(self, name: str) -> Trim:
        """The placed trim of a name."""
        return next(trim for trim in self.set_out.trims if trim.name == name)

    def gap(self, pair: Pair) -> float | None:
        """The least gap between a trim and an obstacle; None if they are not near each other."""
        return min((line.actual for line in self.lines if pair_of(line) == pair), default=None)

    def clear(self, trim: str, meshes: Mapping[str, Mesh], ways: tuple[Obstacle, ...]) -> bool:
        """True if the pieces of a trim, with these bodies, keep the gaps wanted from these obstacles."""
        return all(
            (line := gap_between(self.set_out.room, piece, meshes[piece.id], way)) is None or line.ok
            for piece in self.set_out.pieces
            if piece.trim.name == trim
            for way in ways
        )


def pair_of(line: Clearance) -> Pair:
    """The trim and the obstacle of a line."""
    return Pair(line.trim, line.other_trim or line.obstacle, bool(line.other_trim))


def trial(data: Mapping[str, Any], path: Path, trims: frozenset[str] | None = None) -> Trial:
    """The room of some tables measured, all of it or only the trims named.

    Raises RoomFileError, DoesNotFit or GeometryError where it cannot be set out.
    """
    kept = data if trims is None else {**data, "trim": [t for t in data["trim"] if t["name"] in trims], "offcut": []}
    project = project_of(validate(RoomFile, kept, path), path)
    done = set_out(project)
    meshes = piece_meshes(done)
    return Trial(
        data=data,
        project=project,
        set_out=done,
        meshes=meshes,
        obstacles=obstacles(done.room, project.clearance),
        lines=clearances(done, meshes, project.clearance),
    )
