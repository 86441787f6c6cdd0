"""All that is worth a picture: the room, every corner, the ceiling from below, the build-up drawn apart, the joints."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from trimwright.mesh.body import Body, Kind
from trimwright.picture.camera import View
from trimwright.picture.close_ups import joint_views
from trimwright.picture.draw import SIZE, draw_all
from trimwright.picture.viewpoints import HIGH, chosen_corner, corner_view, views
from trimwright.setout.piece import SetOut

__all__ = ["Shot", "album", "draw_album", "lowered_by"]

APART = 130.0
"""How much lower each trim of the build-up is shown than the one above it, mm."""

PLAN_FIELD = 11.0
"""Angle of view of the ceiling from below: from so far away that what stands upright hides little."""

MARGIN = 1.22
"""Part of the picture's width or height, over the room's own, that the ceiling is given."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """A view, and how the room is changed for it.

    Trims are `lowered` by mm; bodies of some kinds are left out; of the trims there is only one, if it is `alone`.
    """

    view: View
    lowered: Mapping[str, float] = field(default_factory=dict)
    without: frozenset[Kind] = frozenset()
    alone: str = ""

    def scene(self, bodies: Sequence[Body]) -> list[Body]:
        """The bodies as this shot shows them."""
        return [
            replace(body, vertices=body.vertices - (0.0, 0.0, self.lowered[body.trim]))
            if body.trim in self.lowered
            else body
            for body in bodies
            if body.kind not in self.without and (not self.alone or body.trim in ("", self.alone))
        ]


def album(set_out: SetOut, whole: bool = True) -> list[Shot]:
    """The two pictures that are made of every room, and if the `whole` album is wanted all others."""
    few = [Shot(view=view) for view in views(set_out)]
    return (
        few
        if not whole
        else [*few, *_corners(set_out, few[1].view), *_overhead(set_out), *_drawn_apart(set_out), *_joints(set_out)]
    )


def draw_album(bodies: Sequence[Body], shots: Sequence[Shot], size: tuple[int, int] = SIZE) -> dict[str, bytes]:
    """PNG bytes by view name; shots of the same room are drawn together."""
    alike: dict[tuple[object, ...], list[Shot]] = defaultdict(list)
    for shot in shots:
        alike[tuple(sorted(shot.lowered.items())), shot.without, shot.alone].append(shot)
    drawn: dict[str, bytes] = {}
    for group in alike.values():
        drawn |= draw_all(group[0].scene(bodies), [shot.view for shot in group], size)
    return {shot.view.name: drawn[shot.view.name] for shot in shots}


def lowered_by(set_out: SetOut) -> dict[str, float]:
    """How far each trim but the highest is lowered when they are drawn apart, the highest first."""
    order = sorted(set_out.trims, key=lambda trim: -trim.edges.top)
    return {trim.name: rank * APART for rank, trim in enumerate(order) if rank}


def _corners(set_out: SetOut, chosen: View) -> Iterator[Shot]:
    """The internal corners but the one that has its picture already."""
    for number, corner in enumerate(set_out.room.corners, 1):
        if corner and corner.internal and math.dist(corner.plan, chosen.target[:2]) > 1.0:
            left, right = (set_out.room.walls[k].name for k in (corner.left, corner.right))
            title = f"Up into corner {number}, {left} and {right}"
            yield Shot(view=corner_view(set_out, corner, f"corner-{number}", title))


def _overhead(set_out: SetOut) -> Iterator[Shot]:
    """The ceiling from below, its floor taken away; the room must have one."""
    room = set_out.room
    if not room.closed:
        return
    xs, ys = zip(*room.outline(1.0), strict=True)
    span = MARGIN * max(max(xs) - min(xs), (max(ys) - min(ys)) * SIZE[0] / SIZE[1])
    x, y = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
    away = span / 2 / math.tan(math.radians(PLAN_FIELD / 2))
    view = View(
        name="ceiling",
        title="The ceiling from below, as one lies on the floor and looks up: a plan in a mirror",
        eye=(x, y, room.ceiling - away),
        target=(x, y, room.ceiling),
        field=PLAN_FIELD,
    )
    yield Shot(view=view, without=frozenset({Kind.FLOOR}))


def _drawn_apart(set_out: SetOut) -> Iterator[Shot]:
    """The trims below the ceiling of the chosen corner, one under the other; one alone has no build-up."""
    high = [trim.name for trim in set_out.trims if trim.edges.bottom > set_out.room.ceiling - HIGH]
    lowered = lowered_by(set_out)
    drawn_out = max((lowered.get(name, 0.0) for name in high), default=0.0)
    if drawn_out:
        view = corner_view(set_out, chosen_corner(set_out), "apart", "The build-up drawn apart", drawn_out)
        yield Shot(view=view, lowered=lowered)


def _joints(set_out: SetOut) -> Iterator[Shot]:
    """Each with the other trims away: they may hang before it."""
    yield from (Shot(view=view, alone=trim) for trim, view in joint_views(set_out))
