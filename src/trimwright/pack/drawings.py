"""What is drawn of a pack: sheets, templates, prints, and the elevations for exchange."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from concurrent.futures import Executor, Future
from datetime import date
from pathlib import Path

from trimwright.drawing.cut_cards import cut_cards
from trimwright.drawing.developed.sheets import developed_templates, unrolled
from trimwright.drawing.full_size import template_sheet
from trimwright.drawing.pdf import Document, write_pdf
from trimwright.drawing.press.section_templates import section_templates
from trimwright.drawing.render import lower
from trimwright.drawing.sheet import Sheet
from trimwright.drawing.svg import svg_text
from trimwright.drawing.templates import full_size
from trimwright.drawing.titled import kind_of
from trimwright.pack.job import Job
from trimwright.pack.kept.light import Lit
from trimwright.pack.printing import drawing_set, printed_templates

__all__ = ["write_sheets", "write_templates"]


def write_sheets(
    job: Job, folder: Path, issued: date, lit: Lit | None, beside: Executor
) -> tuple[list[tuple[str, str, str]], Future[None]]:
    """All sheets as SVG and PDF, and by somebody beside, who is waited for, the elevations as DXF.

    Returns name, title and SVG text of what is drawn, not listed.
    """
    name = job.set_out.room.name
    # Every setting of the job has been proven when the job was made.
    cards = cut_cards(job.set_out, job.settings, job.project.paper.size, issued.isoformat())
    drawn = drawing_set(job, issued, cards, lit)
    walls = [sheet for sheet in drawn if kind_of(sheet) == "Elevation"]
    exchanged = beside.submit(_write_dxf, walls, folder / "drawings" / "elevations.dxf", issued)
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
    seen = [sheet for sheet in drawn if kind_of(sheet) not in ("Index", "List", "Cutting cards")]
    return [(sheet.name, sheet.title, texts[sheet.name]) for sheet in seen], exchanged


def _write_dxf(walls: Sequence[Sheet], path: Path, issued: date) -> None:
    from trimwright.drawing.dxf import write_dxf

    write_dxf(walls, path, issued)


def write_templates(job: Job, folder: Path, issued: date) -> None:
    """Every template as a file of its own, and all on the paper of the user's printer."""
    found = [*section_templates(job.set_out), *full_size(job.set_out)]
    strips = unrolled(job.set_out)
    files = [*map(template_sheet, found), *developed_templates(job.set_out, strips)]
    _write_texts(folder / "templates", ((sheet.name, svg_text(sheet)) for sheet in files))
    title = f"{job.set_out.room.name}: templates, full size"
    write_pdf(printed_templates(job, found, strips, issued), folder / "print" / "templates.pdf", title, issued)


def _write_texts(folder: Path, texts: Iterable[tuple[str, str]]) -> None:
    for name, text in texts:
        (folder / f"{name}.svg").write_text(text, encoding="utf-8")
