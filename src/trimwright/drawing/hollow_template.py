"""Full-size templates for what is cut out of the back of a piece: its outline there, its depth, what it leaves.

The back is drawn as one sees it who holds the piece face down, so that the paper can be laid on it: the left end of
the piece is on the right. Each end and each bend of a groove is a template by itself; between them it runs straight.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from trimwright.drawing.cut_outline import cut_outlines
from trimwright.drawing.dimensions import lettered
from trimwright.drawing.full_size import FullSize
from trimwright.drawing.hollow_section import CutAcross, cut_across
from trimwright.drawing.hollow_words import hollow_words, reach_of
from trimwright.drawing.marks import Anchor, Dimension, DimensionKind, Drawing, Hatch, Layer, Mark, Text, polyline
from trimwright.names import slug
from trimwright.profile.outline import Point
from trimwright.setout.piece import Groove, Housing, Piece, SetOut
from trimwright.setout.seen_from import local
from trimwright.tolerance import TOUCH
from trimwright.units import Units

__all__ = ["hollow_templates"]

AROUND = 45.0
"""Length of the back that is drawn on each side of a place."""

NEAR = 75.0
"""Places nearer to each other than this share a template."""

BETWEEN = 22.0
"""From the back to the section beside it."""

ALIKE = 0.1
"""Templates whose lines differ by less than this are one, mm: a saw can do no better."""


@dataclass(frozen=True, slots=True)
class _Spot:
    """A place on a hollow: its station, and what is there."""

    station: float
    what: str


@dataclass(frozen=True, slots=True)
class _Part:
    """What one template shows: a length of the back of a piece from `low` to `high`, and the cut across it."""

    piece: Piece
    hollow: Groove | Housing
    spots: tuple[_Spot, ...]
    low: float
    high: float
    section: CutAcross

    @property
    def whats(self) -> tuple[str, ...]:
        """What is at its places."""
        return tuple(spot.what for spot in self.spots)

    @property
    def station(self) -> float:
        """Where it is cut across: in the middle of its places."""
        return (self.spots[0].station + self.spots[-1].station) / 2


def hollow_templates(set_out: SetOut) -> list[FullSize]:
    """The templates for grooves and housings, piece by piece; those that are alike are one."""
    groups: list[list[_Part]] = []
    for piece in set_out.pieces:
        for hollow in piece.hollows:
            for part in _parts(piece, hollow):
                group = next((group for group in groups if _alike(group[0], part)), None)
                if group is None:
                    groups.append([part])
                else:
                    group.append(part)
    return [_template(set_out, group) for group in groups]


def _parts(piece: Piece, hollow: Groove | Housing) -> Iterator[_Part]:
    """The templates of one hollow, from left to right."""
    spots = sorted(_spots(piece, hollow), key=lambda spot: spot.station)
    back = piece.trim.edges.back
    first, last = piece.left.at(back), piece.right.at(back)
    groups: list[list[_Spot]] = []
    for spot in spots:
        if groups and spot.station - groups[-1][-1].station < NEAR:
            groups[-1].append(spot)
        else:
            groups.append([spot])
    for group in groups:
        low, high = max(first, group[0].station - AROUND), min(last, group[-1].station + AROUND)
        middle = (group[0].station + group[-1].station) / 2
        at = min(max(middle, low + TOUCH * 10), high - TOUCH * 10)
        if low < high:
            yield _Part(piece, hollow, tuple(group), low, high, cut_across(piece, hollow, _within(piece, hollow, at)))


def _within(piece: Piece, hollow: Groove | Housing, station: float) -> float:
    """A station at the very end of a housing, moved a hair into it: there it is cut across, and not beside it."""
    reach = reach_of(piece, hollow)
    if reach is None or isinstance(hollow, Groove):
        return station
    hair = min(TOUCH * 10, (reach.high - reach.low) / 2)
    return min(max(station, reach.low + hair), reach.high - hair)


def _spots(piece: Piece, hollow: Groove | Housing) -> Iterator[_Spot]:
    """Where a hollow begins, bends and ends in a piece, or runs out at an end of it."""
    reach = reach_of(piece, hollow)
    if reach is None:
        return
    back = piece.trim.edges.back
    first, last = piece.left.at(back), piece.right.at(back)
    if isinstance(hollow, Housing):
        if reach.high - reach.low < NEAR:
            yield _Spot((reach.low + reach.high) / 2, "all of it")
            return
        yield from ((_Spot(s, what) for s, what in ((reach.low, "its left end"), (reach.high, "its right end"))))
        return
    found = [spot for spot in _on_axis(piece, hollow) if first < spot.station < last]
    found += [_Spot(first, "at the left end")] if reach.low < first + TOUCH else []
    found += [_Spot(last, "at the right end")] if reach.high > last - TOUCH else []
    yield from found or [_Spot((reach.low + reach.high) / 2, "where it crosses")]


def _on_axis(piece: Piece, groove: Groove) -> Iterator[_Spot]:
    """Where a groove ends or bends in a piece, and where it comes out above or below it."""
    _, bottom, _, top = piece.trim.edges
    places = [local(piece, groove.frame, place) for place in groove.axis]
    back = piece.trim.edges.back
    first, last = piece.left.at(back) + groove.radius, piece.right.at(back) - groove.radius
    for k, (station, _, height) in enumerate(places):
        inside = piece.height(station, bottom) - groove.radius < height < piece.height(station, top) + groove.radius
        ending = k in (0, len(places) - 1)
        if inside and (not ending or first < station < last):
            yield _Spot(station, "where it ends" if ending else "where it bends")
    for (s, _, h), (t, _, g) in pairwise(places):
        for edge in (bottom, top):
            a, b = h - piece.height(s, edge), g - piece.height(t, edge)
            if a * b < 0:
                yield _Spot(s + (t - s) * a / (a - b), "where it comes out")


def _alike(one: _Part, other: _Part) -> bool:
    """True if two templates show the same, to within what a saw can do."""
    a, b = _figures(one), _figures(other)
    same = (one.piece.trim.name, one.hollow.pipe, one.piece.incline, one.whats) == (
        other.piece.trim.name,
        other.hollow.pipe,
        other.piece.incline,
        other.whats,
    )
    return same and len(a) == len(b) and all(abs(p - q) < ALIKE for p, q in zip(a, b, strict=True))


def _figures(part: _Part) -> list[float]:
    """Where the drawing ends, and extents and middle of each outline, from the place where it is cut across."""
    from shapely import Polygon

    origin, base = part.station, part.piece.height(part.station, part.piece.trim.edges.bottom)
    figures = [part.low - origin, part.high - origin]
    for x, y, loops in ((origin, base, _outlines(part)), (0.0, base, part.section.away)):
        for area in map(Polygon, loops):
            left, bottom, right, top = area.bounds
            middle = area.centroid
            figures += [left - x, right - x, middle.x - x, bottom - y, top - y, middle.y - y]
    return figures


def _outlines(part: _Part) -> list[list[Point]]:
    """The outlines on the length of back that is drawn."""
    from shapely import Polygon, box

    _, bottom, _, top = part.piece.trim.edges
    levels = [part.piece.height(s, h) for s in (part.low, part.high) for h in (bottom, top)]
    window = box(part.low, min(levels), part.high, max(levels))
    found = []
    for loop in cut_outlines(part.piece, part.hollow):
        shown = Polygon(loop) & window
        for area in getattr(shown, "geoms", [shown]):
            if area.geom_type == "Polygon" and area.area > 0:
                found.append([(float(x), float(y)) for x, y in area.exterior.coords[:-1]])
    return found


def _template(set_out: SetOut, alike: Sequence[_Part]) -> FullSize:
    """The template of the first of some parts that are alike."""
    part, units = alike[0], set_out.room.units
    piece, hollow = part.piece, part.hollow
    what = " and ".join(dict.fromkeys(part.whats))
    wall = set_out.room.walls[piece.wall]
    words = [
        f"{set_out.room.name}, wall {wall.index + 1} ({wall.name}). {hollow_words(piece, hollow, units)}.",
        f"Line A, where it is cut across, lies along the back {_places(alike, units)}.",
        f"Seen from behind: lay it on the back of the {piece.trim.name}, lower edge to lower edge; the left end of the"
        " piece is on the right. Bold: what to cut; beside it the section at A.",
    ]
    if piece.bend is not None:
        words.append("The back is drawn flat: bend the paper round it.")
    name = f"{hollow.what}-{slug(piece.id)}-{slug(hollow.pipe)}"
    ids = dict.fromkeys(p.piece.id for p in alike)
    title = f"{hollow.what.capitalize()} for {hollow.pipe} in {', '.join(ids)}: {what}"
    about = f"Full-size back and section of {piece.id} with the {hollow.what} for {hollow.pipe}, {what}"
    return FullSize(name, title, Drawing(name, tuple(lettered(_marks(part), units))), tuple(words), about)


def _places(alike: Sequence[_Part], units: Units) -> str:
    """'412.5 from the left end of L1; 80 from the left end of L2, L3'."""
    found: dict[str, list[str]] = {}
    for part in alike:
        away = (part.station - part.piece.left.at(part.piece.trim.edges.back)) * _scale(part.piece)
        found.setdefault(units.written(away), []).append(part.piece.id)
    return "; ".join(f"{away} from the left end of {', '.join(ids)}" for away, ids in found.items())


def _scale(piece: Piece) -> float:
    """Length along the back for each mm of station; a slope shows as it is."""
    return piece.frame.scale(piece.trim.edges.back)


def _marks(part: _Part) -> Iterator[Mark]:
    piece = part.piece
    back, bottom, front, top = piece.trim.edges
    base, scale = piece.height(part.station, bottom), _scale(piece)

    def at(station: float, height: float) -> Point:
        return (part.station - station) * scale, height - base

    yield from _back_marks(part, at)
    right = at(part.low, 0.0)[0] + BETWEEN
    yield from _section_marks(part.section, lambda out, height: (right + out - back, height - base))
    head = piece.height(part.station, top) - base
    yield polyline([(0.0, -8.0), (0.0, head + 8.0)], Layer.CENTRE)
    yield Text((0.0, head + 9.0), "A", 3.5, anchor=Anchor.BASE)
    yield Text((right + (front - back) / 2, head + 16.0), "section at A", 2.5, anchor=Anchor.BASE)
    yield Text((right, -3.0), "back", 2.5, anchor=Anchor.TOP_LEFT)
    foot = at((part.low + part.high) / 2, piece.height((part.low + part.high) / 2, bottom))
    yield Text((foot[0] + 1.5, foot[1] + 1.2), "lower edge", 2.5)


def _back_marks(part: _Part, at: Callable[[float, float], Point]) -> Iterator[Mark]:
    """Edges, ends, outline and axis, seen from behind."""
    piece, hollow = part.piece, part.hollow
    back, bottom, _, top = piece.trim.edges
    for height in (bottom, top):
        yield polyline([at(s, piece.height(s, height)) for s in (part.low, part.high)], Layer.TRIM)
    for station, end, name, anchor in (
        (part.low, piece.left.at(back), "left end", Anchor.TOP_RIGHT),
        (part.high, piece.right.at(back), "right end", Anchor.TOP_LEFT),
    ):
        foot, head = (at(station, piece.height(station, height)) for height in (bottom, top))
        if abs(station - end) < TOUCH:
            yield polyline([foot, head], Layer.TRIM)
        else:
            name = f"to the {name}"
            x, middle = foot[0], (foot[1] + head[1]) / 2
            zigzag = [(x, middle - 4), (x + 3, middle - 2), (x - 3, middle + 2), (x, middle + 4)]
            yield polyline([(x, foot[1] - 4), *zigzag, (x, head[1] + 4)], Layer.DIMENSION)
        yield Text((foot[0], foot[1] - 9.0), name, 2.5, anchor=anchor)
    for loop in _outlines(part):
        for run in _sawn(part, loop):
            yield polyline([at(*point) for point in run], Layer.CUT)
    if isinstance(hollow, Groove):
        yield from _axis_marks(part, hollow, at)


def _sawn(part: _Part, loop: Sequence[Point]) -> Iterator[list[Point]]:
    """An outline but for what runs along an edge of the piece or of the drawing, where nothing is cut."""
    piece = part.piece
    _, bottom, _, top = piece.trim.edges

    def edge(a: Point, b: Point) -> bool:
        sides = any(
            abs(p - s) < TOUCH and abs(q - s) < TOUCH for s in (part.low, part.high) for p, q in ((a[0], b[0]),)
        )
        levels = any(all(abs(y - piece.height(x, h)) < TOUCH for x, y in (a, b)) for h in (bottom, top))
        return sides or levels

    steps = list(pairwise([*loop, loop[0]]))
    breaks = [k for k, step in enumerate(steps) if edge(*step)]
    if not breaks:
        yield [*loop, loop[0]]
        return
    turned = steps[breaks[0] :] + steps[: breaks[0]]
    run: list[Point] = []
    for a, b in turned:
        if edge(a, b):
            if run:
                yield run
            run = []
        else:
            run = [*(run or [a]), b]
    if run:
        yield run


def _axis_marks(part: _Part, groove: Groove, at: Callable[[float, float], Point]) -> Iterator[Mark]:
    """The axis of a groove, as far as it lies on the back that is drawn."""
    from shapely import LineString, box

    points = [local(part.piece, groove.frame, place) for place in groove.axis]
    line = LineString([(station, height) for station, _, height in points])
    _, bottom, _, top = part.piece.trim.edges
    levels = [part.piece.height(s, h) for s in (part.low, part.high) for h in (bottom, top)]
    shown = line & box(part.low, min(levels) - AROUND / 3, part.high, max(levels) + AROUND / 3)
    for run in getattr(shown, "geoms", [shown]):
        if run.geom_type == "LineString" and not run.is_empty:
            yield polyline([at(float(x), float(y)) for x, y in run.coords], Layer.CENTRE)


def _section_marks(section: CutAcross, at: Callable[[float, float], Point]) -> Iterator[Mark]:
    """What is left, hatched, what is cut away, and its sizes from the lower edge and from the back."""
    left = [[at(*point) for point in loop] for loop in section.left]
    away = [[at(*point) for point in loop] for loop in section.away]
    for loop in left:
        outline = polyline(loop, Layer.SECTION, closed=True)
        yield Hatch(outline.segments, spacing=2.5)
        yield outline
    for loop in away:
        yield polyline(loop, Layer.CUT, closed=True)
    if not away:
        return
    cut, whole = [p for loop in away for p in loop], [p for loop in (*left, *away) for p in loop]
    (x0, x1), (y0, y1) = ((min(c), max(c)) for c in zip(*cut, strict=True))
    foot, head, front = min(y for _, y in whole), max(y for _, y in whole), max(x for x, _ in whole)
    yield Dimension((x0, head), (x1, head), 6.0, DimensionKind.HORIZONTAL)
    steps = [foot, *(y for y in (y0, y1) if y - foot > TOUCH)]
    for low, high in pairwise(steps):
        yield Dimension((front, low), (front, high), -7.0, DimensionKind.VERTICAL)
