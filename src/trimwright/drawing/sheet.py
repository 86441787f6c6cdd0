"""A sheet of paper: views of drawings at a scale, and marks of its own in paper millimetres."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from trimwright.drawing.marks import Drawing, Mark
from trimwright.profile.outline import Arc, Line, Point, Segment

__all__ = ["Sheet", "View"]


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A drawing seen through a window on the sheet.

    Model point `model` falls on paper point `paper`; `scale` is paper over model (0.05 for 1:20). Nothing is
    drawn outside `window` (left, bottom, right, top in paper mm); None: no clipping.
    """

    drawing: Drawing
    scale: float
    model: Point
    paper: Point
    window: tuple[float, float, float, float] | None = None

    def to_paper(self, point: Point) -> Point:
        """Paper position of a model point."""
        return (
            self.paper[0] + (point[0] - self.model[0]) * self.scale,
            self.paper[1] + (point[1] - self.model[1]) * self.scale,
        )

    def on_paper(self, segments: Iterable[Segment]) -> tuple[Segment, ...]:
        """Model edges as they lie on paper."""
        if self.scale == 1.0 and self.model == self.paper:
            return tuple(segments)
        # As `to_paper`, but for whole edges: of these a pack has a hundred thousand.
        (px, py), (mx, my), scale = self.paper, self.model, self.scale
        placed: list[Segment] = []
        for s in segments:
            (x, y), (ex, ey) = s.start, s.end
            start = (px + (x - mx) * scale, py + (y - my) * scale)
            end = (px + (ex - mx) * scale, py + (ey - my) * scale)
            placed.append(
                Arc(start, end, self.to_paper(s.centre), s.clockwise) if isinstance(s, Arc) else Line(start, end)
            )
        return tuple(placed)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet: `width` x `height` paper mm, origin bottom left, y up.

    `stretch`, across and up, undoes a printer that is not true: what is drawn a millimetre long here is written so
    much longer, and the paper is `width` and `height` times that.
    """

    name: str
    title: str
    width: float
    height: float
    views: tuple[View, ...] = ()
    marks: tuple[Mark, ...] = ()
    description: str = ""
    stretch: Point = (1.0, 1.0)
