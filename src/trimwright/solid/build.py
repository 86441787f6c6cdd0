"""From a piece to its exact solid in the room: a bar between its end planes, less its notches and copes.

A piece without notch or cope needs no boolean. One that has them gets a single cut with all its cutting bodies,
and never meets another piece's, so a room takes the time of its pieces and no more.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import cadquery as cq
from OCP.BRep import BRep_Tool

from trimwright.errors import GeometryError
from trimwright.profile.outline import Line, Segment
from trimwright.profile.silhouette import behind_silhouette
from trimwright.setout.cutouts.slots import notch_loop
from trimwright.setout.piece import End, Incline, Joint, Notch, Piece, SetOut, Side
from trimwright.setout.volume import swept_volume
from trimwright.solid.bar import bar
from trimwright.solid.bent import bent_bar, exact_volume, frame_location
from trimwright.solid.hollow import hollow_bodies
from trimwright.solid.incline import long_bar, plumb_end
from trimwright.solid.section import EndPlane
from trimwright.tolerance import BENT_VOLUME_PART, COMMON_VOLUME, EASED, OVERCUT, SHAVING, TOUCH, VOLUME_PART

__all__ = ["bar_volume", "frame_location", "keep_out", "notch_body", "piece_solid", "room_solids", "thickness"]

GRAZING = (1e-5, 1e-4)
"""Points this near each other (mm) are one, for cuts in which the kernel's own 1e-7 fails."""

NOTHING = 1e-9
"""A cut that takes away no more than this part of a volume was none: the kernel's sums differ by 1e-12 or so."""

Progress = Callable[[int, int], None]


def room_solids(set_out: SetOut, progress: Progress | None = None) -> dict[str, cq.Solid]:
    """Every piece's solid by its id, in the order of the set-out; `progress` is told (done, all) after each.

    Raises GeometryError naming the piece if a solid is not one closed valid body of the volume it should have.
    """
    solids: dict[str, cq.Solid] = {}
    for piece in set_out.pieces:
        solids[piece.id] = piece_solid(piece, set_out)
        if progress:
            progress(len(solids), len(set_out.pieces))
    return solids


def piece_solid(piece: Piece, set_out: SetOut) -> cq.Solid:
    """The piece as it leaves the bench, in room coordinates: x and y of the plan, z the height above the floor.

    Raises GeometryError naming the piece if the kernel cannot make it, or makes something else of it.
    """
    ends = [_cut_plane(piece, side) for side in Side]
    if piece.incline is not None:
        return _inclined(piece, piece.incline, ends, set_out)
    volume = bar_volume(piece, *ends)
    if piece.bend is not None:
        body = bent_bar(piece, piece.bend)
        _check(piece, body, volume)
    else:
        try:
            body = bar(piece.trim.outline, *ends).moved(frame_location(piece.frame.tangent(0.0)))
        except GeometryError as fault:
            raise GeometryError(f"piece {piece.id}: {fault}") from None
    tools = _tools(piece, set_out)
    if tools:
        return _cut(piece, body, tools, volume)
    _check(piece, body, volume)
    return body


def _tools(piece: Piece, set_out: SetOut) -> list[cq.Solid]:
    """All that is cut from a piece between its ends, in room coordinates."""
    tools = [notch_body(notch, piece) for notch in piece.notches]
    tools += [body for hollow in piece.hollows for body in hollow_bodies(hollow, piece)]
    return tools + [keep_out(piece, side, set_out.piece(mate)) for side, mate in _copes(piece)]


def _inclined(piece: Piece, incline: Incline, ends: list[EndPlane], set_out: SetOut) -> cq.Solid:
    """A piece along a slope: a bar longer than needed, less what lies beyond its plumb ends, its notches and copes."""
    back, bottom, front, top = piece.trim.edges
    low = min(ends[0].at(out) for out in (back, front))
    high = max(ends[1].at(out) for out in (back, front))
    body = long_bar(piece.trim.outline, incline, low, high)
    reached = [incline.height(s, h) for s in (low, high) for h in (bottom, top)]
    spare = 2 * abs(incline.rise) * (abs(top - incline.pivot) + abs(bottom - incline.pivot)) + 10 * OVERCUT
    heights = (min(reached) - spare, max(reached) + spare)
    trimming = [plumb_end(end, side, (back, front), heights, spare) for end, side in zip(ends, Side, strict=True)]
    volume = bar_volume(piece, *ends)
    bodies = body.cut(*trimming).Solids()
    if len(bodies) != 1:
        raise GeometryError(f"piece {piece.id}: its plumb ends leave {len(bodies)} bodies instead of one")
    _check(piece, bodies[0], volume)
    tools = _tools(piece, set_out)
    whole = bodies[0].moved(frame_location(piece.frame.tangent(0.0)))
    return _cut(piece, whole, tools, volume) if tools else whole


def bar_volume(piece: Piece, left: EndPlane | End, right: EndPlane | End) -> float:
    """Volume between two end planes, mm³: area of the section times the length, along the piece, at its centroid.

    Pappus and Guldin's theorem for a straight path; oblique ends change nothing, since what they take from one
    side of the centroid they give to the other. A bent piece always ends on its own end planes.
    """
    if piece.bend is not None:
        return swept_volume(piece)
    outline = piece.trim.outline
    out, _ = outline.centroid
    return outline.area * (right.at(out) - left.at(out)) * piece.stretch


def notch_body(notch: Notch, piece: Piece) -> cq.Solid:
    """What a notch takes away, in room coordinates: a U or a hole in plan, from its bottom to its top.

    It reaches past the edge it is open to, and past the section's bottom and top where the notch goes through.
    """
    edges = piece.trim.edges
    _, bottom, _, top = edges
    # An inclined piece is cut plumb over all the heights it reaches within the slot, and past them.
    reached = [piece.height(station, h) for station in notch.sides for h in (bottom, top)]
    low = min(reached) - OVERCUT if notch.bottom <= bottom + TOUCH else notch.bottom
    high = max(reached) + OVERCUT if notch.top >= top - TOUCH else notch.top
    wire = cq.Wire.assembleEdges([_edge(part, low) for part in notch_loop(piece, notch)])
    slot = cq.Solid.extrudeLinear(cq.Face.makeFromWires(wire), cq.Vector(0, 0, high - low))
    return slot.moved(frame_location(piece.frame.tangent(notch.station)))


def _edge(part: Segment, height: float) -> cq.Edge:
    """A line or an arc of a plan as an edge at a height."""
    points = [cq.Vector(*part.start, height), cq.Vector(*part.end, height)]
    if isinstance(part, Line):
        return cq.Edge.makeLine(*points)
    return cq.Edge.makeThreePointArc(points[0], cq.Vector(*part.middle, height), points[1])


def keep_out(piece: Piece, side: Side, mate: Piece) -> cq.Solid:
    """What a mate covers at one end of a piece coped over it, in room coordinates.

    All that lies behind the mate's front silhouette N(height), carried along the mate past both sides of the
    end, so that what is left ends at L - (N(v) + o cos C) / sin C.
    """
    points = [mate.frame.locate(place) for place in _end_plan(piece, side, mate)]
    stations, outs = [p[0] for p in points], [p[1] for p in points]
    depth = max(0.0, mate.trim.edges.back - min(outs)) + OVERCUT
    sloped = mate.incline is not None or piece.incline is not None
    covered = behind_silhouette(mate.trim.outline, depth, OVERCUT + EASED if sloped else 0.0)
    low, high = min(stations) - OVERCUT, max(stations) + OVERCUT
    if mate.incline is None:
        body = bar(covered, EndPlane(low), EndPlane(high))
    else:
        body = long_bar(covered, mate.incline, low, high)
    return body.moved(frame_location(mate.frame.tangent(0.0)))


def _copes(piece: Piece) -> Iterator[tuple[Side, str]]:
    """The coped ends of a piece with the mate of each."""
    for side in Side:
        end = piece.end(side)
        if end.joint is Joint.COPE:
            if end.mate is None:
                raise GeometryError(f"piece {piece.id}: its {side} end is coped but no mate is named")
            yield side, end.mate


def _cut_plane(piece: Piece, side: Side) -> EndPlane:
    """The plane at which the bar ends before any cut.

    A cope starts from a square end that reaches past its mitre: the mitre plane, the mate's face and the
    piece's own face run through one curve, which a boolean is better spared.
    """
    end = piece.end(side)
    if end.joint is not Joint.COPE:
        return EndPlane(end.station, end.slope)
    reach = [end.at(out) for out in (piece.trim.edges.back, piece.trim.edges.front)]
    return EndPlane(min(reach) - OVERCUT if side is Side.LEFT else max(reach) + OVERCUT)


def _end_plan(piece: Piece, side: Side, mate: Piece) -> list[tuple[float, float]]:
    """Plan corners of the part of a piece that a cope may take away.

    Along the piece it runs from the bar's end to as far behind the mitre as the cope can reach, the whole
    projection / sin C (see `keep_out`: cope less mitre is (N - o) / sin C).
    """
    back, _, front, _ = piece.trim.edges
    end, last = piece.end(side), _cut_plane(piece, side).station
    (ax, ay), (bx, by) = piece.frame.tangent(0.0).along, mate.frame.tangent(0.0).along
    sine = abs(ax * by - ay * bx)
    if sine < TOUCH:
        raise GeometryError(f"piece {piece.id}: it is coped onto {mate.id}, which runs in the same direction")
    behind = (mate.trim.edges.front - mate.trim.edges.back) / sine
    mitre = [end.at(out) for out in (back, front)]
    first = max(mitre) + behind if side is Side.LEFT else min(mitre) - behind
    return [piece.frame.plan(station, out) for station in (first, last) for out in (back, front)]


def _cut(piece: Piece, whole: cq.Solid, tools: list[cq.Solid], volume: float) -> cq.Solid:
    """The bar, of a known volume, less all its cutting bodies, in one boolean if the kernel can."""
    faults = []
    for left in _less(whole, tools):
        bodies = sorted(left.Solids(), key=lambda body: -body.Volume())
        try:
            besides = sum(body.Volume() for body in bodies[1:] if thickness(body) > SHAVING)
            if not bodies or besides > _falls_away(piece):
                raise GeometryError(f"piece {piece.id}: its notches and copes leave {len(bodies)} bodies not one")
            _check(piece, bodies[0], less_than=volume * (1 - NOTHING))
            if len(tools) > 1 and bodies[0].intersect(*tools).Volume() > COMMON_VOLUME:
                raise GeometryError(f"piece {piece.id}: the kernel left some of what its notches and copes take away")
        except GeometryError as fault:
            faults.append(fault)
        else:
            return bodies[0]
    raise faults[0]


def _less(whole: cq.Solid, tools: list[cq.Solid]) -> Iterator[cq.Shape]:
    """A body less its tools: all at once, one after the other, and with points a little apart taken for one.

    Parts of a groove touch each other along whole faces, which the kernel may lose track of all at once. Where an edge
    of a tool grazes one of the bar it may leave this as it was, unless it is told to be less exact.
    """
    yield whole.cut(*tools)
    if len(tools) > 1:
        left: cq.Shape = whole
        for tool in tools:
            left = left.cut(tool)
        yield left
    for tolerance in GRAZING:
        yield whole.cut(*tools, tol=tolerance)


def thickness(body: cq.Shape) -> float:
    """How thick a flat body is, mm: twice its volume over its surface."""
    return float(2 * body.Volume() / body.Area())


def _falls_away(piece: Piece) -> float:
    """What may come off a piece besides shavings, mm³: beyond a slot close to a slanting end what lies in the slant.

    Shavings are what a cope leaves of a face that it grazes, such as a step of a cornice on a slight slope.
    """
    edges = piece.trim.edges
    return piece.trim.outline.area * (edges.front - edges.back) if piece.cuts else COMMON_VOLUME


def _check(piece: Piece, solid: cq.Solid, volume: float | None = None, less_than: float = math.inf) -> None:
    """Raise GeometryError unless a solid is valid, closed, and of the volume it should have, if known."""
    if not solid.isValid() or not all(BRep_Tool.IsClosed_s(shell.wrapped) for shell in solid.Shells()):
        raise GeometryError(f"piece {piece.id}: the kernel made no valid closed solid of it")
    actual = exact_volume(solid) if piece.bend is not None else solid.Volume()
    part = VOLUME_PART if piece.bend is None else BENT_VOLUME_PART
    if volume is not None and abs(actual - volume) > part * volume:
        raise GeometryError(f"piece {piece.id}: its solid has {actual:.1f} mm³ instead of {volume:.1f} mm³")
    if not 0 < actual < less_than:
        raise GeometryError(
            f"piece {piece.id}: its solid has {actual:.1f} mm³, which its notches and copes cannot leave"
        )
