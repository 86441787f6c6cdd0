"""Whether it all fits, in words and as data: what `check` ends with and what `build` and `cuts` warn of."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from trimwright.ceiling import ceiling_words, gaps
from trimwright.clearance.clearance import Clearance
from trimwright.pack.data import placed_clearances, survey_data
from trimwright.pack.job import Job
from trimwright.pack.lists import clashes_first
from trimwright.room import Room

__all__ = ["checked_data", "verdict_words", "warnings"]


def verdict_words(job: Job) -> Iterator[str]:
    """The outcome in a line, then a line for each joint that is open."""
    count, lying = len(job.clashes), sum(line.overlap for line in job.clashes)
    if count:
        deep = f"; in {lying} of them one lies in the other, by what the gap is below 0" if lying else ""
        yield f"{count} of {len(job.clearances)} gaps are too small{deep}"
    elif job.fits:
        yield "nothing clashes"
    yield from (f"OPEN JOINT: {joint}" for joint in job.open_joints)


def warnings(job: Job) -> Iterator[str]:
    """A line for each clash, the worst first, and for each joint that is open; nothing if it all fits."""
    yield from (f"CLASH: {_clash(line, job.set_out.room)}" for line in clashes_first(job.clashes))
    yield from (f"OPEN JOINT: {joint}" for joint in job.open_joints)


def _clash(line: Clearance, room: Room) -> str:
    written = room.units.written
    place = (
        f"on {room.walls[line.at.wall].name}, {written(line.at.station)} from the left, {written(line.at.height)} high"
    )
    who = f"{line.piece} {line.trim} and {line.obstacle}"
    if line.overlap:
        return f"{who} lie in each other by {written(-line.actual)} {place}"
    return f"{who}: {written(line.actual)} of {written(line.wanted)} {place}"


def checked_data(job: Job) -> dict[str, Any]:
    """All that `check` tells, but for the ways out."""
    room = job.set_out.room
    return {
        "survey": survey_data(job.project.survey, [wall.name for wall in room.walls]),
        "notes": [*ceiling_words(room), *job.set_out.notes],
        "ceiling": [
            {
                "trim": g.trim,
                "wall": room.walls[g.wall].name,
                "station": g.station,
                "gap": g.gap,
                "open": g.open,
            }
            for g in (gaps(job.set_out) if ceiling_words(room) else ())
        ],
        "clearances": placed_clearances(job.clearances, room),
        "clashes": len(job.clashes),
        "open_joints": [{"piece": j.first, "mate": j.second, "gap": j.gap} for j in job.open_joints],
    }
