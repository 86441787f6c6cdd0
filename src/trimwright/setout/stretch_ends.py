"""The end of a stretch: the joint wanted there and its plane, at a corner, at a pipe or free."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from trimwright.profile.silhouette import front_silhouette
from trimwright.room import Corner, Room
from trimwright.setout import ends
from trimwright.setout.curved.bends import square_stop
from trimwright.setout.curved.bent_ends import bent_corner, joint_bent
from trimwright.setout.cutouts.passing import severed_corner
from trimwright.setout.inclines import check_corner
from trimwright.setout.piece import End, Joint, Side, Trim
from trimwright.setout.runs import Run
from trimwright.setout.stretch import Stretch
from trimwright.setout.stubs import stop_beside

__all__ = ["StretchEnds", "across_pipes"]

HOLE = 1.0
"""A cope that would leave more than this of its mate's face open (mm) is not made."""

StretchEnd = tuple[str, Side]
"""Key of a stretch, and which of its ends."""


def across_pipes(runs: Sequence[Run]) -> dict[StretchEnd, str]:
    """For each end of a stretch that meets another at a pipe, the key of the piece there."""
    stretches = [(f"{r}.{i}", s) for r, run in enumerate(runs) for i, s in enumerate(run.stretches)]
    starting = {(s.wall.index, s.low): key for key, s in stretches if s.left_pipe}
    found: dict[StretchEnd, str] = {}
    for key, s in stretches:
        after = starting.get((s.wall.index, s.high)) if s.right_pipe else None
        if after is not None:
            found[key, Side.RIGHT] = f"{after}.0"
            found[after, Side.LEFT] = f"{key}.last"
    return found


@dataclass(frozen=True, slots=True)
class StretchEnds:
    """What decides the ends of a trim's stretches: the gap round pipes, and `across` them the keys of pieces.

    `notes` gathers what the fitter should be told.
    """

    trim: Trim
    room: Room
    clearance: float
    across: Mapping[StretchEnd, str]
    notes: list[str]

    def end(self, run: Run, i: int, key: str, side: Side) -> End:
        """One end of stretch `i` of a run, whose key is `key`. Mates are keys, later ids."""
        stretch, at_left = run.stretches[i], side is Side.LEFT
        corner = stretch.left_corner if at_left else stretch.right_corner
        if corner is not None and (stretch.left_joined if at_left else stretch.right_joined):
            return self._round_corner(run, i, key, side, corner)
        if corner is not None and corner.internal:
            return self._into_corner(stretch, side, corner)
        station = stretch.low if at_left else stretch.high
        pipe = stretch.left_pipe if at_left else stretch.right_pipe
        if pipe:
            self.notes.append(f"{self.trim.name} on {stretch.wall.name}: {pipe}")
            return ends.end_at(side, station, ends.square(), Joint.SQUARE, None, self.across.get((key, side)))
        if self.trim.joints.end is Joint.RETURN:
            return ends.end_at(side, station, ends.mitred_return(self.trim.edges), Joint.RETURN, 270.0, None)
        return ends.end_at(side, station, ends.square(), Joint.SQUARE, None, None)

    def _round_corner(self, run: Run, i: int, key: str, side: Side, corner: Corner) -> End:
        """The end at a corner that the trim goes round."""
        at_left, stretch = side is Side.LEFT, run.stretches[i]
        other = (i + (-1 if at_left else 1)) % len(run.stretches)
        mate = f"{key.rpartition('.')[0]}.{other}.{'last' if at_left else '0'}"
        if joint_bent(stretch, run.stretches[other]):
            return bent_corner(self.trim, side, stretch, run.stretches[other], corner, mate, self.notes)
        first = run.rank(i) < run.rank(other)
        # The piece that runs into the corner stops at what lies on the other piece's wall.
        met = (corner.left if at_left else corner.right) if first else stretch.wall.index
        setback, joint = self._corner_joint(corner, first, self.trim.ground(met))
        if joint is not Joint.SQUARE and side is Side.RIGHT:
            self.notes.extend(check_corner(self.trim, self.room, corner))
        station = stretch.low if at_left else stretch.high
        return replace(ends.end_at(side, station, setback, joint, corner.angle, mate), seam=corner.seam)

    def _into_corner(self, stretch: Stretch, side: Side, corner: Corner) -> End:
        """Square into an internal corner beyond which the trim does not go on."""
        at_left, edges = side is Side.LEFT, self.trim.edges
        station = stretch.low if at_left else stretch.high
        beyond = corner.left if at_left else corner.right
        beside = self.room.walls[beyond]
        if stretch.wall.bend is not None or beside.bend is not None:
            guess = (station, beside.length if at_left else 0.0)
            stop = square_stop(stretch.wall.frame, beside.frame, guess, edges, side)
            return End(joint=Joint.SQUARE, station=stop, corner=corner.angle)
        setback = stop_beside(self.trim, self.room, corner, beyond)
        return ends.end_at(side, station, setback, Joint.SQUARE, corner.angle, None)

    def _corner_joint(self, corner: Corner, first: bool, ground: float) -> tuple[ends.Setback, Joint]:
        """Setback and joint at a corner; `first`: this piece is fitted before its neighbour.

        `ground`: how far out other trims reach on the wall that the first of the two runs into.
        """
        edges = self.trim.edges
        if corner.seam:
            return ends.mitre(corner), Joint.MITRE
        wanted = self.trim.joints.internal if corner.internal else self.trim.joints.external
        if wanted is Joint.COPE and (why := self._no_cope(corner)):
            self.notes.append(f"{self.trim.name}: the corner of {corner.angle:.1f} degrees {why}, so it is mitred")
            wanted = Joint.MITRE
        if wanted is Joint.COPE:
            if first:
                return ends.square_into(corner, edges, ground), Joint.SQUARE
            return ends.mitre(corner), Joint.COPE
        if wanted is Joint.SQUARE and corner.internal:
            into = ends.square_into(corner, edges, ground)
            return into if first else ends.butt(corner, edges, into), Joint.SQUARE
        if wanted is Joint.SQUARE and abs(corner.angle - 180) > 1:
            lap = ends.lap_outside(corner, edges)
            return lap if first else ends.butt(corner, edges, lap), Joint.SQUARE
        return ends.mitre(corner), Joint.MITRE

    def _no_cope(self, corner: Corner) -> str:
        """Why a corner cannot be coped; empty if it can.

        In a sharp corner the mate is cut square where its front meets the other wall, front * cot C from the corner.
        The coped piece meets it where the section is thinnest, N, at N (1 + cos C) / sin C: if that is less, a hole
        shows. A pipe in the corner may cut off the end of the piece that runs square into it.
        """
        if corner.angle > ends.BLUNTEST_COPE:
            return "is too blunt to cope"
        angle, outline = math.radians(corner.angle), self.trim.outline
        thinnest = min(p[0] for s in front_silhouette(outline) if s.start[1] != s.end[1] for p in s.extremes())
        hole = (self.trim.edges.front * math.cos(angle) - thinnest * (1 + math.cos(angle))) / math.sin(angle)
        if hole > HOLE:
            return "is too sharp to cope"
        return "has a pipe in it" if severed_corner(self.trim, self.room, corner, self.clearance) else ""
