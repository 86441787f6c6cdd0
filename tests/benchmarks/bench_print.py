"""How long the printed pack takes: templates on A4, then the set of drawings. Run by hand.

`python tests/benchmarks/bench_print.py`: the reading room has about 70 templates. On two idle cores drawing and laying
out took 0.18 s (0.13 s of it drawing, which the pack needs anyhow), writing 0.15 s.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from time import perf_counter
from typing import Any

from trimwright.drawing.developed.sheets import unrolled
from trimwright.drawing.pdf import pdf_bytes
from trimwright.drawing.press.details import detail_sheets
from trimwright.drawing.press.page import Printer
from trimwright.drawing.press.section_templates import section_templates
from trimwright.drawing.press.template_pages import template_pages
from trimwright.drawing.sheets import drawn_sheets
from trimwright.drawing.templates import full_size
from trimwright.project.project import read_project
from trimwright.setout.set_out import set_out

EXAMPLES = Path(__file__).parents[2] / "examples"
DAY = date(2026, 10, 12)


def timed(what: str, work: Callable[[], Any]) -> Any:
    """The best of three, printed."""
    times = []
    for _ in range(3):
        start = perf_counter()
        made = work()
        times.append(perf_counter() - start)
    print(f"{what}: {min(times):.3f} s")
    return made


def main() -> None:
    """Print the times of each part."""
    done = set_out(read_project(EXAMPLES / "reading-room.toml"))
    found = timed("templates drawn", lambda: [*section_templates(done), *full_size(done)])
    pages = timed(
        "pages laid out", lambda: template_pages(done, found, unrolled(done), Printer(size="A4"), DAY.isoformat())
    )
    data = timed(f"{len(pages)} pages written", lambda: pdf_bytes(pages, "templates", DAY))
    print(f"templates.pdf: {len(data) // 1000} kB")
    sheets = timed("sheets drawn", lambda: [*drawn_sheets(done, "A3"), *detail_sheets(done, "A3")])
    timed(f"{len(sheets)} sheets written", lambda: pdf_bytes(sheets, "drawings", DAY))


if __name__ == "__main__":
    main()
