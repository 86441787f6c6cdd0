"""`trimwright batch`: a site from its file to its folder, and what there is to say of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from trimwright.errors import Stopped
from trimwright.pack.data import to_json
from trimwright.site.build import Choices, RoomState, build_rooms
from trimwright.site.lists import site_data, state_words
from trimwright.site.place import site_folder
from trimwright.site.records import Failure, RoomRecord, recorded
from trimwright.site.site import Site, read_site
from trimwright.site.whole import Built, Whole, whole_of
from trimwright.terminal import table_text

__all__ = ["Report", "run_site"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What came of a site."""

    site: Site
    out: Path
    states: Sequence[RoomState]
    whole: Whole

    @property
    def failures(self) -> list[str]:
        """A message for each room that could not be built and each trim that could not be planned."""
        return [*(s.outcome.message for s in self.states if isinstance(s.outcome, Failure)), *self.whole.faults]

    @property
    def fault(self) -> bool:
        """Some room failed through a fault of the program's own."""
        return any(isinstance(s.outcome, Failure) and s.outcome.fault for s in self.states)

    @property
    def warnings(self) -> list[str]:
        """What clashes or does not meet, with its room."""
        return [
            f"{state.room.name}: {said}"
            for state in self.states
            if isinstance(state.outcome, RoomRecord)
            for said in state.outcome.warnings
        ]

    @property
    def left(self) -> list[str]:
        """Folders of packs that runs before made of rooms which the site has no more: for the user to delete."""
        ours = {state.room.folder for state in self.states}
        return [folder for folder in recorded(self.out) if folder not in ours]

    def as_json(self) -> str:
        """The summary as data: what site.json says but for the bars, how many rooms this run built, where, and what is
        left there of rooms that are no more.
        """
        data: dict[str, Any] = site_data(self.site, self.states, self.whole)
        del data["stock"]
        built = sum(state.fresh and isinstance(state.outcome, RoomRecord) for state in self.states)
        return to_json({**data, "out": str(self.out), "built": built, "left": self.left})

    def as_text(self) -> str:
        """The summary for a person."""
        return "\n".join(self._lines()) + "\n"

    def _lines(self) -> Iterator[str]:
        rows = [(s.room.mark, s.room.name, s.room.count, _pieces(s), state_words(s), self._how(s)) for s in self.states]
        yield table_text(("mark", "room", "copies", "pieces", "state", ""), rows)
        yield ""
        for plan in self.whole.plans:
            pieces = sum(len(bar.pieces) for bar in plan.plan.bars)
            yield f"{plan.trim}: {pieces} pieces from {len(plan.plan.bars)} bars; {plan.proof}"
        for note in self.whole.notes:
            yield f"note: {note}"
        for folder in self.left:
            yield f"note: {self.out / folder}: the pack of a room that the site has no more; delete it if you wish"
        yield from self.warnings
        copies = sum(state.room.count for state in self.states)
        built = sum(state.room.count for state in self.states if isinstance(state.outcome, RoomRecord))
        rooms = f"{copies} rooms" if built == copies else f"{built} of {copies} rooms"
        cost = self.whole.total_words()
        yield f"{self.out}: {rooms}, to buy: {cost}; open {self.out / 'index.html'}"

    def _how(self, state: RoomState) -> str:
        """Which run made the pack that is there, where it was not this one."""
        if isinstance(state.outcome, Failure):
            return "an older pack is still there" if (self.out / state.room.folder / "pack.json").is_file() else ""
        return "" if state.fresh else "as built before"


def run_site(path: Path, out: Path, choices: Choices, progress: Callable[[str], None]) -> Report:
    """Builds the rooms of a site file that are not built yet, then writes what is made of all of them.

    `progress` is told how far it has come.

    Raises RoomFileError for a fault of the site file itself, SchedulerError for one of the cluster, OutputError where
    nothing can be written, Stopped on Ctrl-C.
    """
    from trimwright.site.write import write_site

    site = read_site(path)
    try:
        with site_folder(out):
            states = build_rooms(site, out, choices, progress)
            progress("cutting plan of all rooms")
            built = [Built(state.room, state.outcome) for state in states if isinstance(state.outcome, RoomRecord)]
            whole = whole_of(site, built)
            progress("bill, sheets, page")
            write_site(site, out, states, whole)
    except KeyboardInterrupt:
        done = len(recorded(out))
        raise Stopped(f"stopped; {done} finished packs in {out} stay, and the next run goes on from there") from None
    return Report(site=site, out=out, states=states, whole=whole)


def _pieces(state: RoomState) -> int | str:
    return state.outcome.pieces if isinstance(state.outcome, RoomRecord) else ""
