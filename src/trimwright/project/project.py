"""A room file read, checked and with its profiles found: everything that setting out needs."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from trimwright.data import table
from trimwright.errors import ProfileError, RoomFileError
from trimwright.profile.file import read_profile
from trimwright.profile.library import find_profile
from trimwright.profile.measures import label_fits, measure
from trimwright.profile.section import Section
from trimwright.profile.silhouette import undercut
from trimwright.project.finish import AS_USUAL, Finish, finish_of, trim_colours
from trimwright.project.light_tables import LightTable
from trimwright.project.measured import measured_room
from trimwright.project.models import (
    FARTHEST,
    ClearanceTable,
    OffcutTable,
    PaperTable,
    PricesTable,
    RoomFile,
    SawTable,
    TrimTable,
)
from trimwright.project.read import read_room_file
from trimwright.room import Room
from trimwright.spelling import nearest
from trimwright.survey.adjust import Survey
from trimwright.survey.report import sentences
from trimwright.tolerance import CLOSING
from trimwright.trim import Constraint, Joint, JointPolicy, Material, Stock, TrimRequest, read_constraint
from trimwright.units import length

__all__ = ["Project", "check_survey", "check_trims", "project_of", "read_project"]

IMPOSSIBLE = 1e-4
"""If chance explains the misfit of the readings less often than this, one of them is wrong."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Project:
    """One room file: the room, the trims asked for, and the tables that later stages read.

    `shared_prices` are items that a whole site has prices for: a room may have no use for some.
    """

    path: Path
    date: str | None
    room: Room
    survey: Survey
    trims: tuple[TrimRequest, ...]
    notes: tuple[str, ...]
    saw: SawTable
    paper: PaperTable
    prices: PricesTable
    clearance: ClearanceTable
    offcuts: tuple[OffcutTable, ...]
    rates: Mapping[str, Mapping[str, Any]]
    light: LightTable | None = None
    finish: Finish = AS_USUAL
    shared_prices: frozenset[str] = frozenset()


def read_project(path: Path) -> Project:
    """The project of a room file. Raises RoomFileError or ProfileError with the file and the entry at fault."""
    return project_of(read_room_file(path), path)


def project_of(tables: RoomFile, path: Path, shared_prices: Collection[str] = ()) -> Project:
    """The same from the tables of a file, which is where profiles are looked for and what messages name."""
    try:
        room, survey = measured_room(tables)
        notes = _survey_notes(survey, [w.name for w in room.walls])
        trims = _painted(_trims(tables, room, path, notes), tables)
        finish = finish_of(tables.finish, [w.name for w in room.walls])
        _check_offcuts(tables)
        _check_light(tables)
    except RoomFileError as error:
        raise RoomFileError(f"{path}: {error}") from None
    return Project(
        path=path,
        date=tables.room.date,
        room=room,
        survey=survey,
        trims=trims,
        notes=tuple(notes),
        saw=tables.saw,
        paper=tables.paper,
        prices=tables.prices,
        clearance=tables.clearance,
        offcuts=tuple(tables.offcut),
        rates=tables.rates,
        light=tables.light,
        finish=finish,
        shared_prices=frozenset(shared_prices),
    )


def check_trims(trims: Sequence[TrimTable], path: Path) -> None:
    """Raises RoomFileError for a trim that no room could have: its name taken, its profile, material or place wrong."""
    seen: set[str] = set()
    for number, trim in enumerate(trims, 1):
        entry = _entry(trim, number, seen)
        section = _section(trim, entry, path)
        _material(trim, section.kind, entry)
        for edge in ("back", "front", "bottom", "top"):
            if getattr(trim, edge) is not None:
                _constraint(edge, trim, entry)


def check_survey(project: Project) -> None:
    """Raises RoomFileError if the readings contradict each other: nothing should be cut to such a room."""
    survey, names = project.survey, [w.name for w in project.room.walls]
    if survey.suspects or (survey.freedom and survey.chance < IMPOSSIBLE):
        said = " ".join(sentences(survey, names)[: len(survey.suspects) + 2])
        raise RoomFileError(f"{project.path}: the room does not close. {said}")


def _survey_notes(survey: Survey, names: list[str]) -> list[str]:
    """What a fitter must know of the survey even if nothing contradicts it."""
    said = [s for s in sentences(survey, names) if survey.weak and "taken as square" in s]
    if survey.gap is not None and survey.gap.size > CLOSING:
        said += [s for s in sentences(survey, names) if s.startswith("Walked round")]
    return said


def _trims(tables: RoomFile, room: Room, path: Path, notes: list[str]) -> tuple[TrimRequest, ...]:
    seen: set[str] = set()
    requests = []
    for number, trim in enumerate(tables.trim, 1):
        entry = _entry(trim, number, seen)
        requests.append(_request(trim, entry, room, path, notes))
    return tuple(requests)


def _entry(trim: TrimTable, number: int, seen: set[str]) -> str:
    """How messages name a trim. Raises RoomFileError if one before it has its name."""
    entry = f"[[trim]] {number} ({trim.name})"
    if trim.name in seen:
        raise RoomFileError(f"{entry}: another trim has this name; rename one")
    seen.add(trim.name)
    return entry


def _painted(trims: tuple[TrimRequest, ...], tables: RoomFile) -> tuple[TrimRequest, ...]:
    """The trims in the colours that [finish] gives them."""
    paint = trim_colours(tables.finish, [trim.name for trim in trims])
    return tuple(
        replace(trim, material=replace(trim.material, colour=paint[trim.name])) if trim.name in paint else trim
        for trim in trims
    )


def _request(trim: TrimTable, entry: str, room: Room, path: Path, notes: list[str]) -> TrimRequest:
    section = _section(trim, entry, path)
    material = _material(trim, section.kind, entry)
    return TrimRequest(
        name=trim.name,
        section=section,
        horizontal=_constraint("back" if trim.back is not None else "front", trim, entry),
        vertical=_constraint("bottom" if trim.bottom is not None else "top", trim, entry),
        walls=_walls(trim, entry, room),
        joints=_joints(trim, section, material, notes),
        material=material,
        follows=None if trim.follow is None else trim.follow == "ceiling",
        bent=trim.curve == "bent",
        left_out=tuple(_left_out(trim, entry, room)),
        stock=_stock(trim, section, notes),
    )


AS_READ = 3.0
"""A stretch left out to so near an end of its wall, mm, is left out to the end: no wall is quite as long as read."""


def _left_out(trim: TrimTable, entry: str, room: Room) -> Iterator[tuple[int, float, float]]:
    walls = {wall.name: wall for wall in room.walls}
    for stretch in trim.leave_out:
        wall = walls.get(stretch.wall)
        if wall is None:
            raise RoomFileError(
                f"{entry}, leave_out: there is no wall '{stretch.wall}'{nearest(stretch.wall, list(walls))}"
            )
        start = 0.0 if stretch.start < AS_READ else stretch.start
        end = wall.length if abs(wall.length - stretch.end) < AS_READ else stretch.end
        if not start < end <= wall.length:
            raise RoomFileError(
                f"{entry}, leave_out: from {stretch.start:g} to {stretch.end:g} is no stretch of wall '{wall.name}',"
                f" which is {wall.length:.1f} long"
            )
        yield wall.index, start, end


def _stock(trim: TrimTable, section: Section, notes: list[str]) -> tuple[Stock, ...]:
    """Lengths sold, shortest first; a size on a label that the section does not have is worth a word."""
    stock = []
    for s in sorted(trim.stock, key=lambda s: s.length):
        size = () if s.size is None else s.size if isinstance(s.size, tuple) else (s.size,)
        stock.append(Stock(length=s.length, price=s.price, quantity=s.quantity, size=size))
        if size and not label_fits(size, measures := measure(section)):
            label = " x ".join(f"{x:g}" for x in size)
            notes.append(
                f"{trim.name}: stock of {s.length:g} is labelled {label}, but the profile has a drop of"
                f" {measures.drop:g}, a projection of {measures.projection:g}, a face width of"
                f" {measures.face_width:.1f} and a girth of {measures.girth:.1f}: ask before you buy"
            )
    return tuple(stock)


def _section(trim: TrimTable, entry: str, path: Path) -> Section:
    try:
        return read_profile(find_profile(trim.profile, path.parent)).section(_sizes(trim, entry))
    except ProfileError as error:
        raise RoomFileError(f"{entry}, profile '{trim.profile}': {error}") from None


def _sizes(trim: TrimTable, entry: str) -> dict[str, float]:
    """Parameters as numbers; a written length such as "4 1/2in" is turned into mm."""
    sizes = {}
    for name, value in trim.size.items():
        try:
            sizes[name] = length(value)
        except ValueError as error:
            raise RoomFileError(f"{entry}, size, {name}: {error}") from None
    return sizes


def _constraint(edge: str, trim: TrimTable, entry: str) -> Constraint:
    try:
        constraint = read_constraint(edge, getattr(trim, edge), length)
        if abs(constraint.offset) > FARTHEST:
            raise ValueError(f"no place is farther than {FARTHEST:g} (it is {constraint.offset:g})")
        return constraint
    except ValueError as error:
        raise RoomFileError(f"{entry}, {edge}: {error}") from None


def _walls(trim: TrimTable, entry: str, room: Room) -> tuple[int, ...]:
    index = {wall.name: wall.index for wall in room.walls}
    if trim.walls == "all":
        return tuple(index.values())
    for name in trim.walls:
        if name not in index:
            raise RoomFileError(f"{entry}, walls: there is no wall '{name}'{nearest(name, list(index))}")
    return tuple(sorted({index[name] for name in trim.walls}))


def _material(trim: TrimTable, kind: str, entry: str) -> Material:
    """The material as named; a channel is aluminium and the rest softwood unless the file says otherwise."""
    known = table("materials")
    name = trim.material or ("aluminium" if kind == "channel" else "softwood")
    if name.lower() not in known:
        raise RoomFileError(f"{entry}, material: '{name}' is not known{nearest(name.lower(), list(known))}")
    row = known[name.lower()]
    colour = (trim.colour or row["colour"]).lower()
    return Material(name=name.lower(), density=row["density"], colour=colour, bends=row.get("bends"))


def _joints(trim: TrimTable, section: Section, material: Material, notes: list[str]) -> JointPolicy:
    """The joints asked for; those left out by the habits of the trade for the kind and the material.

    Battens are butted; copes for timber and board, mitres for plaster, foam and metal and for undercut sections.
    """
    wanted = trim.joints
    batten = section.kind == "batten"
    copes = bool(table("materials")[material.name]["cope"]) and section.kind not in ("channel", "batten")
    internal = Joint(wanted.internal or ("square" if batten else "cope" if copes else "mitre"))
    if internal is Joint.COPE and undercut(section.outline):
        notes.append(f"{trim.name}: its face is undercut, which a cope cannot follow; internal corners are mitred")
        internal = Joint.MITRE
    return JointPolicy(
        internal=internal,
        external=Joint(wanted.external or ("square" if batten else "mitre")),
        end=Joint(wanted.end or ("return" if section.kind in ("cornice", "rail", "dado") else "square")),
        length=Joint(wanted.length or ("square" if section.kind in ("batten", "channel") else "scarf")),
    )


def _check_offcuts(tables: RoomFile) -> None:
    names = [t.name for t in tables.trim]
    for number, offcut in enumerate(tables.offcut, 1):
        if offcut.trim not in names:
            raise RoomFileError(
                f"[[offcut]] {number}, trim: there is no trim '{offcut.trim}'{nearest(offcut.trim, names)}"
            )


def _check_light(tables: RoomFile) -> None:
    """Names in [light] must be those of trims and walls of the file."""
    if tables.light is None:
        return
    trims, walls = [t.name for t in tables.trim], [w.name for w in tables.wall]
    named = {"trim": (tables.light.trim, trims), "feed_wall": (tables.light.feed_wall, walls)}
    for entry, (name, names) in named.items():
        if name is not None and name not in names:
            kind = "trim" if entry == "trim" else "wall"
            raise RoomFileError(f"[light], {entry}: there is no {kind} '{name}'{nearest(name, names)}")
