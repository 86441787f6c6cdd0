"""What goes to the printer: the whole set of drawings with its lists, and the templates for the user's own printer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from trimwright.cautions import cautions
from trimwright.clearance.obstacles import obstacles
from trimwright.drawing.cutting_plan import cutting_of, cutting_plan_sheets
from trimwright.drawing.developed.sheets import Strips
from trimwright.drawing.full_size import FullSize
from trimwright.drawing.gap_sheets import gap_sheets
from trimwright.drawing.light_sheet import light_sheets
from trimwright.drawing.press.details import detail_sheets
from trimwright.drawing.press.index_sheet import index_sheets
from trimwright.drawing.press.list_sheets import Listing, list_sheets
from trimwright.drawing.press.page import Printer
from trimwright.drawing.press.template_pages import template_pages
from trimwright.drawing.sheet import Sheet
from trimwright.drawing.sheets import drawn_sheets
from trimwright.drawing.titled import titled
from trimwright.drawing.work_sheets import work_sheets
from trimwright.light.brightness import Brightness
from trimwright.pack.bill_tables import (
    buying_table,
    hole_table,
    offcut_table,
    stock_table,
    sums_table,
    weight_table,
)
from trimwright.pack.job import Job
from trimwright.pack.lists import (
    clearance_table,
    cut_table,
    piece_table,
)
from trimwright.pack.table import Table, columns, in_units
from trimwright.project.models import PaperTable
from trimwright.stock.handling import rule_words
from trimwright.work.steps import Step, steps

__all__ = ["drawing_set", "printed_templates"]

SAW = ("piece", "length", "end", "joint", "held", "mitre", "arm to", "bevel", "blade leans", "kept piece")
"""Columns of the cut list that a sheet has room for; the cutting cards say the rest."""


def drawing_set(
    job: Job, issued: date, cards: Sequence[Sheet] = (), bright: Callable[[], Brightness | None] | None = None
) -> list[Sheet]:
    """Index, drawings, details and lists, numbered and with title blocks, then the cutting cards as they are.

    `bright` gives what the job's light makes of the room, if that was asked for. It is called when all else is drawn:
    it may have to wait.
    """
    done, size = job.set_out, job.project.paper.size
    drawn = drawn_sheets(done, size, job.project.survey.checks, job.buying.holes, job.light)
    plan = cutting_plan_sheets(cutting_of(done, job.buying), job.project.saw, size)
    order = steps(done, job.buying.rates)
    work = work_sheets(done, order, size)
    gaps = gap_sheets(done, job.meshes, job.clearances, obstacles(done.room, job.project.clearance), size)
    others = [*detail_sheets(done, size), *gaps, *work, *plan, *_lists(job, order, size)]
    lit = light_sheets(done, job.light, bright() if bright else None, size) if job.light else []
    following = [*drawn, *lit, *others]
    index = index_sheets(done, [*following, *cards], size)
    framed = titled([*index, *following], done.room.name, issued.isoformat(), len(index) + len(following) + len(cards))
    return [*framed, *cards]


def printed_templates(job: Job, found: Sequence[FullSize], strips: Sequence[Strips], issued: date) -> list[Sheet]:
    """The pages of `print/templates.pdf`: the templates found, and the strips of unrolled cuts."""
    return template_pages(job.set_out, found, strips, _printer(job.project.paper), issued.isoformat())


def _printer(paper: PaperTable) -> Printer:
    """The printer of the room file; no office printer takes A2, so that its templates come on A3."""
    size = "A3" if paper.size == "A2" else paper.size
    return Printer(size=size, margin=paper.margin, across=paper.scale_x, along=paper.scale_y)


def _lists(job: Job, order: Sequence[Step], size: str) -> list[Sheet]:
    done = job.set_out
    return [
        *list_sheets("pieces", "Schedule of pieces", [_listing(piece_table(done), job)], size),
        *list_sheets("cuts", "Saw settings", [_listing(columns(cut_table(done, job.settings), SAW), job)], size),
        *list_sheets("fitting", "Order of work, and cautions", [_order(order), _cautions(job)], size),
        *list_sheets(
            "buying",
            "Buying list, and what is cut from it",
            [
                _listing(buying_table(job.buying), job),
                _listing(sums_table(job.buying), job),
                _listing(stock_table(job.buying), job),
                *([_listing(offcut_table(job.buying), job)] if job.buying.offcuts else []),
                *_clearances(job),
            ],
            size,
        ),
        *list_sheets("weights", "Weights, fixing and screw holes", _weights(job), size),
    ]


def _weights(job: Job) -> list[Listing]:
    weights = _listing(weight_table(job), job)
    holes = [_listing(hole_table(job.buying, job.set_out), job)] if job.buying.holes else []
    return [replace(weights, about=rule_words(job.buying.rates)), *holes]


def _listing(table: Table, job: Job) -> Listing:
    shown = in_units(table, job.set_out.room.units)
    rows = tuple(tuple(_written(cell) for cell in row) for row in shown.rows)
    return Listing(title=shown.name, headers=shown.headers, rows=rows)


def _written(cell: str | float | int) -> str:
    return f"{cell:.2f}".rstrip("0").rstrip(".") if isinstance(cell, float) else str(cell)


def _order(order: Sequence[Step]) -> Listing:
    rows = tuple((str(step.number), step.title, "; ".join(step.words)) for step in order)
    return Listing(
        title="Order of work",
        headers=("step", "what", "how"),
        rows=rows,
        about="Each cope after the piece it fits over; the way in is that past everything that is up.",
    )


def _cautions(job: Job) -> Listing:
    return Listing(title="Cautions", headers=("",), rows=tuple((said,) for said in cautions(job.set_out)))


def _clearances(job: Job) -> list[Listing]:
    return [_listing(clearance_table(job.clearances, job.set_out.room), job)] if job.clearances else []
