"""pack.json: everything of a pack as data, format 1. Lengths mm, angles degrees, numbers to 1e-4."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from trimwright.clearance.clearance import Clearance
from trimwright.mesh.shape import Mesh
from trimwright.pack.job import Job, mass, volume
from trimwright.pack.light import light_data
from trimwright.profile.measures import face
from trimwright.room import Room, Wall
from trimwright.saw.settings import Setting
from trimwright.setout.curved.bends import radii
from trimwright.setout.curved.unroll import unrolled_piece
from trimwright.setout.piece import End, Piece, SetOut, Trim
from trimwright.survey.adjust import Survey

if TYPE_CHECKING:
    from trimwright.light.brightness import Brightness

__all__ = ["clearance_data", "cut_data", "pack_data", "piece_data", "placed_clearances", "survey_data", "to_json"]


def pack_data(job: Job, files: Sequence[Mapping[str, str]], bright: Brightness | None = None) -> dict[str, Any]:
    """The whole of pack.json; `files` lists path and sha256 of every other file."""
    done = job.set_out
    return {
        "format": 1,
        "room": _room(done.room, job.project.survey),
        "trims": [_trim(t, done.room.ceiling) for t in done.trims],
        "pieces": piece_data(job),
        "cuts": cut_data(job.settings),
        "stock": job.buying.stock_data(),
        "buying": job.buying.rows_data(),
        "clearances": clearance_data(job.clearances),
        "light": light_data(done.room, job.light, bright),
        "order": list(done.order),
        "files": list(files),
    }


def piece_data(job: Job) -> list[dict[str, Any]]:
    """`pieces`: one entry a piece, clockwise by trim."""
    return [_piece(p, job.meshes[p.id], job.set_out) for p in job.set_out.pieces]


def cut_data(settings: Iterable[Setting]) -> list[dict[str, Any]]:
    """`cuts`: one entry an end."""
    return [
        {
            "piece": s.piece,
            "end": str(s.end),
            "method": str(s.method),
            "mitre": s.mitre,
            "swing": s.swing,
            "bevel": s.bevel,
            "tilt": s.tilt,
            "place": s.place,
            "on_bed": s.on_bed,
            "against_fence": s.against_fence,
        }
        for s in settings
    ]


def clearance_data(found: Iterable[Clearance]) -> list[dict[str, Any]]:
    """`clearances`: one entry a near pair; `actual` below 0 says how deep they lie in each other."""
    return [
        {
            "trim": c.trim,
            "piece": c.piece,
            "obstacle": c.obstacle,
            "wanted": c.wanted,
            "actual": c.actual,
            "ok": c.ok,
        }
        for c in found
    ]


def placed_clearances(found: Sequence[Clearance], room: Room) -> list[dict[str, Any]]:
    """The same with the place of each least gap, as the commands tell it beside the pack."""
    return [
        {
            **entry,
            "at": {
                "wall": room.walls[c.at.wall].name,
                "station": c.at.station,
                "out": c.at.out,
                "height": c.at.height,
            },
        }
        for entry, c in zip(clearance_data(found), found, strict=True)
    ]


def to_json(data: Any) -> str:
    """JSON text with every number rounded to 1e-4, the same for the same data."""
    return json.dumps(_rounded(data), indent=1, ensure_ascii=False) + "\n"


def _rounded(value: Any) -> Any:
    if isinstance(value, float):
        return round(value, 4) + 0.0
    if isinstance(value, Decimal):
        return float(round(value, 4))
    if isinstance(value, Mapping):
        return {key: _rounded(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(item) for item in value]
    return value


def _room(room: Room, survey: Survey) -> dict[str, Any]:
    corners = [room.corner_right(wall.index) for wall in room.walls]
    return {
        "name": room.name,
        "closed": room.closed,
        "walls": [
            {
                "name": wall.name,
                "length": wall.length,
                "start": list(wall.start),
                "end": list(wall.end),
                "corner": corner.angle if corner else None,
                **_arc(wall),
            }
            for wall, corner in zip(room.walls, corners, strict=True)
        ],
        "survey": survey_data(survey, [wall.name for wall in room.walls]),
    }


def _arc(wall: Wall) -> dict[str, Any]:
    """What only a curved wall has; its length is that of its face, its ends are `start` and `end`."""
    return {} if wall.bend is None else {"radius": wall.bend.radius, "bow": "in" if wall.bend.inward else "out"}


def survey_data(survey: Survey, names: Sequence[str]) -> dict[str, Any]:
    """`survey`: every reading with what the room makes of it, how sure the corners are, and what to measure again."""
    gap = survey.gap
    return {
        "gap": gap and {"size": gap.size, "x": gap.dx, "y": gap.dy},
        "freedom": survey.freedom,
        "chi_square": survey.chi_square,
        "chance": survey.chance,
        "readings": [
            {
                "reading": check.reading.named(names),
                "kind": str(check.reading.kind),
                "measured": check.reading.value,
                "sd": check.reading.sd,
                "adjusted": check.adjusted,
                "redundancy": check.redundancy,
                "w": check.w,
            }
            for check in survey.checks
        ],
        "corners": [
            {"angle": angle, "angle_sd": sd, "ellipse": {"major": e.major, "minor": e.minor, "direction": e.direction}}
            for angle, sd, e in zip(survey.angles, survey.angle_sds, survey.ellipses, strict=True)
        ],
        "suspects": [s.reading.named(names) for s in survey.suspects],
    }


def _trim(trim: Trim, ceiling: float) -> dict[str, Any]:
    section, edges = trim.section, trim.edges
    seen = face(trim.outline, 0.0, ceiling, 0.0)
    return {
        "name": trim.name,
        "profile": section.name,
        "material": trim.material.name,
        "size": {
            "drop": section.drop,
            "projection": section.projection,
            "face_width": (section.drop**2 + section.projection**2) ** 0.5,
            "girth": sum(s.length for stretch in seen for s in stretch),
            "area": section.outline.area,
        },
        "edges": {"back": edges.back, "front": edges.front, "bottom": edges.bottom, "top": edges.top},
    }


def _piece(piece: Piece, mesh: Mesh, done: SetOut) -> dict[str, Any]:
    """One piece; its stations are those of its wall, also where it is a straight segment of a curved one."""
    back, flat = piece.trim.edges.back, unrolled_piece(done, piece)
    return {
        "id": piece.id,
        "trim": piece.trim.name,
        "wall": done.room.walls[piece.wall].name,
        "station_from": flat.left.at(back),
        "station_to": flat.right.at(back),
        "back_length": piece.back_length,
        "front_length": piece.front_length,
        "length": piece.length,
        "volume": volume(piece, mesh),
        "mass": mass(piece, mesh),
        "left": _end(piece.left),
        "right": _end(piece.right),
        "notches": [
            {"pipe": n.pipe, "station": n.station, "width": n.width, "depth": n.depth, "open": str(n.opens)}
            for n in flat.cuts
        ],
        **_bend(piece),
    }


def _bend(piece: Piece) -> dict[str, Any]:
    """What only a bent piece has: the radii of its back and of its front."""
    if piece.bend is None:
        return {}
    back, front = radii(piece.bend, piece.trim.edges)
    return {"bend": {"back": back, "front": front}}


def _end(end: End) -> dict[str, Any]:
    return {"joint": str(end.joint), "corner": end.corner, "mate": end.mate}
