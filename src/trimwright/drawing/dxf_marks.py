"""Marks as DXF entities that a draughting program can edit: true arcs, hatches, dimensions that measure.

Only what has no entity of its own is drawn as lines.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any
from zlib import crc32

from ezdxf.colors import BYLAYER
from ezdxf.enums import TextEntityAlignment
from ezdxf.math import Vec2

from trimwright.drawing.dimensions import (
    ABOVE,
    HEIGHT,
    PITCH,
    any_moved,
    feet,
    measured,
    middle_beside,
    running,
    spread,
    value_distance,
)
from trimwright.drawing.dxf_codes import dimension_text, formatted_text, plain_text
from trimwright.drawing.font import text_width
from trimwright.drawing.layers import STYLES
from trimwright.drawing.marks import (
    Anchor,
    Dimension,
    DimensionKind,
    Drawing,
    Fill,
    Group,
    Hatch,
    Layer,
    Mark,
    Path,
    Running,
    Text,
)
from trimwright.drawing.primitives import Block, Label, Primitive, Stroke
from trimwright.drawing.sheet import View
from trimwright.profile.outline import Arc, Point, Segment
from trimwright.tolerance import COINCIDENT
from trimwright.units import value

__all__ = ["TEXT_STYLE", "Space", "draw"]

TEXT_STYLE = "TRIMWRIGHT"

ALIGNMENTS = {
    Anchor.TOP_LEFT: TextEntityAlignment.TOP_LEFT,
    Anchor.TOP: TextEntityAlignment.TOP_CENTER,
    Anchor.TOP_RIGHT: TextEntityAlignment.TOP_RIGHT,
    Anchor.LEFT: TextEntityAlignment.MIDDLE_LEFT,
    Anchor.MIDDLE: TextEntityAlignment.MIDDLE_CENTER,
    Anchor.RIGHT: TextEntityAlignment.MIDDLE_RIGHT,
    Anchor.BASE_LEFT: TextEntityAlignment.LEFT,
    Anchor.BASE: TextEntityAlignment.CENTER,
    Anchor.BASE_RIGHT: TextEntityAlignment.RIGHT,
}

ATTACHMENTS = {anchor: number for number, anchor in enumerate(Anchor, start=1)}
"""Attachment points of MTEXT, numbered row by row from the top left, as the anchors are."""


@dataclass(frozen=True, slots=True)
class Space:
    """Where marks go: a layout, the shift of their origin in it, paper over model, the dimension style to use."""

    layout: Any
    shift: Point
    scale: float
    dimension_style: str

    def at(self, point: Point) -> Point:
        """A point of the drawing in the layout."""
        return (point[0] + self.shift[0], point[1] + self.shift[1])

    def size(self, paper: float) -> float:
        """A length in paper mm as one in the layout."""
        return paper / self.scale

    def look(self, layer: Layer) -> dict[str, Any]:
        """Attributes of an entity on `layer`: all else comes from the layer, but dashes keep their paper length."""
        look: dict[str, Any] = {"layer": STYLES[layer].name}
        if STYLES[layer].dashes:
            look["ltscale"] = 1 / self.scale
        return look


def draw(marks: Iterable[Mark], space: Space) -> list[Any]:
    """Add marks to a layout; returns the entities."""
    made: list[Any] = []
    for mark in marks:
        match mark:
            case Path(segments, layer, closed):
                made += _path(segments, closed, space, layer)
            case Fill(segments, layer, shade):
                made += _fill(segments, space, layer, shade)
            case Hatch():
                made += _hatch(mark, space)
            case Text():
                made += _text(mark, space)
            case Dimension():
                made += _dimension(mark, space)
            case Running():
                made += _running(mark, space)
            case Group():
                made += _group(mark, space)
    return made


def _group(mark: Group, space: Space) -> list[Any]:
    """A named DXF group, so that a piece can be picked as one thing; a block of what stands on several sheets."""
    if mark.repeated:
        return [_inserted(mark, space)]
    made = draw(mark.marks, space)
    if made:
        groups = space.layout.doc.groups
        stem = _stem(mark.name)
        name, count = stem, 1
        while name in groups:
            count += 1
            name = f"{stem}-{count}"
        groups.new(name, description=plain_text(mark.title)).extend(made)
    return made


def _inserted(mark: Group, space: Space) -> Any:
    """A reference to the block that holds these marks, made when they are first met; told apart by a check sum."""
    blocks = space.layout.doc.blocks
    stem = _stem(mark.name)
    told = f"{mark.title or mark.name} {crc32(repr((mark.marks, space.scale)).encode()):08x}"
    name, count = stem, 1
    while name in blocks and blocks.get(name).block.dxf.description != told:
        count += 1
        name = f"{stem}-{count}"
    if name not in blocks:
        block = blocks.new(name)
        block.block.dxf.description = told
        draw(mark.marks, replace(space, layout=block, shift=(0.0, 0.0)))
    return space.layout.add_blockref(name, space.shift)


def _stem(name: str) -> str:
    return re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-").upper() or "PART"


def _path(segments: Sequence[Segment], closed: bool, space: Space, layer: Layer) -> list[Any]:
    """A line, an arc, a circle, or a polyline with bulges; one for each unbroken run of edges."""
    look = space.look(layer)
    made = []
    for run in _runs(segments):
        first = run[0]
        if len(run) == 1 and not isinstance(first, Arc):
            made.append(space.layout.add_line(space.at(first.start), space.at(first.end), look))
        elif len(run) == 1 and isinstance(first, Arc):
            made.append(_arc(first, space, look))
        elif isinstance(first, Arc) and closed and _is_circle(run):
            made.append(space.layout.add_circle(space.at(first.centre), first.radius, look))
        else:
            made.append(space.layout.add_lwpolyline(_bulged(run, closed, space), "xyb", close=closed, dxfattribs=look))
    return made


def _arc(arc: Arc, space: Space, look: dict[str, Any]) -> Any:
    first, last = _turn(arc)
    return space.layout.add_arc(space.at(arc.centre), arc.radius, first, last, dxfattribs=look)


def _turn(arc: Arc) -> tuple[float, float]:
    """Start and end angle in degrees, anticlockwise, as DXF has it."""
    start = math.degrees(arc.start_angle)
    end = start + math.degrees(arc.sweep)
    return (end, start) if arc.clockwise else (start, end)


def _is_circle(run: Sequence[Segment]) -> bool:
    """True for arcs round one centre that make one full turn."""
    arcs = [s for s in run if isinstance(s, Arc)]
    same = all(math.dist(a.centre, arcs[0].centre) < COINCIDENT for a in arcs)
    return len(arcs) == len(run) and same and abs(abs(sum(a.sweep for a in arcs)) - 2 * math.pi) < COINCIDENT


def _bulged(run: Sequence[Segment], closed: bool, space: Space) -> list[tuple[float, float, float]]:
    """Vertices with the bulge of the edge that follows: the tangent of a quarter of its angle."""
    points = [(*space.at(s.start), math.tan(s.sweep / 4) if isinstance(s, Arc) else 0.0) for s in run]
    if not closed or math.dist(run[-1].end, run[0].start) > COINCIDENT:
        points.append((*space.at(run[-1].end), 0.0))
    return points


def _runs(segments: Sequence[Segment]) -> Iterator[list[Segment]]:
    """Edges in unbroken runs, each starting where the one before it ends."""
    run: list[Segment] = []
    for s in segments:
        if run and math.dist(run[-1].end, s.start) > COINCIDENT:
            yield run
            run = []
        run.append(s)
    if run:
        yield run


def _fill(segments: Sequence[Segment], space: Space, layer: Layer, shade: float | str) -> list[Any]:
    if not segments:
        return []
    entity = space.layout.add_hatch(dxfattribs=space.look(layer))
    if isinstance(shade, str):
        entity.rgb = tuple(int(shade[k : k + 2], 16) for k in (1, 3, 5))
    else:
        level = round(255 * min(1.0, max(0.0, shade)))
        entity.rgb = (level, level, level)
    _bound(entity, segments, space)
    return [entity]


def _hatch(mark: Hatch, space: Space) -> list[Any]:
    if not mark.segments:
        return []
    entity = space.layout.add_hatch(dxfattribs=space.look(mark.layer))
    step = Vec2.from_deg_angle(mark.angle + 90, space.size(mark.spacing))
    entity.set_pattern_fill(
        "_USER", color=BYLAYER, pattern_type=0, definition=[[mark.angle, (0, 0), (step.x, step.y), []]]
    )
    _bound(entity, mark.segments, space)
    return [entity]


def _bound(entity: Any, segments: Sequence[Segment], space: Space) -> None:
    """The edge of a hatch, lines and arcs.

    Arcs come in halves: cut into chords, a whole quarter round has one at exactly 45 degrees, and hatching drawn
    by ezdxf 1.4 goes astray on an edge that is parallel to it.
    """
    for run in _runs(segments):
        edge = entity.paths.add_edge_path()
        for s in run:
            if isinstance(s, Arc):
                for half in (
                    Arc(s.start, s.middle, s.centre, s.clockwise),
                    Arc(s.middle, s.end, s.centre, s.clockwise),
                ):
                    first, last = _turn(half)
                    edge.add_arc(space.at(s.centre), s.radius, first, last, ccw=not s.clockwise)
            else:
                edge.add_line(space.at(s.start), space.at(s.end))


def _text(mark: Text, space: Space) -> list[Any]:
    """TEXT; where the mark wants a ground, MTEXT, which can hide what lies under it."""
    text = plain_text(mark.text)
    if not text:
        return []
    look = {**space.look(mark.layer), "style": TEXT_STYLE}
    at, height = space.at(mark.position), space.size(mark.height)
    if not mark.ground:
        line = space.layout.add_text(text, height=height, rotation=mark.angle, dxfattribs=look)
        return [line.set_placement(at, align=ALIGNMENTS[mark.anchor])]
    block = space.layout.add_mtext(formatted_text(mark.text), dxfattribs={**look, "char_height": height})
    block.set_location(at, rotation=mark.angle, attachment_point=ATTACHMENTS[mark.anchor])
    return [block.set_bg_color("canvas", scale=1.1)]


def _dimension(mark: Dimension, space: Space) -> list[Any]:
    a, b = space.at(mark.start), space.at(mark.end)
    offset = space.size(mark.offset)
    foot, other = feet(mark.kind, a, b, offset)
    if math.dist(foot, other) * space.scale < COINCIDENT:
        return []
    shared: dict[str, Any] = {
        "text": dimension_text(mark.text),
        "dimstyle": space.dimension_style,
        "dxfattribs": space.look(mark.layer),
    }
    if mark.kind is DimensionKind.ALIGNED:
        made = space.layout.add_aligned_dim(a, b, distance=offset, **shared)
    else:
        angle = 0 if mark.kind is DimensionKind.HORIZONTAL else 90
        place = _beside(mark, foot, other, space)
        made = space.layout.add_linear_dim(foot, a, b, angle=angle, location=place, **shared)
    return [_rendered(made, mark.layer)]


def _beside(mark: Dimension, foot: Point, other: Point, space: Space) -> Point | None:
    """The middle of a value that stands beside its line, level or upright; None for one over it."""
    text = value(measured(mark)) if mark.text is None else mark.text
    middle = middle_beside(math.dist(foot, other) * space.scale, text_width(text, HEIGHT), mark.before)
    if middle is None:
        return None
    (x, y), up = min(foot, other), space.size(ABOVE + HEIGHT / 2)
    if mark.kind is DimensionKind.HORIZONTAL:
        return x + space.size(middle), y + up
    return x - up, y + space.size(middle)


def _running(mark: Running, space: Space) -> list[Any]:
    """Ordinate dimensions from the origin; along a slant, where they are not to be relied on, lines and text."""
    horizontal = abs(mark.along[1]) < COINCIDENT
    if not horizontal and abs(mark.along[0]) >= COINCIDENT:
        return list(_lines(running(mark, _scaled(space.scale)), space))
    along = sum(mark.along)
    side = (-mark.along[1], mark.along[0])
    stations = [along * (p[0] - mark.origin[0] if horizontal else p[1] - mark.origin[1]) for p in mark.points]
    order = sorted(range(len(stations)), key=stations.__getitem__)
    places = spread([stations[k] for k in order], space.size(PITCH))
    reach = mark.offset + math.copysign(value_distance(any_moved([stations[k] for k in order], places)), mark.offset)
    made = []
    for k, place in zip(order, places, strict=True):
        end = [o + u * place + v * space.size(reach) for o, u, v in zip(mark.origin, mark.along, side, strict=True)]
        entity = space.layout.add_ordinate_dim(
            space.at(mark.points[k]),
            offset=(end[0] - mark.points[k][0], end[1] - mark.points[k][1]),
            dtype=1 if horizontal else 0,
            origin=space.at(mark.origin),
            text=dimension_text(mark.texts[k] if mark.texts else None),
            dimstyle=space.dimension_style,
            dxfattribs=space.look(mark.layer),
        )
        made.append(_rendered(entity, mark.layer))
    return made


def _rendered(override: Any, layer: Layer) -> Any:
    """The dimension with its picture made. Lines in it go on the dimension's own layer: not all viewers hand down
    the layer of the dimension to what lies on layer 0.
    """
    override.render()
    for part in override.dimension.get_geometry_block():
        if part.dxf.layer == "0":
            part.dxf.layer = STYLES[layer].name
    return override.dimension


def _lines(items: Iterable[Primitive], space: Space) -> Iterator[Any]:
    """Primitives laid out on paper, drawn in the layout at the size of the model."""
    for item in items:
        if isinstance(item, Stroke):
            yield from _path(_scaled(1 / space.scale).on_paper(item.segments), item.closed, space, item.layer)
        elif isinstance(item, Label):
            x, y = item.position
            at = (x / space.scale, y / space.scale)
            yield from _text(Text(at, item.text, item.height, item.layer, angle=item.angle), space)
        elif isinstance(item, Block):
            yield from _lines(item.items, space)


def _scaled(scale: float) -> View:
    """An empty view that only changes scale about the origin."""
    return View(drawing=Drawing(""), scale=scale, model=(0.0, 0.0), paper=(0.0, 0.0))
