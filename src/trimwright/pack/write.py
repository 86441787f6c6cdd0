"""Writes the pack. The kernel and the pictures work in processes of their own beside the drawings."""

from __future__ import annotations

import os
from collections.abc import Callable, Container, Iterable, Sequence
from concurrent.futures import Future
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Literal

from trimwright.errors import OutputError
from trimwright.light.brightness import Brightness
from trimwright.light.run import LightRun
from trimwright.mesh.body import Body
from trimwright.pack.bill_tables import buying_table
from trimwright.pack.data import pack_data, to_json
from trimwright.pack.folder import file_list, new_pack
from trimwright.pack.job import Job
from trimwright.pack.lists import clearance_table, cut_table
from trimwright.pack.table import csv_text, in_units
from trimwright.pack.workers import Here, workers
from trimwright.picture.camera import View
from trimwright.project.finish import Finish
from trimwright.setout.piece import SetOut
from trimwright.stock.offcuts import offcuts_text, trim_words

__all__ = ["Pictures", "issue_date", "write_pack"]

EVENING = "evening"
"""Name of the picture of the room by its own light."""

Pictures = Literal["none", "some", "all"]


def write_pack(
    job: Job,
    place: Path,
    progress: Callable[[str], None],
    pictures: Pictures = "some",
    step: bool = True,
    alone: bool = False,
) -> tuple[str, ...]:
    """Writes everything into `place`, whole or not at all; returns the faults of joints that only the kernel found.

    `pictures` ("some" are the room and one corner) and `step` (which also checks the joints) can be left out when
    time matters more. `alone`: nothing is done beside, since other packs are made beside this one.
    """
    issued = issue_date(job.project.date, job.project.path)
    # One process beside this one has its hands full with light and templates; the kernel or pictures take another.
    beside = 2 if step or pictures != "none" else 1
    with new_pack(place) as folder, Here() if alone else workers(beside) as pool:
        for part in ("drawings", "sheets", "templates", "print", "meshes", "pictures"):
            (folder / part).mkdir()
        lit = pool.submit(_brightness, job.set_out, job.light) if job.light else None
        exact = pool.submit(_write_step, job.set_out, folder / "model.step", issued, job.told) if step else None
        seen = (job.set_out, job.project.finish, job.light, folder / "pictures", pictures == "all")
        drawn = None if pictures == "none" else pool.submit(_write_pictures, *seen)
        templates = pool.submit(_write_templates, job, folder, issued)
        progress("meshes")
        _write_meshes(job, folder / "meshes")
        progress("sheets")
        _write_lists(job, folder)
        sheets = _write_drawings(job, folder, issued, lit)
        bright = lit.result() if lit else None
        progress("pictures")
        views = _result(drawn)
        templates.result()
        progress("exact solids")
        faults = tuple(_result(exact))
        _write_page(job, folder, sheets, views, (*map(str, job.open_joints), *faults), issued, bright)
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


def _result(future: Future[list[str]] | None) -> list[str]:
    return [] if future is None else future.result()


def _write_step(set_out: SetOut, path: Path, issued: date, told: Container[frozenset[str]]) -> list[str]:
    """Builds and checks the exact solids, writes them, and returns what is wrong with the joints but not `told`."""
    from trimwright.solid.build import room_solids
    from trimwright.solid.joints import joint_faults
    from trimwright.solid.step import write_step

    solids = room_solids(set_out)
    write_step(path, set_out, solids, datetime(issued.year, issued.month, issued.day))
    faults = joint_faults(set_out, solids)
    return [str(fault) for fault in faults if frozenset((fault.first, fault.second)) not in told]


def _brightness(set_out: SetOut, light: LightRun) -> Brightness | None:
    """Follows the light through the room."""
    from trimwright.light.brightness import brightness

    return brightness(set_out, light)


def _write_pictures(set_out: SetOut, finish: Finish, light: LightRun | None, folder: Path, whole: bool) -> list[str]:
    """Draws the views; returns their titles by file name, in order, as 'name|title'."""
    from trimwright.mesh.piece import trim_bodies
    from trimwright.mesh.surroundings import surroundings
    from trimwright.picture.album import album, draw_album

    bodies = [*surroundings(set_out.room, finish), *trim_bodies(set_out)]
    wanted = album(set_out, whole)
    for name, data in draw_album(bodies, wanted).items():
        (folder / f"{name}.png").write_bytes(data)
    titles = [f"{shot.view.name}|{shot.view.title}" for shot in wanted]
    if whole and light and set_out.room.closed:
        titles.append(_write_evening(set_out, light, bodies, wanted[0].view, folder))
    return titles


def _write_evening(set_out: SetOut, light: LightRun, bodies: Sequence[Body], view: View, folder: Path) -> str:
    """The room by its own light, from where it is seen by day: 'name|title'."""
    from trimwright.light.brightness import lit_room
    from trimwright.light.trim_faces import lamps
    from trimwright.picture.evening import evening, exposed_for

    space, solved, _, _ = lit_room(set_out, light)
    kelvin = light.asked.strip.kelvin
    data = evening(bodies, view, space, solved, lamps(light.channel, light.lumens), kelvin)
    (folder / f"{EVENING}.png").write_bytes(data)
    return f"{EVENING}|In the evening by the light alone, {kelvin:g} K, exposed for {exposed_for(space, solved):.0f} lx"


def _write_meshes(job: Job, folder: Path) -> None:
    from trimwright.mesh.glb import glb_bytes
    from trimwright.mesh.piece import trim_bodies
    from trimwright.mesh.stl import trim_stl
    from trimwright.mesh.surroundings import surroundings
    from trimwright.names import file_names

    done = job.set_out
    for trim, name in zip(done.trims, file_names([t.name for t in done.trims]), strict=True):
        if done.of_trim(trim):
            (folder / f"{name}.stl").write_bytes(trim_stl(done, trim))
    bodies = [*surroundings(done.room, job.project.finish), *trim_bodies(done, meshes=job.meshes)]
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


def _write_drawings(
    job: Job, folder: Path, issued: date, lit: Future[Brightness | None] | None
) -> list[tuple[str, str, str]]:
    """All sheets and templates as SVG, PDF and DXF; returns name, title and SVG text of what is drawn, not listed."""
    from trimwright.drawing.cut_cards import cut_cards
    from trimwright.drawing.dxf import write_dxf
    from trimwright.drawing.pdf import Document
    from trimwright.drawing.render import lower
    from trimwright.drawing.svg import svg_text
    from trimwright.drawing.titled import kind_of
    from trimwright.pack.printing import drawing_set

    name = job.set_out.room.name
    # Every setting of the job has been proven when the job was made.
    cards = cut_cards(job.set_out, job.settings, job.project.paper.size, issued.isoformat())
    drawn = drawing_set(job, issued, cards, lit.result if lit else None)
    prints, apart = Document(f"{name}: drawings", issued), Document(f"{name}: cutting cards", issued)
    texts = {}
    for sheet in drawn:
        blocks = lower(sheet)
        texts[sheet.name] = svg_text(sheet, blocks)
        prints.add(sheet, blocks)
        if kind_of(sheet) == "Cutting cards":
            apart.add(sheet, blocks)
    _write_texts(folder / "sheets", texts.items())
    (folder / "print" / "drawings.pdf").write_bytes(prints.finished())
    (folder / "print" / "cut-cards.pdf").write_bytes(apart.finished())
    walls = [sheet for sheet in drawn if kind_of(sheet) == "Elevation"]
    write_dxf(walls, folder / "drawings" / "elevations.dxf", issued)
    seen = [sheet for sheet in drawn if kind_of(sheet) not in ("Index", "List", "Cutting cards")]
    return [(sheet.name, sheet.title, texts[sheet.name]) for sheet in seen]


def _write_templates(job: Job, folder: Path, issued: date) -> None:
    """Every template as a file of its own, and all on the paper of the user's printer."""
    from trimwright.drawing.developed.sheets import developed_templates
    from trimwright.drawing.full_size import template_sheet
    from trimwright.drawing.pdf import write_pdf
    from trimwright.drawing.press.section_templates import section_templates
    from trimwright.drawing.svg import svg_text
    from trimwright.drawing.templates import full_size
    from trimwright.pack.printing import printed_templates

    found = [*section_templates(job.set_out), *full_size(job.set_out)]
    files = [*map(template_sheet, found), *developed_templates(job.set_out)]
    _write_texts(folder / "templates", ((sheet.name, svg_text(sheet)) for sheet in files))
    title = f"{job.set_out.room.name}: templates, full size"
    write_pdf(printed_templates(job, found, issued), folder / "print" / "templates.pdf", title, issued)


def _write_texts(folder: Path, texts: Iterable[tuple[str, str]]) -> None:
    for name, text in texts:
        (folder / f"{name}.svg").write_text(text, encoding="utf-8")


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
    views: Sequence[str],
    faults: Sequence[str],
    issued: date,
    bright: Brightness | None,
) -> None:
    from trimwright.pack.page import page_data
    from trimwright.page.write import write_page

    pictures = [tuple(view.split("|", 1)) for view in views]
    data = page_data(job, sheets, issued, folder, pictures, faults, bright)
    (folder / "index.html").write_text(write_page(data), encoding="utf-8")
