"""The sheets of a job: ceiling plan, section, and an elevation of each wall, framed, at standard scales."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from trimwright.drawing.ceiling_plan import labelled_plan, plan_lines
from trimwright.drawing.clutter import Box
from trimwright.drawing.diagonals import Diagonal, check_diagonals
from trimwright.drawing.hole_marks import hole_words
from trimwright.drawing.layout import Layout, drawn_box, laid_out, note_marks, room_for_views
from trimwright.drawing.light_plan import feed_labels, feed_marks
from trimwright.drawing.marks import Drawing
from trimwright.drawing.paper import frame_marks, paper
from trimwright.drawing.plan_lettering import at_ceiling
from trimwright.drawing.scribe import fill_words, scribe_sheets
from trimwright.drawing.section import cluster_marks, clusters
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.titled import titled
from trimwright.drawing.wall import wall_elevation
from trimwright.drawing.wall_lettering import ceiling_line
from trimwright.light.run import LightRun
from trimwright.room import Pipe, Room, Wall
from trimwright.setout.piece import Joint, SetOut, Trim
from trimwright.stock.holes import Holes
from trimwright.survey.adjust import Check
from trimwright.survey.reading import Kind
from trimwright.tolerance import ADJUSTED, DIVIDED, TOUCH
from trimwright.units import Units, value

__all__ = ["drawn_sheets", "plan_sheet", "section_sheet", "sheets", "wall_sheet"]

SECTION_SCALES = (1.0, 0.5, 0.2, 0.1)
"""Full size if the paper holds it, else the next scales of ISO 5455."""

BETWEEN = 10.0
"""Paper mm between the views of a section."""

CROWDED = 0.35
"""Notes with the title block may take so much of the height of a sheet."""

BESIDE = 250.0
"""A pipe so near to a corner may stand beside the trim on the other wall as well, mm."""


def sheets(set_out: SetOut, size: str = "A3", issued: str = "", checks: Sequence[Check] = ()) -> list[Sheet]:
    """All sheets of a job on paper of a size (A4, A3, A2 or Letter), numbered; `issued` is the date of issue.

    `checks` are those of the survey: a wall that it made longer or shorter by more than a little has its reading
    written beside its length.
    """
    return titled(drawn_sheets(set_out, size, checks), set_out.room.name, issued)


def drawn_sheets(
    set_out: SetOut,
    size: str,
    checks: Sequence[Check] = (),
    holes: Sequence[Holes] = (),
    light: LightRun | None = None,
) -> list[Sheet]:
    """The same without their title blocks, with the screw holes on the walls and the light strip on the plan."""
    readings = _readings(set_out.room, checks)
    made = [plan_sheet(set_out, size, readings, check_diagonals(set_out.room, checks), light)]
    made += [section_sheet(set_out, size)] if set_out.trims else []
    made += [wall_sheet(set_out, wall, size, readings.get(wall.index), holes) for wall in set_out.room.walls]
    return [*made, *scribe_sheets(set_out, size)]


def _readings(room: Room, checks: Sequence[Check]) -> dict[int, float]:
    """By the wall's index, lengths as read that differ from the room's by more than a little.

    A curved wall is measured straight across but drawn by the length of its face: it has no reading of that.
    """
    lengths = {c.reading.at[0]: c for c in checks if c.reading.kind is Kind.LENGTH}
    return {
        wall: check.reading.value
        for wall, check in lengths.items()
        if abs(check.difference) > ADJUSTED and abs(check.adjusted - room.walls[wall].length) < TOUCH
    }


def plan_sheet(
    set_out: SetOut,
    size: str,
    readings: Mapping[int, float] | None = None,
    diagonals: Sequence[Diagonal] = (),
    light: LightRun | None = None,
) -> Sheet:
    """The ceiling plan without its title block."""
    xs, ys = zip(*set_out.room.outline(DIVIDED), strict=True)
    notes = [
        _letters(set_out),
        *_line_words(set_out),
        *_curve_words(set_out),
        "Lengths of each trim are numbered clockwise from wall 1; write the id on the back of each piece.",
        "Seen from above. Running dimensions start at each wall's left corner. Walls are not drawn to thickness.",
    ]
    if any(end.joint is Joint.COPE for p in set_out.pieces for end in (p.left, p.right)):
        notes.append("A black wedge marks a coped end; its point meets the face that it is scribed to.")
    if diagonals:
        notes.append("Diagonals run from corner to corner at the wall faces: check the room by them.")
    if light:
        feeds = ", ".join(f"{e.name} at {value(round(e.station))} on wall {e.wall + 1}" for e in light.entries)
        notes.append(
            f"Amber: the light strip, + towards the wall. Its cables come in at {feeds}; see the light's sheet."
        )
    said = [*map(_sentence, set_out.notes)]
    if said and _crowded([*notes, *said], size):
        # Each of them stands on the sheets of the walls that it speaks of.
        said = ["What to mind on each wall stands on its sheet."]
    layout = laid_out(
        lambda scale: plan_lines(set_out, scale, diagonals, tuple(feed_marks(light, scale)) if light else ()),
        (max(xs) - min(xs), max(ys) - min(ys)),
        [*notes, *said],
        size,
        labelled=lambda lines, scale, within: labelled_plan(
            set_out, lines, scale, readings, diagonals, tuple(feed_labels(light, scale)) if light else (), within
        ),
    )
    return _sheet("ceiling-plan", "Ceiling plan", layout, "Plan of the ceiling with lines, pieces, joints and corners")


def wall_sheet(set_out: SetOut, wall: Wall, size: str, read: float | None = None, holes: Sequence[Holes] = ()) -> Sheet:
    """The elevation of a wall without its title block."""
    notes = [
        _letters(set_out),
        "Lengths are along the back edge. Heights at the left are above the floor datum, depths at the right below the "
        "ceiling at that corner.",
        *_unrolled_words(wall),
        *_levels(set_out, wall),
        *fill_words(set_out, wall.index),
        *hole_words(holes, wall),
        *(_sentence(note) for note in set_out.notes if _concerns(note, set_out, wall)),
        "Look for pipes and cables in wall and ceiling before drilling or pinning.",
    ]
    layout = laid_out(
        lambda scale: wall_elevation(set_out, wall, scale, read, holes),
        (wall.length, max(height for _, height in ceiling_line(set_out.room, wall))),
        notes,
        size,
    )
    title = f"Wall {wall.index + 1}: {wall.name}"
    return _sheet(f"wall-{wall.index + 1}", title, layout, f"Elevation of wall {wall.index + 1} seen from the room")


def section_sheet(set_out: SetOut, size: str) -> Sheet:
    """The build-up without its title block: a view for each group of trims, the highest first."""
    groups, units = clusters(set_out), set_out.room.units
    notes = [
        *(_trim_words(trim, units) for trim in set_out.trims),
        "Heights are above the floor datum; the ceiling is taken at its lowest point, "
        f"{units.written(set_out.room.ceiling)}. "
        "Lines on wall and ceiling are marked parallel to the walls as they are.",
    ]
    for scale in SECTION_SCALES:
        drawings = [Drawing(f"section-{k + 1}", cluster_marks(set_out, g, scale)) for k, g in enumerate(groups)]
        boxes = [drawn_box(drawing, scale) for drawing in drawings]
        for sheet in (paper(size), paper(size, landscape=paper(size).width < paper(size).height)):
            marks, foot = note_marks(notes, sheet)
            space = room_for_views(sheet, foot)
            corners = _stacked(boxes, space) or _in_row(boxes, space) or _in_columns(boxes, space)
            if corners or scale == SECTION_SCALES[-1]:
                views = tuple(
                    View(drawing=d, scale=scale, model=(0.0, 0.0), paper=at)
                    for d, at in zip(drawings, corners or [(0.0, 0.0)] * len(drawings), strict=True)
                )
                return Sheet(
                    name="section",
                    title="Section of the trims",
                    width=sheet.width,
                    height=sheet.height,
                    views=views,
                    marks=(*frame_marks(sheet), *marks),
                    description="True section of all trims on the wall and under the ceiling",
                )
    raise ValueError("no scale given")


def _stacked(boxes: list[Box], space: Box) -> list[tuple[float, float]]:
    """Paper points of the model origins of views one under the other, spread over the space; none if too high."""
    spare = space.height - sum(box.height for box in boxes)
    if spare < BETWEEN * (len(boxes) - 1) or any(box.width > space.width for box in boxes):
        return []
    gap = spare / (len(boxes) + 1)
    left = (space.left + space.right) / 2 - (min(b.left for b in boxes) + max(b.right for b in boxes)) / 2
    placed, level = [], space.top
    for box in boxes:
        level -= gap
        placed.append((left, level - box.top))
        level -= box.height
    return placed


def _in_row(boxes: list[Box], space: Box) -> list[tuple[float, float]]:
    """The same for views beside each other, their upper edges level."""
    spare = space.width - sum(box.width for box in boxes)
    highest = max(box.height for box in boxes)
    if spare < BETWEEN * (len(boxes) - 1) or highest > space.height:
        return []
    gap = spare / (len(boxes) + 1)
    top = space.top - (space.height - highest) / 2
    placed, across = [], space.left
    for box in boxes:
        across += gap
        placed.append((across - box.left, top - box.top))
        across += box.width
    return placed


def _in_columns(boxes: list[Box], space: Box) -> list[tuple[float, float]]:
    """The same with the first view at the left and the others one under the other beside it."""
    edge = space.left + boxes[0].width + BETWEEN
    first = _stacked(boxes[:1], replace(space, right=edge - BETWEEN))
    rest = _stacked(boxes[1:], replace(space, left=edge)) if boxes[1:] else []
    return first + rest if first and rest else []


def _sheet(name: str, title: str, layout: Layout, about: str) -> Sheet:
    return Sheet(
        name=name,
        title=title,
        width=layout.paper.width,
        height=layout.paper.height,
        views=(layout.view,),
        marks=layout.marks,
        description=about,
    )


def _line_words(set_out: SetOut) -> list[str]:
    """Distances from the wall of the lines that are marked on the ceiling."""
    lines = [
        f"{trim.name} {edge} {set_out.room.units.written(out)}"
        for trim in set_out.trims
        if trim.name in at_ceiling(set_out)
        for edge, out in (("back", trim.edges.back), ("front", trim.edges.front))
        if out > TOUCH
    ]
    return [f"Lines on the ceiling, from the wall: {', '.join(lines)}."] if lines else []


def _curve_words(set_out: SetOut) -> list[str]:
    """What a curved wall is struck with: its radius, its rise over the straight line, the lines of bent trims."""
    written, said = set_out.room.units.written, []
    for wall in set_out.room.walls:
        if wall.bend is None:
            continue
        chord, way = math.dist(wall.start, wall.end), "into" if wall.bend.inward else "out of"
        rise = wall.bend.radius - math.sqrt(wall.bend.radius**2 - (chord / 2) ** 2)
        lines = [
            f"{trim.name} {edge} {written(wall.bend.radius_at(out))}"
            for trim in set_out.trims
            if trim.bent and wall.index in trim.walls
            for edge, out in (("back", trim.edges.back), ("front", trim.edges.front))
            if out > TOUCH
        ]
        struck = f" Radii of lines from the same centre: {', '.join(lines)}." if lines else ""
        said.append(
            f"Wall {wall.index + 1} ({wall.name}) is an arc of radius {written(wall.bend.radius)} that bows {way} the"
            f" room, {written(rise)} over the {written(chord)} straight between its corners. Distances along it are"
            f" measured on its face, {written(wall.length)} in all.{struck}"
        )
    return said


def _unrolled_words(wall: Wall) -> list[str]:
    """Said of an elevation that is not a view."""
    if wall.bend is None:
        return []
    return ["Unrolled along the curve of the wall: distances from the left corner are measured on its face."]


def _trim_words(trim: Trim, units: Units) -> str:
    """Material and the three sizes a shop may label a trim by; face width is straight from wall to ceiling edge."""
    drop, projection = trim.section.drop, trim.section.projection
    width = f", face width {units.written(math.hypot(drop, projection))}" if trim.section.kind == "cornice" else ""
    sizes = f"drop {units.written(drop)}, projection {units.written(projection)}{width}"
    return f"{trim.letter} {trim.name}: {trim.material.name}, {sizes}."


def _letters(set_out: SetOut) -> str:
    """The letter of each trim in a piece's id."""
    return "Ids: " + ", ".join(f"{t.letter} {t.name}" for t in set_out.trims) + "."


def _crowded(notes: Sequence[str], size: str) -> bool:
    """True for notes that would leave too little of the paper for the drawing, whichever way round it lies."""
    ways = ((sheet.space, note_marks(notes, sheet)[1]) for sheet in (paper(size, True), paper(size, False)))
    return all(foot - bottom > CROWDED * (top - bottom) for (_, bottom, _, top), foot in ways)


def _sentence(note: str) -> str:
    text = note[:1].upper() + note[1:]
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _concerns(note: str, set_out: SetOut, wall: Wall) -> bool:
    """True for a note on this wall: one that names it, or a pipe at it, or a trim on it, or none of these."""
    room = set_out.room
    if any(other.name in note for other in room.walls):
        return wall.name in note
    pipes = [pipe for pipe in room.pipes if f"pipe {pipe.name}:" in note]
    if pipes:
        return any(_is_at(pipe, room, wall) for pipe in pipes)
    trims = [trim for trim in set_out.trims if note.startswith(f"{trim.name}: ")]
    return not trims or any(_is_on(set_out, trim, wall) for trim in trims)


def _is_at(pipe: Pipe, room: Room, wall: Wall) -> bool:
    """True if any of a pipe is on a wall, or so near its corner that it stands beside the trim there too."""
    for leg in room.legs:
        if leg.name == pipe.name:
            stations = (leg.start[0], leg.end[0])
            own = room.walls[leg.wall]
            near = [own]
            near += [room.walls[own.index - 1]] if min(stations) < BESIDE and room.corner_left(own.index) else []
            last = max(stations) > own.length - BESIDE and room.corner_right(own.index)
            near += [room.walls[(own.index + 1) % len(room.walls)]] if last else []
            if wall in near:
                return True
    return False


def _levels(set_out: SetOut, wall: Wall) -> list[str]:
    """Where the ceiling is not level along a wall: the margin above each level trim at every point measured."""
    line = ceiling_line(set_out.room, wall)
    on_wall = [t for t in set_out.trims if _is_on(set_out, t, wall) and not t.follows]
    heights = [height for _, height in line]
    if max(heights) - min(heights) < 0.05 or not on_wall:
        return []
    written = set_out.room.units.written
    margins = [f"{t.name} {', '.join(written(h - t.edges.top) for h in heights)}" for t in on_wall]
    return [f"The ceiling is not level. From the top of each trim up to it, left to right: {'; '.join(margins)}."]


def _is_on(set_out: SetOut, trim: Trim, wall: Wall) -> bool:
    return any(p.wall == wall.index for p in set_out.of_trim(trim))
