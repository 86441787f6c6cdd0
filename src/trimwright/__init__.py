"""trimwright: from a measured room and parametric profiles to solids, drawings, templates and a cut list.

The whole job from Python, each step a value that the next one takes:

>>> import trimwright as tw
>>> asked = tw.read_room("examples/box-room.toml")   # a Project: the room, and the trims asked for
>>> job = tw.work_out(asked)                         # a Job: pieces, settings, meshes, clearances, buying
>>> piece = job.set_out.pieces[0]
>>> piece.id, piece.trim.name, round(piece.length)
('C1', 'cornice', 2710)
>>> tw.cut_list(job).headers[:4]
('piece', 'trim', 'wall', 'length')
>>> len(job.set_out.pieces), len(job.settings), job.fits
(4, 8, True)
>>> solid = tw.solids(job)["C1"]                     # exact, by the kernel
>>> abs(solid.Volume() / job.meshes["C1"].volume - 1) < 1e-3
True

`trimwright.write_pack(job, "output/box-room")` writes the whole folder, `trimwright.build_site` those of a whole site.
`%load_ext trimwright` in a notebook shows rooms, profiles, pieces and jobs as drawings. Lengths are in mm and angles in
degrees, everywhere.

Whatever is wrong with a file, or cannot be fitted as asked, is an exception of the family of `TrimwrightError` with
the words that the command line prints: the file, the entry, what is wrong, what would be right. Anything else that
is raised is a wrong call or a fault of the program.

Nothing heavy is loaded before the first of these names is used.
"""

from typing import TYPE_CHECKING, Any

from trimwright.errors import (
    DoesNotFit,
    GeometryError,
    KernelError,
    OutputError,
    ProfileError,
    RoomFileError,
    SchedulerError,
    Stopped,
    TrimwrightError,
)

if TYPE_CHECKING:
    from trimwright.public import (
        Buying,
        Clearance,
        Job,
        Mesh,
        Piece,
        Profile,
        Project,
        Room,
        Section,
        SetOut,
        Setting,
        SiteReport,
        Table,
        Trim,
        Wall,
        build_site,
        buying_list,
        clearance_list,
        cut_list,
        cutting_plan,
        read_profile,
        read_room,
        set_out,
        solids,
        svg_of,
        warnings,
        work_out,
        write_pack,
    )

__version__ = "0.1.0"

__all__ = [
    "Buying",
    "Clearance",
    "DoesNotFit",
    "GeometryError",
    "Job",
    "KernelError",
    "Mesh",
    "OutputError",
    "Piece",
    "Profile",
    "ProfileError",
    "Project",
    "Room",
    "RoomFileError",
    "SchedulerError",
    "Section",
    "SetOut",
    "Setting",
    "SiteReport",
    "Stopped",
    "Table",
    "Trim",
    "TrimwrightError",
    "Wall",
    "__version__",
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

if not TYPE_CHECKING:  # hidden from type checkers, which would take every misspelt name for one that is known

    def __getattr__(name: str) -> Any:
        if name not in __all__:
            raise AttributeError(f"module 'trimwright' has no attribute '{name}'")
        from trimwright import public

        return globals().setdefault(name, getattr(public, name))


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})


def load_ipython_extension(shell: Any) -> None:
    """What `%load_ext trimwright` calls: from now on the shell shows rooms, profiles, pieces and jobs as drawings."""
    from trimwright.notebook import show_drawings

    show_drawings(shell)


def unload_ipython_extension(shell: Any) -> None:
    """What `%unload_ext trimwright` calls: they are shown as text again."""
    from trimwright.notebook import show_text

    show_text(shell)
