"""From the room file to its page as often as it is saved; what did not change is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from trimwright.drawing.sheet import Sheet
from trimwright.drawing.sheets import sheets
from trimwright.drawing.svg import svg_text
from trimwright.pack.job import Job, job_of
from trimwright.pack.page import page_data
from trimwright.pack.write import issue_date
from trimwright.page.write import write_page
from trimwright.project.project import read_project

__all__ = ["Made", "rebuilt"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Made:
    """A page and what it was made from: the next one takes over from it what is still so."""

    job: Job
    sheets: tuple[Sheet, ...]
    texts: Mapping[str, str]
    page: str

    def changed_since(self, before: Made | None) -> tuple[str, ...]:
        """Names of the trims whose pieces are others than they were, or that are new or gone."""
        old, new = ({} if made is None else _by_trim(made.job) for made in (before, self))
        return tuple(name for name in {**new, **old} if old.get(name) != new.get(name))


def rebuilt(room: Path, before: Made | None = None) -> Made:
    """The page of a room file, without pictures and printed files: those take longer than anyone waits for.

    Meshes of trims and drawings that are as `before` are kept. Raises TrimwrightError as reading and setting out do.
    """
    job = job_of(read_project(room), before.job if before else None)
    issued = issue_date(job.project.date, job.project.path)
    drawn = tuple(sheets(job.set_out, job.project.paper.size, issued.isoformat(), job.project.survey.checks))
    known = {sheet.name: sheet for sheet in before.sheets} if before else {}
    texts = {
        sheet.name: before.texts[sheet.name] if before and known.get(sheet.name) == sheet else svg_text(sheet)
        for sheet in drawn
    }
    data = page_data(job, [(sheet.name, sheet.title, texts[sheet.name]) for sheet in drawn], issued)
    return Made(job=job, sheets=drawn, texts=texts, page=write_page(data))


def _by_trim(job: Job) -> dict[str, object]:
    return {trim.name: job.set_out.of_trim(trim) for trim in job.set_out.trims}
