"""The build-up at full size as templates: one for each group of trims that lie together in height."""

from __future__ import annotations

from trimwright.drawing.full_size import FullSize
from trimwright.drawing.marks import Drawing
from trimwright.drawing.section import cluster_marks, clusters
from trimwright.setout.piece import SetOut

__all__ = ["section_templates"]


def section_templates(set_out: SetOut) -> list[FullSize]:
    """What is held against the wall to see how the trims will sit: true section, wall and ceiling lines."""
    groups = clusters(set_out)
    made = []
    for number, group in enumerate(groups, 1):
        name = "section" if len(groups) == 1 else f"section-{number}"
        names = ", ".join(trim.name for trim in group.trims)
        words = (
            f"{set_out.room.name}: {names}, in true section; heights above the floor datum, the ceiling at its lowest "
            f"point, {set_out.room.units.written(set_out.room.ceiling)}.",
            "Cut along the outline, it is a gauge for the trim as delivered and for the lines on wall and ceiling.",
        )
        drawing = Drawing(name, cluster_marks(set_out, group, 1.0))
        made.append(FullSize(name, f"Section: {names}", drawing, words, f"Full-size section of {names}"))
    return made
