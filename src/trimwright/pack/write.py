"""Writes the pack. The kernel and the pictures work in processes of their own beside the drawings."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from contextlib import nullcontext
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Literal

from trimwright.errors import OutputError
from trimwright.light.brightness import Brightness
from trimwright.mesh.body import Body
from trimwright.pack.bill_tables import buying_table
from trimwright.pack.data import pack_data, to_json
from trimwright.pack.folder import file_list, new_pack
from trimwright.pack.job import Job
from trimwright.pack.kept.evening import evening_beside
from trimwright.pack.kept.light import Lit, lit_beside
from trimwright.pack.kept.model import Exact, exact_beside, remember_made
from trimwright.pack.kept.pictures import pictures_beside
from trimwright.pack.lists import clearance_table, cut_table
from trimwright.pack.table import csv_text, in_units
from trimwright.pack.workers import Hands, at_work, hands
from trimwright.picture.album import Shot, album
from trimwright.stock.offcuts import offcuts_text, trim_words

__all__ = ["Pictures", "issue_date", "write_pack"]

EVENING = "evening"
"""Name of the picture of the room by its own light."""

MODEL = "model.step"

Pictures = Literal["none", "some", "all"]


def write_pack(
    job: Job,
    place: Path,
    progress: Callable[[str], None],
    pictures: Pictures = "some",
    step: bool = True,
    beside: Hands | None = None,
    lit: Lit | None = None,
) -> tuple[str, ...]:
    """Writes everything into `place`, whole or not at all; returns the faults of joints that only the kernel found.

    `pictures` ("some" are the room and one corner) and `step` (which also checks the joints) can be left out when
    time matters more. `beside` are processes that were started before for the same choices (`pack.workers.hands`),
    `lit` the job's light if it is being followed already.
    """
    from trimwright.pack.drawings import write_sheets, write_templates

    issued = issue_date(job.project.date, job.project.path)
    done, light, whole = job.set_out, job.light, pictures == "all"
    ready = nullcontext(beside) if beside else hands(step, pictures != "none")
    with new_pack(place) as folder, ready as given, at_work(given) as crew:
        for part in ("drawings", "sheets", "templates", "print", "meshes", "pictures"):
            (folder / part).mkdir()
        lit = lit or (lit_beside(crew.pictures, done, light) if light else None)
        exact = exact_beside(crew.solids, done, folder / MODEL, issued) if step else None
        shots = [] if pictures == "none" else album(done, whole)
        bodies = _bodies(job)
        drawn = pictures_beside(crew.pictures, bodies, shots)
        night = (
            evening_beside(crew.solids, done, light, bodies, shots[0].view)
            if whole and light and done.room.closed
            else None
        )
        templates = crew.solids.submit(write_templates, job, folder, issued)
        progress("meshes")
        _write_meshes(job, bodies, folder / "meshes")
        progress("sheets")
        _write_lists(job, folder)
        sheets, exchanged = write_sheets(job, folder, issued, lit, crew.solids)
        progress("pictures")
        titles = _write_pictures(folder / "pictures", shots, drawn(), night() if night else None)
        templates.result()
        exchanged.result()
        progress("exact solids")
        faults = _write_step(job, folder, exact) if exact else ()
        bright = lit() if lit else None
        _write_page(job, folder, sheets, titles, (*map(str, job.open_joints), *faults), issued, bright)
        text = to_json(pack_data(job, file_list(folder), bright))
        (folder / "pack.json").write_text(text, encoding="utf-8")
    return faults


def issue_date(stated: str | None, file: Path) -> date:
    """The date on the sheets: the one stated, or SOURCE_DATE_EPOCH's, or that on which the file was last changed.

    Never today's: the same file gives the same bytes tomorrow. Raises OutputError if SOURCE_DATE_EPOCH is no time.
    """
    if stated:
        return date.fromisoformat(stated)
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    try:
        seconds = file.stat().st_mtime if epoch is None else int(epoch)
        return datetime.fromtimestamp(seconds, UTC).date()
    except (ValueError, OverflowError, OSError):
        raise OutputError(f"SOURCE_DATE_EPOCH: '{epoch}' is no time; give seconds since 1970") from None


def _write_pictures(
    folder: Path, shots: Sequence[Shot], drawn: Mapping[str, bytes], night: tuple[str, bytes] | None
) -> list[tuple[str, str]]:
    """Writes the pictures, that of the evening last; returns their names and titles."""
    for name, data in drawn.items():
        (folder / f"{name}.png").write_bytes(data)
    titles = [(shot.view.name, shot.view.title) for shot in shots]
    if night:
        title, data = night
        (folder / f"{EVENING}.png").write_bytes(data)
        titles.append((EVENING, title))
    return titles


def _write_step(job: Job, folder: Path, exact: Callable[[], Exact]) -> tuple[str, ...]:
    """Writes the exact model; returns what is wrong with its joints and is not told of by the job."""
    faults, step = exact()
    (folder / MODEL).write_bytes(step)
    remember_made(job.project)
    return tuple(words for first, second, words in faults if frozenset((first, second)) not in job.told)


def _bodies(job: Job) -> list[Body]:
    """The room and what hangs in it."""
    from trimwright.mesh.piece import trim_bodies
    from trimwright.mesh.surroundings import surroundings

    room, finish = job.set_out.room, job.project.finish
    return [*surroundings(room, finish), *trim_bodies(job.set_out, meshes=job.meshes)]


def _write_meshes(job: Job, bodies: Sequence[Body], folder: Path) -> None:
    from trimwright.mesh.glb import glb_bytes
    from trimwright.mesh.stl import trim_stl
    from trimwright.names import file_names

    done = job.set_out
    for trim, name in zip(done.trims, file_names([t.name for t in done.trims]), strict=True):
        if done.of_trim(trim):
            (folder / f"{name}.stl").write_bytes(trim_stl(done, trim))
    (folder / "room.glb").write_bytes(glb_bytes(bodies, done.room.name))
    _write_gauges(job, folder / "gauges")


def _write_gauges(job: Job, folder: Path) -> None:
    """The aids to print, one file each; nothing if the job asks for none."""
    from trimwright.mesh.gauges.build import gauges
    from trimwright.mesh.stl import stl_bytes
    from trimwright.names import file_names

    made = gauges(job.set_out, job.project.saw.kerf)
    if made:
        folder.mkdir()
    for (name, mesh), file in zip(made, file_names([name for name, _ in made]), strict=True):
        (folder / f"{file}.stl").write_bytes(stl_bytes([mesh], f"trimwright; mm; {name}"))


def _write_lists(job: Job, folder: Path) -> None:
    units = job.project.room.units
    tables = {
        "cutlist": cut_table(job.set_out, job.settings),
        "buying": buying_table(job.buying),
        "clearances": clearance_table(job.clearances, job.set_out.room),
    }
    for name, table in tables.items():
        (folder / f"{name}.csv").write_text(csv_text(in_units(table, units)), encoding="utf-8", newline="")
    if job.buying.offcuts:
        text = offcuts_text(job.buying.offcuts, job.set_out.room.name, trim_words(job.set_out.trims))
        (folder / "offcuts.toml").write_text(text, encoding="utf-8")


def _write_page(
    job: Job,
    folder: Path,
    sheets: Sequence[tuple[str, str, str]],
    pictures: Sequence[tuple[str, str]],
    faults: Sequence[str],
    issued: date,
    bright: Brightness | None,
) -> None:
    from trimwright.pack.page import page_data
    from trimwright.page.write import write_page

    data = page_data(job, sheets, issued, folder, pictures, faults, bright)
    (folder / "index.html").write_text(write_page(data), encoding="utf-8")
