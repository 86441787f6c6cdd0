"""The sizes by which a section is bought, cut, painted and glued, and what a size on a label can mean."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from trimwright.profile.outline import Arc, Outline, Point, Segment
from trimwright.profile.section import Section
from trimwright.tolerance import COINCIDENT, LABELLED, TOUCH

__all__ = ["Legs", "Measures", "face", "label_fits", "legs_from_face", "legs_from_label", "measure"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """Sizes in mm, area in mm², `centroid` in the profile's own frame.

    `face_width` is straight across the front, hypot(drop, projection). `girth` is the length round the face (see
    `face`). `spring_angle` is between wall and back of a sprung cornice, None for a section without a flat back.
    """

    drop: float
    projection: float
    face_width: float
    girth: float
    area: float
    centroid: Point
    spring_angle: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Legs:
    """The two lines to strike: `drop` down the wall and `projection` out on the ceiling."""

    drop: float
    projection: float


def measure(section: Section) -> Measures:
    """All sizes of a section by itself, covered as its kind is: see `_covers`."""
    outline = section.outline
    wall, ceiling, floor = _covers(section)
    back = section.flat_back
    spring = None
    if back is not None:
        spring = math.degrees(math.atan2(back.end[0] - back.start[0], back.end[1] - back.start[1]))
    return Measures(
        drop=section.drop,
        projection=section.projection,
        face_width=math.hypot(section.drop, section.projection),
        girth=sum(s.length for stretch in face(outline, wall, ceiling, floor) for s in stretch),
        area=outline.area,
        centroid=outline.centroid,
        spring_angle=spring,
    )


def face(
    outline: Outline, wall: float | None, ceiling: float | None, floor: float | None = None
) -> tuple[tuple[Segment, ...], ...]:
    """The stretches of an outline that are seen and painted, anticlockwise: what nothing covers or shuts in.

    `wall` is the out of the wall face, `ceiling` and `floor` their heights; None, or a surface that the outline
    does not touch, covers nothing. Going anticlockwise an outline meets the ceiling from front to back, the wall
    from top to bottom and the floor from back to front, so the face runs from the last touch of one to the first
    of another, and whatever lies between touches (a hollow back, the space behind a sprung crown) is shut in.
    """
    surfaces = [(1, ceiling), (0, wall), (1, floor)]
    pieces = [p for s in outline.segments for p in _parted(s, surfaces)]
    starts = [piece.start for piece in pieces]
    on = [
        [k for k, p in enumerate(starts) if level is not None and abs(p[axis] - level) <= TOUCH]
        for axis, level in surfaces
    ]
    on_ceiling, on_wall, on_floor = on
    if not any(on):
        return (outline.segments,)

    def pick(choose: Callable[..., int], touches: list[int], axis: int) -> int:
        return choose(touches, key=lambda k: starts[k][axis])

    leave = pick(max, on_floor, 0) if on_floor else pick(min, on_wall, 1) if on_wall else pick(min, on_ceiling, 0)
    reach = pick(max, on_ceiling, 0) if on_ceiling else pick(max, on_wall, 1) if on_wall else pick(min, on_floor, 0)
    count = (reach - leave) % len(pieces) or len(pieces)
    return (tuple(pieces[(leave + k) % len(pieces)] for k in range(count)),)


def legs_from_face(face_width: float, ratio: float = 1.0) -> Legs:
    """Drop and projection that give a face width at a ratio drop : projection; face = leg * sqrt(2) if equal."""
    projection = face_width / math.hypot(1.0, ratio)
    return Legs(drop=ratio * projection, projection=projection)


def legs_from_label(label: float, measures: Measures) -> dict[str, Legs]:
    """The lines that one size on a label gives, by what the label may mean: drop, projection, face width or girth.

    Wanted because a shop's label rarely says which it is. The section keeps its own proportions.
    """
    sizes = {
        "drop": measures.drop,
        "projection": measures.projection,
        "face width": measures.face_width,
        "girth": measures.girth,
    }
    return {
        meaning: Legs(drop=measures.drop * label / size, projection=measures.projection * label / size)
        for meaning, size in sizes.items()
    }


def label_fits(size: Sequence[float], measures: Measures) -> bool:
    """True if a label tells one of the section's sizes; two figures are drop and projection, whichever comes first."""
    if len(size) == 2:
        legs = sorted((measures.drop, measures.projection))
        return all(abs(a - b) <= LABELLED for a, b in zip(sorted(size), legs, strict=True))
    readings = (measures.drop, measures.projection, measures.face_width, measures.girth)
    return any(abs(size[0] - reading) <= LABELLED for reading in readings)


def _covers(section: Section) -> tuple[float | None, float | None, float | None]:
    """Wall, ceiling and floor that a kind of trim is fixed against: the edges of its own box, or None."""
    back, bottom, _, top = section.outline.bounds
    match section.kind:
        case "cornice":
            return (back, top, None)
        case "skirting":
            return (back, None, bottom)
        case "channel":
            # Hung, stood or fixed by its back: by itself nothing is known to cover it.
            return (None, None, None)
        case _:
            return (back, None, None)


def _parted(segment: Segment, surfaces: list[tuple[int, float | None]]) -> list[Segment]:
    """A segment parted where the middle of an arc touches a surface."""
    if not isinstance(segment, Arc):
        return [segment]
    touches = [
        p
        for p in segment.extremes()
        if min(math.dist(p, segment.start), math.dist(p, segment.end)) > COINCIDENT
        and any(level is not None and abs(p[axis] - level) <= TOUCH for axis, level in surfaces)
    ]
    touches.sort(key=lambda p: replace(segment, end=p).length)
    return [replace(segment, start=a, end=b) for a, b in pairwise([segment.start, *touches, segment.end])]
