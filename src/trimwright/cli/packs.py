"""The commands that make packs, show them and compare them."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from trimwright.cli.grammar import CLASH, DONE, FAULT, WRONG, Commands, add_command, say

if TYPE_CHECKING:
    from trimwright.light.run import LightRun
    from trimwright.pack.job import Job
    from trimwright.pack.kept.light import Lit
    from trimwright.pack.progress import Progress
    from trimwright.pack.workers import Hands
    from trimwright.setout.piece import SetOut

__all__ = ["add_commands"]


def add_commands(commands: Commands) -> None:
    """Declares `build`, `batch`, `view`, `diff`."""
    build = add_command(commands, "build", _build, "write the whole pack of a room as a folder", room=True)
    build.add_argument("--out", type=Path, metavar="DIR", help="the folder of the pack (default: output/<room file>)")
    _add_parts(build)
    batch = add_command(
        commands, "batch", _batch, "build all rooms of a site, one bill and one cutting plan", json=True
    )
    batch.add_argument("site", type=Path, metavar="SITE.toml")
    batch.add_argument("--out", type=Path, metavar="DIR", help="the folder of the packs (default: output/<site file>)")
    _add_parts(batch)
    batch.add_argument("--again", action="store_true", help="build also what is there already and has not changed")
    batch.add_argument("--processes", type=_count, default=0, metavar="N", help="build so many rooms at a time")
    batch.add_argument("--scheduler", metavar="tcp://HOST:PORT", help="build on the workers of this Dask cluster")
    view = add_command(
        commands, "view", _view, "show the room in a browser, and follow the file as it is saved", room=True
    )
    view.add_argument(
        "--port", type=int, help="serve on this port of this machine (default: 8437, or any that is free)"
    )
    diff = add_command(commands, "diff", _diff, "tell what changed: pieces longer, shorter, new, gone", json=True)
    diff.add_argument("old", type=Path, metavar="OLD", help="a pack's folder, or a room file")
    diff.add_argument("new", type=Path, metavar="NEW", help="another, or the same room file as it is now")


def _add_parts(command: argparse.ArgumentParser) -> None:
    """The parts of a pack that can be left out."""
    command.add_argument(
        "--pictures",
        choices=("none", "some", "all"),
        default="some",
        help="some: the room and a corner; all: every corner, the ceiling from below, the build-up, the joints",
    )
    command.add_argument("--no-pictures", dest="pictures", action="store_const", const="none", help="--pictures none")
    command.add_argument("--no-step", action="store_true", help="leave out model.step and the check of the joints")


def _count(text: str) -> int:
    """A number of processes; argparse turns the error into a message."""
    if not text.isascii() or not text.isdigit() or not 1 <= int(text[:9]) <= 512:
        raise argparse.ArgumentTypeError("a whole number from 1 to 512")
    return int(text)


def _build(options: argparse.Namespace) -> int:
    from trimwright.pack.workers import hands

    # They start before anything large is loaded here, and load what they need meanwhile.
    with hands(not options.no_step, options.pictures != "none") as beside:
        return _built(options, beside)


def _built(options: argparse.Namespace, beside: Hands) -> int:
    from trimwright.pack.progress import Progress

    progress = Progress()
    place = options.out or Path("output") / options.room.stem
    try:
        job, faults = _written(options, place, progress, beside)
    finally:
        progress.done()

    from trimwright.pack.verdict import warnings

    say(*(f"note: {note}" for note in job.set_out.notes), *warnings(job), *faults)
    say(f"{place}: {len(job.set_out.pieces)} pieces; open {place / 'index.html'}")
    return CLASH if faults or not job.fits else DONE


def _written(
    options: argparse.Namespace, place: Path, progress: Progress, beside: Hands
) -> tuple[Job, tuple[str, ...]]:
    """The job of a room file, and the faults of joints that the kernel found as its pack was written."""
    from trimwright.pack.kept.model import load_ahead
    from trimwright.project.project import read_project

    progress("setting out")
    project = read_project(options.room)
    if not options.no_step:
        load_ahead(beside.solids, project)

    from trimwright.pack.job import job_of
    from trimwright.pack.kept.light import lit_beside
    from trimwright.pack.write import write_pack

    lit: Lit | None = None

    def begun(done: SetOut, light: LightRun | None) -> None:
        nonlocal lit
        lit = lit_beside(beside.pictures, done, light) if light else None

    job = job_of(project, begun=begun)
    return job, write_pack(job, place, progress, options.pictures, not options.no_step, beside, lit)


def _batch(options: argparse.Namespace) -> int:
    from trimwright.pack.progress import Progress
    from trimwright.site.build import Choices
    from trimwright.site.report import run_site

    choices = Choices(
        pictures=options.pictures,
        step=not options.no_step,
        again=options.again,
        processes=options.processes,
        scheduler=options.scheduler,
    )
    progress = Progress()
    try:
        done = run_site(options.site, options.out or Path("output") / options.site.stem, choices, progress)
    finally:
        progress.done()
    say(*(f"trimwright: {line}" for line in done.failures), to=sys.stderr)
    print(done.as_json() if options.json else done.as_text(), end="")
    return FAULT if done.fault else WRONG if done.failures else CLASH if done.warnings else DONE


def _view(options: argparse.Namespace) -> int:
    from trimwright.view.follow import view

    view(options.room, options.port, say)
    return DONE


def _diff(options: argparse.Namespace) -> int:
    from trimwright.pack.diff import difference

    print(difference(options.old, options.new, options.json))
    return DONE
