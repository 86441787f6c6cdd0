"""A site built: every room's pack, then what is made of all of them."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from trimwright.errors import TrimwrightError
from trimwright.pack.write import Pictures
from trimwright.site.cluster import built_by_cluster
from trimwright.site.local import built_here, processors
from trimwright.site.records import Failure, Outcome, RoomRecord, keep, kept, record_place
from trimwright.site.room import RoomTask, task_of
from trimwright.site.site import Site, SiteRoom

__all__ = ["Choices", "Progress", "RoomState", "build_rooms"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What a site is built with: of each pack, and by whom: so many processes (0: all), or a cluster's workers."""

    pictures: Pictures = "some"
    step: bool = True
    again: bool = False
    processes: int = 0
    scheduler: str | None = None


@dataclass(frozen=True, slots=True)
class RoomState:
    """A room and what came of it; `fresh`: it was built by this run, not by one before."""

    room: SiteRoom
    outcome: Outcome
    fresh: bool


Progress = Callable[[str], None]


def build_rooms(site: Site, out: Path, choices: Choices, progress: Progress) -> list[RoomState]:
    """Builds the packs that are not there yet, in folders of `out`; the states in the order of the site file.

    The tasks are made as they are wanted, and of a room only its record is held. Raises SchedulerError for what is
    wrong with the cluster.
    """
    states: dict[int, RoomState] = {}
    given: dict[Path, SiteRoom] = {}

    def tasks() -> Iterator[RoomTask]:
        for room in site.rooms:
            task = _task(site, room, out, choices)
            before = None if choices.again or isinstance(task, Failure) else _kept(task, room, out)
            if isinstance(task, Failure) or before is not None:
                states[room.number] = RoomState(room, before or task, fresh=False)  # type: ignore[arg-type]
                continue
            given[task.place] = room
            yield task

    progress(f"0 of {len(site.rooms)} rooms")
    with closing(_outcomes(tasks(), out, choices)) as outcomes:
        for task, outcome in outcomes:
            room = given.pop(task.place)
            if isinstance(outcome, RoomRecord):
                keep(outcome, record_place(out, room.folder))
            states[room.number] = RoomState(room, _as_named(outcome, room), fresh=True)
            progress(f"{len(states)} of {len(site.rooms)} rooms; {room.name}")
    return [states[room.number] for room in site.rooms]


def _outcomes(
    tasks: Iterator[RoomTask], out: Path, choices: Choices
) -> Generator[tuple[RoomTask, Outcome], None, None]:
    if choices.scheduler is not None:
        return built_by_cluster(tasks, choices.scheduler, out)
    return built_here(tasks, choices.processes or processors())


def _task(site: Site, room: SiteRoom, out: Path, choices: Choices) -> RoomTask | Failure:
    try:
        return task_of(site, room, out, choices.pictures, choices.step)
    except TrimwrightError as error:
        return Failure(str(error))


def _kept(task: RoomTask, room: SiteRoom, out: Path) -> RoomRecord | None:
    return kept(record_place(out, room.folder), task.place, task.made_from)


def _as_named(outcome: Outcome, room: SiteRoom) -> Outcome:
    """Messages name the file as the site's own path leads to it; the process that built it knew its whole path."""
    if isinstance(outcome, Failure):
        return Failure(outcome.message.replace(str(room.file.absolute()), str(room.file)), outcome.fault)
    return outcome
