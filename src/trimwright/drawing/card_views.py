"""The pictures on a cutting card: saw and stock from above, from the left and from the front, at their true angles.

All are drawn in saw millimetres from the point where bed, fence and blade meet: x right, y away, z up.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trimwright.drawing.arrises import arrises
from trimwright.drawing.font import text_width
from trimwright.drawing.marks import Anchor, Fill, Hatch, Layer, Mark, Path, Text, dot, polyline
from trimwright.profile.outline import Arc, Line, Point, Segment
from trimwright.saw.order import Cut
from trimwright.saw.plane import opposite, plane_of
from trimwright.setout.piece import Side
from trimwright.tolerance import TOUCH
from trimwright.units import Units

__all__ = ["Bench", "bench_of", "from_above", "from_the_front", "from_the_left"]

ARM, HAND = 22.0, 19.0
"""From the fence to the handle of the arm, paper mm; so far is a handsaw drawn, which has none."""

DEEPEST = 14.0
"""The stock is drawn at most this deep in the view from above, paper mm."""

WIDEST = 20.0
"""The cut may run this far along the fence, paper mm: sharper cuts are drawn smaller."""

BAR = 0.9
"""Width of the blade as drawn, paper mm; it lies wholly on the waste side."""


@dataclass(frozen=True, slots=True)
class Bench:
    """A cut as it stands at the saw. `section` are the points (y, z) of the stock, `cut` and `far` the x of each
    point on the blade's plane and on the other end; `far` is None while the other end is still the bar. `by_hand`: the
    blade is a handsaw's. `marked`: the length is marked on the stock, there is no stop block. `long` is the index of
    the long point, `sharp` those of the arrises.
    """

    swing: float
    lean: float
    kept_left: bool
    section: tuple[Point, ...]
    cut: tuple[float, ...]
    far: tuple[float, ...] | None
    stop: float | None
    by_hand: bool
    marked: bool
    long: int
    sharp: frozenset[int]
    on_bed: str
    against_fence: str

    @property
    def depth(self) -> float:
        """How far the stock reaches out from the fence."""
        return -min(y for y, _ in self.section)

    @property
    def height(self) -> float:
        """How far it reaches up from the bed."""
        return max(z for _, z in self.section)


def bench_of(cut: Cut, freeing: bool = False) -> Bench:
    """A cut with its stock laid and its blade set as printed.

    A return that is cut free must not be caught between blade and stop: its length is marked, no stop is set. So is
    that of what is cut by hand.
    """
    setting, piece = cut.setting, cut.piece
    points = piece.trim.outline.points(0.2)
    holding, blade = setting.holding, setting.printed
    foot, sign = holding.foot(points), holding.turn[0][0]
    section = tuple(holding.lying(p, foot) for p in points)
    nx, ny, nz = blade.normal
    plane, other = plane_of(piece, setting.end), plane_of(piece, opposite(setting.end))
    start = plane.at(foot)
    outwards = 1.0 if setting.end is Side.RIGHT else -1.0
    reach = [outwards * plane.at(p) for p in points]
    return Bench(
        swing=blade.swing,
        lean=blade.lean,
        kept_left=blade.kept is Side.LEFT,
        section=section,
        cut=tuple(-(ny * y + nz * z) / nx for y, z in section),
        far=None if cut.first else tuple(sign * (other.at(p) - start) for p in points),
        stop=None if cut.first else setting.stop,
        by_hand=setting.by_hand,
        marked=freeing or setting.by_hand,
        long=reach.index(max(reach)),
        sharp=frozenset(points.index(p) for p in arrises(piece.trim.outline)),
        on_bed=setting.on_bed,
        against_fence=setting.against_fence,
    )


def above_scale(bench: Bench) -> float:
    """Paper mm per saw mm of the view from above."""
    wide = bench.depth * abs(math.tan(math.radians(bench.swing))) + bench.height * abs(
        math.tan(math.radians(bench.lean))
    )
    return min(DEEPEST / bench.depth, WIDEST / max(wide, TOUCH), 1.0)


def from_above(bench: Bench, name: str, half: float, units: Units = Units.MM) -> tuple[tuple[Mark, ...], float]:
    """The view from above and its scale; `half` is half the width that is seen, paper mm."""
    scale = above_scale(bench)
    reach, unit = half / scale, 1 / scale
    side = -1.0 if bench.kept_left else 1.0
    near = _edge(bench, bench.cut, rightmost=bench.kept_left)
    if bench.far is None:
        far = [(side * 1.2 * reach, y) for _, y in near]
    else:
        far = [(max(-1.2 * reach, min(1.2 * reach, x)), y) for x, y in _edge(bench, bench.far, not bench.kept_left)]
    waste = [(-side * 1.2 * reach, near[-1][1]), (-side * 1.2 * reach, near[0][1])]
    kept_loop, waste_loop = _loop([*near, *reversed(far)]), _loop([*near, *waste])
    blade = tuple(_blade_from_above(bench, unit))
    marks: list[Mark] = [*_saw_from_above(bench, reach, unit), *(blade if bench.lean else ())]
    marks += [Fill(kept_loop, Layer.TRIM, 1.0), Fill(waste_loop, Layer.TRIM, 1.0)]
    marks.append(Hatch(waste_loop, Layer.CUT, angle=45.0 if side < 0 else -45.0, spacing=1.6))
    marks += [Path(waste_loop, Layer.TRIM, True), *_arrises_from_above(bench, side * 1.2 * reach)]
    marks += [Path(kept_loop, Layer.SECTION, True)]
    if not bench.lean:
        marks += blade
    else:
        outline = [(x, y) for x, (y, _) in zip(bench.cut, bench.section, strict=True)]
        marks.append(polyline(outline, Layer.DIMENSION, closed=True))
    marks += _words_from_above(bench, name, near, (reach, unit), units)
    return tuple(marks), scale


def _saw_from_above(bench: Bench, reach: float, unit: float) -> Iterator[Mark]:
    """Fence, front of the bed, and the line square to the fence."""
    fence = [(-1.2 * reach, 0.0), (1.2 * reach, 0.0), (1.2 * reach, 2.2 * unit), (-1.2 * reach, 2.2 * unit)]
    yield Fill(_loop(fence), Layer.WALL, 0.8)
    yield polyline(fence, Layer.WALL, closed=True)
    front = -(DEEPEST + 2.5) * unit
    yield polyline([(-1.2 * reach, front), (1.2 * reach, front)], Layer.OPENING)
    yield polyline([(0.0, 3.5 * unit), (0.0, -(HAND if bench.by_hand else ARM) * unit)], Layer.CENTRE)


def _blade_from_above(bench: Bench, unit: float) -> Iterator[Mark]:
    """Blade and arm with its handle, and the arc through which it is swung; a handsaw's blade ends past the cut."""
    swing = math.radians(bench.swing)
    along, across = (math.sin(swing), -math.cos(swing)), (math.cos(swing), math.sin(swing))
    waste = BAR * unit * (1.0 if bench.kept_left else -1.0)
    length = bench.depth / math.cos(swing) + (2 if bench.by_hand else 4) * unit
    length = length if bench.by_hand else max(ARM * unit, length)
    start, end = (-4.0 * unit * along[0], -4.0 * unit * along[1]), (length * along[0], length * along[1])
    corners = [start, end, _step(end, across, waste), _step(start, across, waste)]
    yield Fill(_loop(corners), Layer.CUT, 0.0)
    if not bench.by_hand:
        handle = dot(_step(end, across, waste / 2), 1.8 * unit, Layer.SECTION)
        yield Fill(handle.segments, Layer.CUT, 0.0)
    if abs(bench.swing) >= 3:
        yield from _arc_arrow(
            (0.0, 0.0), 0.86 * (HAND if bench.by_hand else ARM) * unit, -90.0, -90.0 + bench.swing, 1.8 * unit
        )


def _words_from_above(
    bench: Bench, name: str, near: Sequence[Point], half: tuple[float, float], units: Units
) -> Iterator[Mark]:
    """The name on the kept part, WASTE on the rest, the long point, and the distance to the stop along the fence."""
    side, (reach, unit) = -1.0 if bench.kept_left else 1.0, half
    middle = sum(x for x, _ in near) / len(near)
    level = -bench.depth / 2
    far = side * reach if bench.far is None else sum(bench.far) / len(bench.far)
    kept = (middle + max(-reach, min(reach, far))) / 2
    kept = side * max(7 * unit, side * kept)
    long_part = -bench.section[bench.long][0] / bench.depth
    at_fence = long_part < 0.5
    clear = 0.62 if long_part < 0.35 else 0.38 if long_part > 0.65 else 0.78
    level = -bench.depth * (clear if bench.swing or bench.lean else 0.5)
    yield Text((kept, level), name, 5.0, Layer.LABEL, Anchor.MIDDLE, ground=True)
    yield Text(((middle - side * reach) / 2, level), "WASTE", 3.5, Layer.LABEL, Anchor.MIDDLE, ground=True)
    if bench.swing or bench.lean:
        place = (bench.cut[bench.long], bench.section[bench.long][0])
        yield Fill(dot(place, 1.1 * unit, Layer.SECTION).segments, Layer.CUT, 0.0)
        anchor = {
            (True, True): Anchor.TOP_RIGHT,
            (True, False): Anchor.BASE_RIGHT,
            (False, True): Anchor.TOP_LEFT,
            (False, False): Anchor.BASE_LEFT,
        }[(bench.kept_left, at_fence)]
        shift = (2.0 * side * unit, (-0.9 if at_fence else 0.9) * unit)
        yield Text(_step(place, shift, 1.0), "long", 2.5, Layer.LABEL, anchor, ground=True)
    if bench.stop is not None:
        at = side * bench.stop
        seen = max(-0.97 * reach, min(0.97 * reach, at))
        level = 4.2 * unit
        yield polyline([(0.0, level), (seen, level)], Layer.LABEL)
        yield polyline([(0.0, level - unit), (0.0, level + unit)], Layer.LABEL)
        barb = seen - side * 2 * unit
        tip = [(seen, level), (barb, level + 0.7 * unit), (barb, level - 0.7 * unit)]
        yield Fill(_loop(tip), Layer.LABEL, 0.0)
        words = f"{'mark' if bench.marked else 'stop'} {units.read(bench.stop)}"
        # In the middle of its line, or so much nearer the blade that it ends inside the picture.
        middle = min(0.48 * reach, reach - (text_width(words, 3.5) / 2 + 1.5) * unit)
        yield Text((side * middle, level + 1.5 * unit), words, 3.5, Layer.LABEL, Anchor.BASE)
        if abs(at) < reach and not bench.marked:
            block = [(at, 0.0), (at, -6 * unit), (at + side * 2 * unit, -6 * unit), (at + side * 2 * unit, 0.0)]
            yield Fill(_loop(block), Layer.LABEL, 0.0)


def _arrises_from_above(bench: Bench, far: float) -> Iterator[Mark]:
    """Sharp edges of the stock that are seen from above, along the kept part."""
    for k in sorted(bench.sharp):
        y, z = bench.section[k]
        if z >= _top(bench.section, y) - TOUCH:
            end = far if bench.far is None else max(-abs(far), min(abs(far), bench.far[k]))
            yield polyline([(bench.cut[k], y), (end, y)], Layer.DIMENSION)


def from_the_left(bench: Bench, width: float, height: float) -> tuple[tuple[Mark, ...], float]:
    """The section as it lies, seen from the left end of the saw: fence on the left, bed below; and the scale."""
    scale = min(width / bench.depth, height / bench.height, 1.0)
    unit = 1 / scale
    outline = _loop([(-y, z) for y, z in bench.section])
    right, top = bench.depth + 5 * unit, bench.height + 2.5 * unit
    saw = [(right, 0.0), (0.0, 0.0), (0.0, top), (-2.0 * unit, top), (-2.0 * unit, -2.0 * unit), (right, -2.0 * unit)]
    foot = -2.0 * unit if text_width(bench.against_fence, 2.5) < top * scale else -5.5 * unit
    marks: list[Mark] = [
        Fill(_loop(saw), Layer.WALL, 0.8),
        polyline(saw, Layer.WALL, closed=True),
        Hatch(outline, angle=45.0, spacing=1.6),
        Path(outline, Layer.SECTION, True),
        Text(((right - 2 * unit) / 2, -2.9 * unit), bench.on_bed, 2.5, Layer.LABEL, Anchor.TOP),
        Text((-2.8 * unit, foot), bench.against_fence, 2.5, Layer.LABEL, Anchor.BASE_LEFT, 90.0),
    ]
    return tuple(marks), scale


def from_the_front(bench: Bench, width: float, height: float) -> tuple[tuple[Mark, ...], float]:
    """Bed, stock and the leaning blade, seen by the one who stands at the saw; and the scale."""
    tangent = math.tan(math.radians(bench.lean))
    scale = min(0.55 * height / bench.height, 0.25 * width / max(bench.height * abs(tangent), TOUCH), 1.0)
    unit = 1 / scale
    half, top = 0.5 * width * unit, bench.height
    side = -1.0 if bench.kept_left else 1.0
    ends = [(0.0, 0.0), (-tangent * top, top)]
    kept = _loop([*ends, (side * half, top), (side * half, 0.0)])
    waste = _loop([*ends, (-side * half, top), (-side * half, 0.0)])
    bed = _loop([(-half, 0.0), (half, 0.0), (half, -2.0 * unit), (-half, -2.0 * unit)])
    long = 0.88 * height * unit
    tip = (-math.sin(math.radians(bench.lean)) * long, math.cos(math.radians(bench.lean)) * long)
    bar = (-side * BAR * unit, 0.0)
    blade = _loop([(0.0, 0.0), tip, _step(tip, bar, 1.0), bar])
    marks: list[Mark] = [
        Fill(bed, Layer.WALL, 0.8),
        Path(bed, Layer.WALL, True),
        Hatch(waste, Layer.CUT, angle=45.0 if side < 0 else -45.0, spacing=1.6),
        Path(waste, Layer.TRIM, True),
        Path(kept, Layer.SECTION, True),
        polyline([(0.0, 0.0), (0.0, 0.95 * height * unit)], Layer.CENTRE),
        Fill(blade, Layer.CUT, 0.0),
        *_arc_arrow((0.0, 0.0), 0.8 * height * unit, 90.0, 90.0 + bench.lean, 1.8 * unit),
    ]
    return tuple(marks), scale


def _edge(bench: Bench, xs: Sequence[float], rightmost: bool) -> list[Point]:
    """The end of the stock as its outermost line from above, from the fence to the front: the greatest (or least) x."""
    sign = 1.0 if rightmost else -1.0
    loop = [(y, sign * x) for x, (y, _) in zip(xs, bench.section, strict=True)]
    levels = sorted({round(y, 6) for y, _ in loop}, reverse=True)
    return [(sign * _top(loop, y), y) for y in levels]


def _top(loop: Sequence[Point], level: float) -> float:
    """The greatest second coordinate of a polygon where the first is `level`."""
    found = []
    for (a, u), (b, v) in zip(loop, [*loop[1:], loop[0]], strict=True):
        if min(a, b) - TOUCH <= level <= max(a, b) + TOUCH:
            part = 0.0 if abs(b - a) <= TOUCH else min(1.0, max(0.0, (level - a) / (b - a)))
            found += [u, v] if abs(b - a) <= TOUCH else [u + part * (v - u)]
    return max(found)


def _arc_arrow(centre: Point, radius: float, start: float, end: float, head: float) -> Iterator[Mark]:
    """An arc from one direction to another (degrees) with a solid arrowhead."""
    a, b = _polar(centre, radius, start), _polar(centre, radius, end)
    yield Path((Arc(a, b, centre, end < start),), Layer.LABEL)
    way = math.radians(end + (90 if end > start else -90))
    back = (b[0] - head * math.cos(way), b[1] - head * math.sin(way))
    wide = (-0.4 * head * math.sin(way), 0.4 * head * math.cos(way))
    yield Fill(_loop([b, _step(back, wide, 1.0), _step(back, wide, -1.0)]), Layer.LABEL, 0.0)


def _polar(centre: Point, radius: float, angle: float) -> Point:
    turn = math.radians(angle)
    return (centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn))


def _step(point: Point, direction: Point, length: float) -> Point:
    return (point[0] + length * direction[0], point[1] + length * direction[1])


def _loop(points: Sequence[Point]) -> tuple[Segment, ...]:
    return tuple(Line(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True))
