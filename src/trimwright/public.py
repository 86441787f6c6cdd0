"""The whole job from Python, as `import trimwright` offers it: one verb for each step, in the order of the work.

A room file is read; what it asks for is worked out once, as a `Job`; lists, solids and the pack are made from that.
The kernel and the writers are loaded by the steps that need them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, get_args

from trimwright.clearance.clearance import Clearance
from trimwright.errors import OutputError
from trimwright.mesh.shape import Mesh
from trimwright.notebook import svg_of
from trimwright.pack import verdict, write
from trimwright.pack.bill_tables import buying_table, stock_table
from trimwright.pack.job import Job, job_of
from trimwright.pack.lists import clearance_table, cut_table
from trimwright.pack.table import Table, in_units
from trimwright.profile import file
from trimwright.profile.file import Profile
from trimwright.profile.library import find_profile
from trimwright.profile.section import Section
from trimwright.project.project import Project, read_project
from trimwright.room import Room, Wall
from trimwright.saw.settings import Setting
from trimwright.setout.piece import Piece, SetOut, Trim
from trimwright.site.report import Report as SiteReport
from trimwright.spelling import perhaps
from trimwright.stock.buying import Buying
from trimwright.stock.joints import set_out_to_stock

if TYPE_CHECKING:
    from cadquery import Solid

__all__ = [
    "Buying",
    "Clearance",
    "Job",
    "Mesh",
    "Piece",
    "Profile",
    "Project",
    "Room",
    "Section",
    "SetOut",
    "Setting",
    "SiteReport",
    "Table",
    "Trim",
    "Wall",
    "build_site",
    "buying_list",
    "clearance_list",
    "cut_list",
    "cutting_plan",
    "read_profile",
    "read_room",
    "set_out",
    "solids",
    "svg_of",
    "warnings",
    "work_out",
    "write_pack",
]

AnyPath = str | PathLike[str]


def read_room(path: AnyPath) -> Project:
    """A room file, checked: the room as the readings make it, the trims asked for, saw, prices and the rest.

    Raises RoomFileError with the file, the entry, what is wrong and what would be right.

    >>> asked = read_room("examples/reading-room.toml")
    >>> asked.room.name, len(asked.room.walls), [trim.name for trim in asked.trims]
    ('Reading room', 8, ['batten', 'light channel', 'cornice', 'picture rail'])
    """
    return read_project(Path(path))


def read_profile(name: AnyPath) -> Profile:
    """A shipped profile by its bare name, or a profile file by its path.

    Its `section(sizes)` is the outline at a size, in mm; `drop` and `projection` are sizes of every profile.
    Raises ProfileError with the file and the entry, or with the nearest name.

    >>> cove = read_profile("cove").section({"drop": 120, "projection": 90})
    >>> print(f"{cove.kind}, {cove.drop:g} x {cove.projection:g}, {cove.outline.area:.0f} mm²")
    cornice, 120 x 90, 4064 mm²
    """
    return file.read_profile(find_profile(str(name), Path()))


def set_out(project: Project) -> SetOut:
    """Every piece of every trim, where it lies and how its ends are joined; nothing else is worked out.

    A length is what is taken from stock, mm. Raises DoesNotFit or RoomFileError where the trims cannot be fitted as
    asked, or where the readings of the room contradict each other.

    >>> done = set_out(read_room("examples/box-room.toml"))
    >>> for piece in done.pieces[:2]:
    ...     print(piece.id, piece.trim.name, round(piece.length), piece.left.joint, piece.right.joint)
    C1 cornice 2710 cope square
    C2 cornice 2130 cope cope
    """
    return set_out_to_stock(project)


def work_out(project: Project) -> Job:
    """All that lists, drawings and meshes say: pieces, proven saw settings, clearances, what is bought, the light.

    `set_out.pieces` are the pieces, `settings` the saw's for each end, `meshes` closed bodies by id of piece,
    `clearances` the gaps and `clashes` those too small, `open_joints` the joints that do not meet, `fits` if there are
    neither, `buying` the cutting plans and the bill. Raises as `set_out` does, and GeometryError, which names the
    piece, if a setting does not cut what the model shows.

    >>> job = work_out(read_room("examples/box-room.toml"))
    >>> len(job.set_out.pieces), len(job.settings), job.fits
    (4, 8, True)
    >>> job.meshes["C1"].closed
    True
    """
    return job_of(project)


def cut_list(job: Job) -> Table:
    """A row for each end of each piece: where it goes, its lengths, how it lies on the saw and how the saw is set.

    Like every list it has `headers` and `rows`, in the units of the room, and prints itself.

    >>> table = cut_list(work_out(read_room("examples/box-room.toml")))
    >>> dict(zip(table.headers, table.rows[0], strict=True))["joint"]
    'cope over C4'
    """
    return in_units(cut_table(job.set_out, job.settings), job.project.room.units)


def cutting_plan(job: Job) -> Table:
    """A row for each length of stock: which pieces come out of it, what is left over, how good the plan is."""
    return in_units(stock_table(job.buying), job.project.room.units)


def buying_list(job: Job) -> Table:
    """A row for each thing to buy with the rule it follows from, and the total of what has a price.

    The same as numbers: `job.buying.rows`, `job.buying.net`, `job.buying.total`, money as Decimal.
    """
    return in_units(buying_table(job.buying), job.project.room.units)


def clearance_list(job: Job) -> Table:
    """A row for each piece and each thing near it: the gap wanted, the gap there is, and where."""
    return in_units(clearance_table(job.clearances, job.set_out.room), job.project.room.units)


def warnings(job: Job) -> list[str]:
    """A line for each clash, the worst first, and for each joint that is open; none if it all fits.

    >>> warnings(work_out(read_room("examples/box-room.toml")))
    []
    """
    return list(verdict.warnings(job))


def solids(made: Job | SetOut) -> Mapping[str, Solid]:
    """The exact solid of each piece by its id, made by the kernel, in mm: x and y of the plan, z the height.

    Takes a second or two to load the kernel. Raises KernelError if it cannot be loaded, and GeometryError, which names
    the piece, if it makes anything but one closed body of the volume that the section and the length ask for.

    >>> bodies = solids(set_out(read_room("examples/box-room.toml")))
    >>> bodies["C1"].isValid()
    True
    """
    from trimwright.solid.build import room_solids

    return room_solids(made.set_out if isinstance(made, Job) else made)


def write_pack(
    job: Job,
    place: AnyPath,
    pictures: write.Pictures = "some",
    step: bool = True,
    progress: Callable[[str], None] = lambda stage: None,
) -> tuple[str, ...]:
    """Writes the whole pack as the folder `place`, whole or not at all; returns what the kernel finds wrong with joints
    that `job` did not know.

    `pictures` are "none", "some" (the room and one corner) or "all". `step` writes exact solids and checks the joints
    by them. `progress` is told the name of each stage. Raises OutputError if the folder holds anything but a pack, or
    cannot be written, and KernelError if `step` is wanted and the kernel cannot be loaded; what was there then stays.
    """
    return write.write_pack(job, Path(place), progress, _known(pictures), step)


def build_site(
    path: AnyPath,
    place: AnyPath,
    pictures: write.Pictures = "some",
    step: bool = True,
    again: bool = False,
    processes: int = 0,
    scheduler: str | None = None,
    progress: Callable[[str], None] = lambda stage: None,
) -> SiteReport:
    """Builds all rooms of a site file into the folder `place`: a pack a room, one bill and one cutting plan for all.

    Rooms whose packs are there and have not changed are left as they are, unless `again`. `processes` rooms are built
    at a time, 0 for one a processor, or the workers of the Dask cluster at the address `scheduler` build them. The
    report tells `failures`, `warnings`, and `as_text()`, what the command prints. Raises RoomFileError for a fault of
    the site file itself, OutputError where nothing can be written, SchedulerError for what is wrong with the cluster,
    and Stopped on Ctrl-C; a room that fails stops no other.
    """
    if processes < 0:
        raise OutputError(f"processes: {processes} is no number of processes; 0 is one for each processor")
    from trimwright.site.build import Choices
    from trimwright.site.report import run_site

    choices = Choices(pictures=_known(pictures), step=step, again=again, processes=processes, scheduler=scheduler)
    return run_site(Path(path), Path(place), choices, progress)


def _known(pictures: write.Pictures) -> write.Pictures:
    """Raises OutputError for a word that says nothing of pictures."""
    known = get_args(write.Pictures)
    if pictures not in known:
        raise OutputError(f"pictures: '{pictures}' is none of {', '.join(known)}{perhaps(str(pictures), known)}")
    return pictures
