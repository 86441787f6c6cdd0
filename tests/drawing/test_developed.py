"""Unrolled cuts: wrapped back onto the piece they lie on it, and along its cut."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from example_rooms import EXAMPLE_NAMES, example_set_out
from trimwright.drawing.developed.groups import end_templates, slot_templates
from trimwright.drawing.developed.lines import Marked, cut_line, slot_outlines
from trimwright.drawing.developed.sheets import developed_templates, unrolled
from trimwright.drawing.developed.strip import Strip, strip_of
from trimwright.drawing.marks import Drawing, Group, Layer, Mark, Path, Text
from trimwright.drawing.sheet import Sheet
from trimwright.mesh.piece import piece_meshes
from trimwright.mesh.shape import Mesh
from trimwright.profile.measures import measure
from trimwright.profile.silhouette import front_silhouette
from trimwright.setout.piece import Joint, Piece, SetOut, Side
from trimwright.tolerance import CHORD, OPEN_JOINT

Points = NDArray[np.float64]

NO_TEMPLATE = {Joint.SQUARE}


def marked_ends(set_out: SetOut) -> Iterator[tuple[Piece, Side, Strip, list[Marked]]]:
    """Every end that wants a template, with the line for itself."""
    strips = {trim.name: strip_of(trim) for trim in set_out.trims}
    for piece in set_out.pieces:
        for side in Side:
            end = piece.end(side)
            if end.joint not in NO_TEMPLATE and piece.bend is None:
                mate = set_out.piece(end.mate) if end.mate else None
                strip = strips[piece.trim.name]
                yield piece, side, strip, cut_line(piece, side, strip, mate)


def bridged(strip: Strip, girth: float) -> bool:
    """True where the paper spans a slot and lies on nothing."""
    return any(s.bridge and s.girth + CHORD < girth < s.girth_at(1.0) - CHORD for s in strip.stretches)


def wrapped(piece: Piece, points: list[Marked], shift: float = 0.0) -> Points:
    """Points of the paper on the piece in the room, moved along the piece by `shift`.

    On a slope of angle t a point s along and v above the pivot lies s cos t - v sin t along the wall, and
    s sin t + v cos t above where the slope starts.
    """
    if piece.incline is None:
        return np.array([piece.frame.room_point(p.station + shift, p.out, p.height) for p in points])
    turn, start = math.atan(piece.incline.rise), piece.incline.pivot + piece.incline.lift
    room = []
    for p in points:
        s, v = p.station + shift, p.height - piece.incline.pivot
        station = s * math.cos(turn) - v * math.sin(turn)
        room.append(piece.frame.room_point(station, p.out, start + s * math.sin(turn) + v * math.cos(turn)))
    return np.array(room)


def distances(points: Points, mesh: Mesh) -> NDArray[np.float64]:
    """Distance of each point from the surface of a mesh, by trimesh's nearest point of a triangle."""
    from trimesh.triangles import closest_point

    triangles = mesh.triangles
    count = len(triangles)
    nearest = closest_point(np.tile(triangles, (len(points), 1, 1)), np.repeat(points, count, axis=0))
    gaps = np.linalg.norm(nearest - np.repeat(points, count, axis=0), axis=1)
    return np.asarray(gaps.reshape(len(points), count).min(axis=1))


def test_marked_points_lie_on_the_plane_of_the_cut(example: SetOut) -> None:
    """Wrapped back, all points of a mitre, return or scarf lie in one upright plane, that of the end."""
    for piece, side, _, line in marked_ends(example):
        if piece.end(side).joint is Joint.COPE:
            continue
        end = piece.end(side)
        foot = np.array(piece.frame.room_point(end.at(0.0), 0.0, 0.0))
        ahead = np.array(piece.frame.room_point(end.at(1.0), 1.0, 0.0)) - foot
        normal = np.cross(ahead, (0.0, 0.0, 1.0)) / np.linalg.norm(ahead)
        assert np.abs((wrapped(piece, line) - foot) @ normal).max() < 1e-8


@pytest.mark.parametrize("name", EXAMPLE_NAMES)
def test_marked_points_lie_on_the_piece_and_at_its_end(name: str) -> None:
    """On the paper's line one is on the piece as made; half a millimetre into the waste there is nothing under it.

    Within CHORD of it and the mesh's own; where two slopes meet in a cope also within what their arrises miss each
    other by at the front, which is the slopes' sum times the projection. A mitre of slope k leaves at least
    0.5 / hypot(1, k) of that half; a cope leaves less where the mate's face is nearly level.
    """
    example = example_set_out(name)
    meshes = piece_meshes(example)
    seen: set[tuple[str, str, float]] = set()
    for piece, side, strip, line in marked_ends(example):
        key = (piece.trim.name, f"{side} {piece.end(side).joint}", round(piece.end(side).slope, 2))
        if key in seen:
            continue
        seen.add(key)
        kept = [p for p in line if not bridged(strip, p.girth)]
        mesh = meshes[piece.id]
        mate = piece.end(side).mate
        pair = [piece, *([example.piece(mate)] if mate else [])]
        miss = sum(abs(p.incline.rise) for p in pair if p.incline) * piece.trim.edges.front
        assert distances(wrapped(piece, kept), mesh).max() < 2 * CHORD + miss, (piece.id, side)
        # Where the line runs along a fold, or at the height of a ledge of the mate, the waste beside it is still wood.
        jogs = {a.girth for a, b in pairwise(kept) if abs(b.girth - a.girth) < 1e-3}
        ledges = _ledges(piece) if piece.end(side).joint is Joint.COPE else []
        clear = [
            p
            for p in kept
            if all(abs(p.girth - girth) > 1e-3 for girth in jogs) and all(abs(p.height - h) > 1e-3 for h in ledges)
        ]
        assert len(clear) > len(kept) / 2
        past = distances(wrapped(piece, clear, 0.5 if side is Side.RIGHT else -0.5), mesh)
        assert past.min() > 0.05, (piece.id, side)


def _ledges(piece: Piece) -> list[float]:
    """Heights at which what a mate of equal section shows from the front jumps back, its bottom and top left out."""
    edges = front_silhouette(piece.trim.outline)
    return [edge.start[1] for edge in edges if abs(edge.end[1] - edge.start[1]) < 1e-6]


def test_marked_slots_lie_on_the_slot(example: SetOut) -> None:
    """Each point of a slot's outline is as far from the pipe's axis as the hole is wide, or on its straight sides; at a
    joint, where only half of it is in the piece, on the square end."""
    meshes = piece_meshes(example)
    for piece in example.pieces:
        for notch in piece.notches:
            loops = slot_outlines(piece, notch, strip_of(piece.trim))
            assert loops
            sign = 1 if notch.opens == "back" else -1
            ends = [piece.along(end.station, 0.0) for end in (piece.left, piece.right)]
            edge = [p for loop in loops for p in loop if p.station not in ends]
            for p in edge:
                past = max(0.0, sign * (p.out - notch.out))
                across = p.station - piece.along(notch.station, p.height)
                assert math.hypot(across, past) == pytest.approx(notch.radius, abs=1e-6)
            assert distances(wrapped(piece, edge), meshes[piece.id]).max() < 2 * CHORD


def test_paper_keeps_lengths(example: SetOut, monkeypatch: pytest.MonkeyPatch) -> None:
    """A pure development: from point to point, close together, the line is as long on the paper as on the piece."""
    monkeypatch.setattr("trimwright.drawing.developed.lines.CHORD", 1e-4)
    for piece, _, strip, line in marked_ends(example):
        on_piece = wrapped(piece, line)
        for (a, b), (p, q) in zip(pairwise(line), pairwise(on_piece), strict=True):
            if bridged(strip, (a.girth + b.girth) / 2):
                continue
            flat = math.hypot(b.station - a.station, b.girth - a.girth)
            assert flat == pytest.approx(float(np.linalg.norm(q - p)), rel=2e-3, abs=1e-3)


def test_strip_is_as_wide_as_the_girth(example: SetOut) -> None:
    """The paper of a section without slots is as wide as its girth, arris by arris."""
    for trim in example.trims:
        strip = strip_of(trim)
        if trim.section.kind != "channel" and not any(s.bridge for s in strip.stretches):
            assert strip.girth == pytest.approx(measure(trim.section).girth)
        assert [fold.girth for fold in strip.folds] == sorted(fold.girth for fold in strip.folds)
        assert [fold.letter for fold in strip.folds] == [chr(97 + k) for k in range(len(strip.folds))]


def test_paper_lies_taut_over_the_groove_of_a_hanging_rail() -> None:
    """Drop 60, projection 24, groove 6 x 9: the lip's shoulder is at 0.95 · 60 − 3 = 54, so the groove's mouth runs
    from (18, 54) to (12, 60), hypot(6, 6) long, in place of 9 down, 6 across and 15 up.
    """
    hall = example_set_out("hall")
    trim = next(t for t in hall.trims if t.section.name == "rail-hanging")
    assert (trim.section.drop, trim.section.projection) == pytest.approx((60, 24))
    strip = strip_of(trim)
    (bridge,) = [s for s in strip.stretches if s.bridge]
    assert bridge.edge.length == pytest.approx(math.hypot(6, 6))
    assert strip.girth == pytest.approx(measure(trim.section).girth - (9 + 6 + 15) + math.hypot(6, 6))


def test_cope_follows_the_mitre_on_the_face_and_runs_level_below_it() -> None:
    """Equal sections: on the face N(v) = out, so the cope is the mitre; under the flat bottom it stays at the edge's
    N, parallel to the mate's wall, at (N + o cos C) / sin C.
    """
    room = example_set_out("box-room")
    for piece, side, _, line in marked_ends(room):
        end = piece.end(side)
        assert end.joint is Joint.COPE
        assert end.corner is not None
        sine, cosine = math.sin(math.radians(end.corner)), math.cos(math.radians(end.corner))
        sign = 1 if side is Side.LEFT else -1
        bottom, lip = piece.trim.edges.bottom, 8.0
        for p in line:
            if p.height > bottom + 1e-6:
                assert p.station == pytest.approx(end.at(p.out), abs=1e-4)
            else:
                assert p.station == pytest.approx(end.station + sign * (lip + p.out * cosine) / sine, abs=1e-6)


def test_every_end_has_one_template_that_fits_it(example: SetOut) -> None:
    """All mitres, copes, returns and scarfs, each once, and none further from the drawn line than twice OPEN_JOINT."""
    own = {(p.id, side): (p, line) for p, side, _, line in marked_ends(example)}
    found: list[tuple[str, Side]] = []
    for trim in example.trims:
        for template in end_templates(example, trim, strip_of(trim)):
            drawn = sorted(template.line, key=lambda point: point[1])
            for piece, side in template.ends:
                found.append((piece.id, side))
                origin = piece.along(piece.end(side).at(piece.trim.edges.back), own[(piece.id, side)][1][0].height)
                assert side is template.side
                for p in own[(piece.id, side)][1]:
                    gap = min(_beside(p.station - origin, p.girth, a, b) for a, b in pairwise(drawn))
                    assert gap < 2 * OPEN_JOINT + CHORD
    assert sorted(found) == sorted(own)


def _beside(station: float, girth: float, a: tuple[float, float], b: tuple[float, float]) -> float:
    """Distance of a point from a straight stretch of line."""
    (dx, dy), (px, py) = (b[0] - a[0], b[1] - a[1]), (station - a[0], girth - a[1])
    square = dx * dx + dy * dy
    part = min(1.0, max(0.0, (px * dx + py * dy) / square)) if square else 0.0
    return math.hypot(px - part * dx, py - part * dy)


def marks_of(drawing: Drawing) -> Iterator[Mark]:
    stack = list(drawing.marks)
    while stack:
        mark = stack.pop()
        if isinstance(mark, Group):
            stack += mark.marks
        else:
            yield mark


def test_sheets_say_what_they_must(example: SetOut) -> None:
    """Full size, a wall edge on every strip, a fold across it for every arris, and two bars of 100 mm on each."""
    sheets = developed_templates(example, unrolled(example))
    assert len({sheet.name for sheet in sheets}) == len(sheets)
    for sheet in sheets:
        bars = [m for m in sheet.marks if isinstance(m, Path) and m.layer is Layer.CHECK]
        assert sum(s.length == pytest.approx(100.0) for bar in bars for s in bar.segments) == 2
        *strips, key = sheet.views
        assert strips
        assert key.scale <= 1.0
        for view in strips:
            assert view.scale == 1.0
            texts = [m.text for m in marks_of(view.drawing) if isinstance(m, Text)]
            assert any(text.startswith("this edge to the wall") for text in texts)
            folds = [m for m in marks_of(view.drawing) if isinstance(m, Path) and m.layer is Layer.HIDDEN]
            lettered = [m.text for m in marks_of(key.drawing) if isinstance(m, Text)]
            assert len(folds) == len(lettered)


def test_strips_neither_overlap_nor_leave_the_sheet(example: SetOut) -> None:
    """The paper of each strip, as it lies on the sheet."""
    for sheet in developed_templates(example, unrolled(example)):
        boxes = [_box(sheet, k) for k in range(len(sheet.views) - 1)]
        for k, (left, bottom, right, top) in enumerate(boxes):
            assert left > 15, "the upright bar is at 13"
            assert bottom > 15, "the level bar is at 10"
            assert right < sheet.width - 3
            assert top < sheet.height - 3
            for other in boxes[k + 1 :]:
                apart = other[0] > right or other[2] < left or other[1] > top or other[3] < bottom
                assert apart, sheet.name


def _box(sheet: Sheet, number: int) -> tuple[float, float, float, float]:
    view = sheet.views[number]
    points = [
        view.to_paper(p)
        for m in marks_of(view.drawing)
        if isinstance(m, Path)
        for s in m.segments
        for p in (s.start, s.end)
    ]
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def test_equal_slots_share_a_template(set_out_of: Callable[[str], SetOut]) -> None:
    """Two pipes alike, one strip; a third of another size has its own."""
    pipes = "".join(
        f'[[pipe]]\nwall = "a"\nname = "{name}"\nfrom_left = {at}\nout = 38\ndiameter = {size}\n'
        for name, at, size in (("one", 500, 22), ("two", 800, 22), ("three", 1100, 28))
    )
    walls = "".join(f'[[wall]]\nname = "{n}"\nlength = 3000\n' for n in "abcd")
    done = set_out_of(
        f'format = 1\n[room]\nname = "r"\nceiling = 2400\n{walls}{pipes}[[trim]]\nname = "cornice"\nprofile = "cove"\n'
        'back = "wall"\ntop = "ceiling"\n'
    )
    (trim,) = done.trims
    shared = slot_templates(done, trim, strip_of(trim))
    assert [[notch.pipe for _, notch in template.slots] for template in shared] == [["one", "two"], ["three"]]


def test_a_plumb_cut_leans_on_a_strip_by_the_slope(set_out_of: Callable[[str], SetOut]) -> None:
    """On a slope of 1 in 5 a square end is plumb: down a back of 100 its line moves 20 along the piece."""
    sizes = {"a": 4000, "b": 3000, "c": 4000, "d": 3000}
    walls = "".join(f'[[wall]]\nname = "{n}"\nlength = {size}\ninternal = 90\n' for n, size in sizes.items())
    done = set_out_of(
        f'format = 1\n[room]\nname = "r"\nceiling = [2400, 2400, 3000, 3000]\n{walls}'
        '[[trim]]\nname = "cornice"\nprofile = "cove"\nwalls = ["b"]\nback = "wall"\n'
        'top = "ceiling"\nfollow = "ceiling"\n'
    )
    (piece,) = done.pieces
    line = cut_line(piece, Side.LEFT, strip_of(piece.trim))
    points = {round(p.height - 2400, 6): p for p in line}
    low, high = points[min(points)], points[max(points)]
    # From the wall edge of the face to its ceiling edge, at the same place on the wall.
    assert high.height - low.height == pytest.approx(100)
    assert high.station - low.station == pytest.approx(20)
