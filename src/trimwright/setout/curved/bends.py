"""Bent pieces: how far a material bends, and the planes on which an arc meets what comes next.

A mitre between a bent and a straight piece is a plane through the points where their backs and their fronts meet.
Between those the faces do not meet exactly, since a concentric arc and a straight line are not mirror images; by how
much they miss each other is measured here, and eased or refused.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trimwright.errors import DoesNotFit
from trimwright.frame import AnyFrame, Bend, PlanPoint
from trimwright.profile.outline import Bounds
from trimwright.room import Room
from trimwright.setout.inclines import incline_on
from trimwright.setout.piece import Piece, Side, Trim
from trimwright.tolerance import COINCIDENT, TOUCH
from trimwright.units import Units

__all__ = ["Mitre", "bend_words", "check_bending", "end_station", "meeting", "mitre_of", "radii", "square_stop"]

Plane = tuple[float, float]
"""Station at out = 0 and station gained per mm out, as an `End` holds them."""


@dataclass(frozen=True, slots=True)
class Mitre:
    """One upright plane on which two pieces end, told in the frame of each; `miss`: how far their faces are apart."""

    before: Plane
    after: Plane
    miss: float


BETWEEN = 8
"""Parts of the projection at whose ends the two faces of a mitre are compared."""


def radii(bend: Bend, edges: Bounds) -> tuple[float, float]:
    """Radius of the back and of the front of a section bent along an arc."""
    return bend.radius_at(edges.back), bend.radius_at(edges.front)


def bend_words(piece: Piece, units: Units = Units.MM) -> str:
    """'bent: back to radius 2400, front to radius 2375'; nothing for a straight piece."""
    if piece.bend is None:
        return ""
    back, front = radii(piece.bend, piece.trim.edges)
    return f"bent: back to radius {units.written(back)}, front to radius {units.written(front)}"


def check_bending(trim: Trim, room: Room) -> None:
    """Raises DoesNotFit, with the choices, where a trim cannot be bent as asked."""
    for wall in (room.walls[k] for k in trim.walls if trim.bent):
        if wall.bend is None:
            continue
        what, material = f"trim '{trim.name}' on wall '{wall.name}'", trim.material
        if material.bends is None:
            raise DoesNotFit(
                f'{what}: {material.name} is not bent; choose curve = "segments", another material, or have it cast or'
                " carved to the curve"
            )
        least = material.bends * (trim.edges.front - trim.edges.back)
        tightest = min(radii(wall.bend, trim.edges))
        if tightest < least:
            raise DoesNotFit(
                f"{what}: {material.name} {trim.edges.front - trim.edges.back:g} wide bends to a radius of"
                f' {least:.0f} at the least, and {max(0.0, tightest):.0f} is asked of it; choose curve = "segments", a'
                " smaller projection or another material"
            )
        if incline_on(trim, room, wall.index) is not None:
            raise DoesNotFit(
                f"{what}: bent to the wall and along a ceiling out of level it would have to twist; choose"
                ' curve = "segments" or follow = "level"'
            )


def meeting(
    first: AnyFrame, second: AnyFrame, guess: tuple[float, float], outs: tuple[float, float]
) -> tuple[float, float] | None:
    """Stations on two faces at which the lines at `outs` from them cross, near a guess; None if they do not.

    Newton's method in the two stations. Lines that touch each other have no one crossing: where they already meet at
    the guess that is the answer.
    """
    s, t = guess
    for _ in range(30):
        (ax, ay), (bx, by) = first.plan(s, outs[0]), second.plan(t, outs[1])
        dx, dy = bx - ax, by - ay
        if math.hypot(dx, dy) < COINCIDENT / 10:
            return s, t
        (ux, uy), (vx, vy) = first.tangent(s).along, second.tangent(t).along
        ku, kv = first.scale(outs[0]), second.scale(outs[1])
        sine = ux * vy - uy * vx
        if abs(sine) < COINCIDENT or abs(ku) < COINCIDENT or abs(kv) < COINCIDENT:
            return None
        s += (dx * vy - dy * vx) / sine / ku
        t += (dx * uy - dy * ux) / sine / kv
    return None


def mitre_of(before: AnyFrame, after: AnyFrame, guess: tuple[float, float], edges: Bounds) -> Mitre | None:
    """The mitre of two pieces through the points where their backs and their fronts meet; None if they do not."""
    back = meeting(before, after, guess, (edges.back, edges.back))
    front = meeting(before, after, back or guess, (edges.front, edges.front))
    if back is None or front is None:
        return None
    a, b = before.plan(back[0], edges.back), before.plan(front[0], edges.front)
    outs = [edges.back + (edges.front - edges.back) * k / BETWEEN for k in range(1, BETWEEN)]
    miss = max(
        math.dist(before.plan(_crossed(before, a, b, o), o), after.plan(_crossed(after, a, b, o), o)) for o in outs
    )
    return Mitre(_plane(back[0], front[0], edges), _plane(back[1], front[1], edges), miss)


def _plane(back: float, front: float, edges: Bounds) -> Plane:
    slope = (front - back) / (edges.front - edges.back)
    return back - slope * edges.back, slope


def square_stop(own: AnyFrame, other: AnyFrame, guess: tuple[float, float], edges: Bounds, side: Side) -> float:
    """Station of the square cut nearest the face of another wall that clears it, where either of them is an arc."""
    found = [meeting(own, other, guess, (out, 0.0)) for out in (edges.back, edges.front)]
    stations = [guess[0], *(pair[0] for pair in found if pair is not None)]
    return max(stations) if side is Side.LEFT else min(stations)


def end_station(piece: Piece, side: Side, outs: Sequence[float]) -> list[float]:
    """Stations at which the end plane of a piece crosses the lines at these distances out, exactly."""
    end, (back, _, front, _) = piece.end(side), piece.trim.edges
    if piece.bend is None or abs(end.slope) < TOUCH * TOUCH:
        return [end.at(out) for out in outs]
    a, b = (piece.frame.plan(end.at(out), out) for out in (back, front))
    return [_crossed(piece.frame, a, b, out) for out in outs]


def _crossed(frame: AnyFrame, a: PlanPoint, b: PlanPoint, out: float) -> float:
    """Station at which the plan line a-b crosses the line at a distance out; of two places the one nearer to it."""
    (s0, o0), (s1, o1) = frame.locate(a), frame.locate(b)
    part = (out - o0) / (o1 - o0)
    if not isinstance(frame, Bend):
        return s0 + part * (s1 - s0)
    px, py = a[0] - frame.centre[0], a[1] - frame.centre[1]
    dx, dy = b[0] - a[0], b[1] - a[1]
    # |p + t d| = r: (d.d) t^2 + 2 (p.d) t + p.p - r^2 = 0
    square, half = dx * dx + dy * dy, px * dx + py * dy
    root = math.sqrt(max(0.0, half * half - square * (px * px + py * py - frame.radius_at(out) ** 2)))
    t = min(((-half + sign * root) / square for sign in (-1, 1)), key=lambda t: abs(t - part))
    return frame.locate((a[0] + t * dx, a[1] + t * dy))[0]
