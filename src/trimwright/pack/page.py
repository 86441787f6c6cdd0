"""What stands on the page of a pack, put into words and rows."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date
from functools import partial
from itertools import count
from pathlib import Path

from trimwright import __version__
from trimwright.cautions import cautions
from trimwright.ceiling import ceiling_words
from trimwright.drawing.cut_cards import card_places
from trimwright.light.brightness import Brightness
from trimwright.light.words import bright_words, circuit_words, strip_words
from trimwright.mesh.piece import trim_bodies
from trimwright.mesh.surroundings import surroundings
from trimwright.pack.bill_tables import (
    buying_table,
    hole_table,
    offcut_table,
    stock_table,
    sums_table,
    weight_table,
)
from trimwright.pack.job import Job
from trimwright.pack.light import light_tables
from trimwright.pack.lists import (
    ceiling_table,
    clearance_table,
    cut_table,
    end_words,
    piece_table,
    survey_table,
)
from trimwright.pack.page_work import page_work
from trimwright.pack.table import Table, columns, in_units
from trimwright.page import content
from trimwright.setout.piece import Piece, SetOut
from trimwright.stock.handling import rule_words
from trimwright.units import Units, feet_inches

__all__ = ["UNIT_WORDS", "page_data", "shown_table"]

FILES = (
    ("print/drawings.pdf", "Drawings to print", "every sheet, vector, true scale"),
    ("print/templates.pdf", "Templates to print", "full size: print at 100 %, do not fit"),
    ("print/cut-cards.pdf", "Cutting cards to print", "six to a page, in the order of cutting"),
    ("drawings/elevations.dxf", "Wall elevations", "1:1 in model space, a layout a wall"),
    ("model.step", "Exact solids", "one named, coloured part a piece"),
    ("meshes/room.glb", "Room and trims", "triangles with colours, metres, y up"),
    ("cutlist.csv", "Cut list", "a row an end"),
    ("buying.csv", "Buying list", ""),
    ("offcuts.toml", "Offcuts", "lengths worth keeping, for the next room's file"),
    ("clearances.csv", "Clearances", ""),
    ("pack.json", "Everything as data", "format 1"),
)


HOLES = (
    "Battens and heavy trim are screwed into plugs, studs or joists, a channel into what is behind it. Find pipes and"
    " cables before you drill."
)

UNIT_WORDS = {
    Units.MM: "Lengths in millimetres, angles in degrees.",
    Units.INCHES: "Lengths in millimetres [feet, inches and sixteenths], angles in degrees.",
}


def page_data(
    job: Job,
    sheets: Sequence[tuple[str, str, str]],
    issued: date,
    folder: Path | None = None,
    pictures: Sequence[tuple[str, ...]] = (),
    faults: Sequence[str] = (),
    bright: Brightness | None = None,
) -> content.PageData:
    """The page of a pack; `sheets` are (name, title, SVG), `bright` what the light makes of the room.

    The other files lie in `folder` already, among them the `pictures`, (name, title): a page without a folder has none.
    """
    done = job.set_out
    cuts = _cutouts(job) if folder else {}
    return content.PageData(
        title=done.room.name,
        summary=_summary(done),
        figures=(*_figures(job, faults), *_light_figures(job, bright)),
        notes=(*done.notes, *faults, *(job.light.warnings if job.light else ())),
        pictures=tuple(_pictures(folder, pictures)) if folder else (),
        bodies=(*surroundings(done.room, job.project.finish), *trim_bodies(done, meshes=job.meshes)),
        cards=tuple(_card(piece, done, cuts.get(piece.id, ())) for piece in done.pieces),
        card_sheets=tuple(_card_sheets(folder)) if folder else (),
        cautions=cautions(done),
        work=page_work(done, job.buying.rates),
        tables=(*_tables(job), *_light_tables(job, bright)),
        sheets=tuple(content.SheetView(title=t, href=f"sheets/{n}.svg", svg=svg) for n, t, svg in sheets),
        links=tuple(_links(folder)) if folder else (),
        foot=f"trimwright {__version__}, {issued.isoformat()}. {UNIT_WORDS[done.room.units]}",
    )


def _pictures(folder: Path, pictures: Iterable[tuple[str, ...]]) -> Iterable[content.Picture]:
    # The evening is looked at beside the day: it comes before what there may be no room for inside the page.
    for name, title in sorted(pictures, key=lambda picture: picture[0] != "evening"):
        href = f"pictures/{name}.png"
        yield content.Picture(title=title, href=href, data=(folder / href).read_bytes(), over=name == "evening")


def _summary(done: SetOut) -> str:
    heights = [height for wall in done.room.walls for _, height in done.room.ceiling_line(wall.index)]
    span = " to ".join(done.room.units.written(h) for h in sorted({min(heights), max(heights)}))
    kind = "closed" if done.room.closed else "open run"
    return f"{len(done.room.walls)} walls ({kind}), ceiling {span} mm."


def _figures(job: Job, faults: Sequence[str]) -> Iterable[content.Figure]:
    done = job.set_out
    for trim in done.trims:
        pieces = done.of_trim(trim)
        total = sum(p.length for p in pieces)
        feet = f" [{feet_inches(total)}]" if done.room.units is Units.INCHES else ""
        yield content.Figure(
            label=trim.name,
            value=f"{total / 1000:.2f} m{feet}",
            note=f"{len(pieces)} pieces, {trim.letter}1 to {trim.letter}{len(pieces)}",
        )
    yield content.Figure(label="to buy", value=job.buying.total_words(), note="what has a known price")
    wrong = len(job.clashes) + len(faults)
    yield content.Figure(label="clashes", value=str(wrong) if wrong else "none", bad=wrong > 0)


def _counted(name: str) -> list[tuple[str, int]]:
    """A name to sort by as a person counts: sheet-9 before sheet-10."""
    return [(words, int(number or 0)) for words, number in re.findall(r"(\D*)(\d*)", name)]


def _cutouts(job: Job) -> dict[str, tuple[content.Cutout, ...]]:
    """The cutting cards of each piece."""
    found: dict[str, tuple[content.Cutout, ...]] = {}
    for place in card_places(job.set_out, job.settings, job.project.paper.size):
        title = f"Cutting card of {place.piece}, {place.ends}"
        cutout = content.Cutout(title=title, sheet=place.sheet, box=place.box)
        found[place.piece] = (*found.get(place.piece, ()), cutout)
    return found


def _card_sheets(folder: Path) -> Iterable[content.SheetView]:
    for number in count(1):
        path = folder / "sheets" / f"cut-cards-{number}.svg"
        if not path.exists():
            return
        yield content.SheetView(
            title=f"Cutting cards {number}", href=f"sheets/{path.name}", svg=path.read_text(encoding="utf-8")
        )


def _card(piece: Piece, done: SetOut, cuts: tuple[content.Cutout, ...]) -> content.PieceCard:
    wall, written = done.room.walls[piece.wall], done.room.units.written
    text = (
        f"{wall.name}; length {written(piece.length)}, at back {written(piece.back_length)},"
        f" at front {written(piece.front_length)}; left {end_words(piece.left)}, right {end_words(piece.right)}"
    )
    middle, _ = wall.frame.locate(piece.frame.plan(sum(piece.extent) / 2))
    inward = wall.frame.tangent(middle).outward
    return content.PieceCard(piece=piece.id, trim=piece.trim.name, text=text, inward=inward, cuts=cuts)


def _light_figures(job: Job, bright: Brightness | None) -> Iterable[content.Figure]:
    if job.light is None:
        return
    count = len(job.light.circuits)
    circuits = "1 circuit" if count == 1 else f"{count} circuits"
    strip = f"{job.light.length / 1000:.2f} m of strip, {circuits}"
    yield content.Figure(label="light", value=f"{job.light.power_w:.0f} W", note=strip)
    if bright is not None:
        note = f"mean at {bright.working.height / 1000:g} m; floor {bright.floor.mean:.0f} lx"
        yield content.Figure(label="illuminance", value=f"{bright.working.mean:.0f} lx", note=note)


def _light_tables(job: Job, bright: Brightness | None) -> Iterable[content.Table]:
    if job.light is None:
        return
    said = (strip_words(job.light), (*circuit_words(job.light), *(bright_words(bright, job.light) if bright else ())))
    about = [" ".join(words) for words in said]
    names = ("light-strip", "light-circuits", "light-feeds", "light-channel")
    tables = light_tables(job.set_out.room, job.light)
    for name, table, words in zip(names, tables, [*about, "", ""], strict=True):
        column = "piece" if "piece" in table.headers else ""
        yield shown_table(job.set_out.room.units, name, table, column, words)


def _tables(job: Job) -> Iterable[content.Table]:
    done = job.set_out
    shown = partial(shown_table, done.room.units)
    saw = (
        "piece",
        "length",
        "end",
        "joint",
        "held",
        "mitre",
        "±",
        "arm to",
        "bevel",
        "blade leans",
        "kept piece",
        "then",
    )
    yield shown("pieces", piece_table(done), "piece", "Stations and lengths in mm; length is what is taken from stock.")
    yield shown(
        "cuts",
        columns(cut_table(done, job.settings), saw),
        "piece",
        "As one stands at the saw. Nested: upside down, wall edge against the fence, ceiling edge on the bed."
        " Standing: back against the fence, bottom edge on the bed. Flat: back down on the bed. ± says how sure the"
        " mitre is, 19 times in 20: where it is half a degree or more, cut a test piece first.",
    )
    yield shown("survey", survey_table(job.project.survey, [w.name for w in done.room.walls]), "", "")
    if ceiling_table(done).rows:
        yield shown("ceiling", ceiling_table(done), "", "; ".join(ceiling_words(done.room)).capitalize() + ".")
    below = "Clashes first. A gap below 0 says by how much one lies in the other; the sheets of clearances show it cut."
    yield shown("clearances", clearance_table(job.clearances, job.set_out.room), "piece", below)
    yield shown("weights", weight_table(job), "", rule_words(job.buying.rates), sums=1)
    if job.buying.holes:
        yield shown("holes", hole_table(job.buying, done), "piece", HOLES)
    yield shown("stock", stock_table(job.buying), "", "Which pieces come out of which length.")
    if job.buying.offcuts:
        yield shown("offcuts", offcut_table(job.buying), "", "offcuts.toml has them for the next room's file.")
    bill = buying_table(job.buying)
    rule = "Each note is the rule that the quantity follows from."
    yield shown("buying", bill, "", rule, sums=len(bill.rows) - len(job.buying.rows))
    yield shown("sums", sums_table(job.buying), "", "")


def shown_table(units: Units, name: str, table: Table, piece_column: str, about: str, sums: int = 0) -> content.Table:
    """A table as the page shows it; its last rows, as many as `sums`, add up those before."""
    table = in_units(table, units)
    at = table.headers.index(piece_column) if piece_column else -1
    rows = tuple(
        content.Row(
            cells=tuple(f"{c:.2f}".rstrip("0").rstrip(".") if isinstance(c, float) else str(c) for c in row),
            piece=str(row[at]) if at >= 0 else "",
            bad="CLASH" in row,
            sum=number >= len(table.rows) - sums,
        )
        for number, row in enumerate(table.rows)
    )
    numbers = frozenset(
        k for k in range(len(table.headers)) if table.rows and all(isinstance(r[k], int | float) for r in table.rows)
    )
    return content.Table(name=name, title=table.name, columns=table.headers, rows=rows, numbers=numbers, about=about)


def _links(folder: Path) -> Iterable[content.Link]:
    for href, label, about in FILES:
        if (folder / href).exists() or href == "pack.json":
            yield content.Link(label=label, href=href, about=about)
    for part, kind in (("meshes", "mesh"), ("meshes/gauges", "to print in plastic:"), ("templates", "template")):
        for path in sorted((folder / part).glob("*"), key=lambda path: _counted(path.name)):
            if path.suffix in (".stl", ".svg"):
                yield content.Link(label=f"{kind} {path.stem}", href=f"{part}/{path.name}")
