"""One corner answered on the spot: every way of holding, without a room file."""

from __future__ import annotations

import json
import math

from trimwright.errors import RoomFileError
from trimwright.profile.flat_back import flat_back
from trimwright.profile.outline import Line, Outline, Point
from trimwright.profile.section import Section
from trimwright.saw.blade import Blade
from trimwright.saw.holding import Holding, ways_to_hold
from trimwright.saw.plane import EndPlane, opposite
from trimwright.saw.proof import checked, tried
from trimwright.saw.settings import Setting, set_up
from trimwright.saw.sketch import beside, sketch
from trimwright.setout.piece import Side
from trimwright.terminal import table_text
from trimwright.units import length

__all__ = ["answer", "answers"]

CORNERS = (30.0, 330.0)
SPRINGS = (5.0, 85.0)

FACE = 100.0
"""Face width in mm of a section of which only the spring is told; the angles do not depend on it."""

BOARD = 0.12
"""Thickness of the board that stands for a sprung section, of the depth of the triangle behind its face."""


def answer(corner: float, drop: str | None, projection: str | None, spring: float | None, as_json: bool) -> str:
    """Both pieces of a corner as cards and a table, or as JSON (angles exact). Raises RoomFileError for a bad entry."""
    _check("--corner", corner, CORNERS, "degrees in the room")
    if spring is not None:
        _check("--spring", spring, SPRINGS, "degrees between back and wall")
    size = (_size("--drop", drop), _size("--projection", projection))
    if size[0] and size[1]:
        spring = spring if spring is not None else math.degrees(math.atan2(size[1], size[0]))
    found = answers(corner, spring, size[0])
    if as_json:
        return json.dumps({"corner": corner, "spring": spring, "settings": [_row(s, s.exact) for s in found]}, indent=1)
    kind = "internal" if corner < 180 else "external"
    head = f"Corner {corner:g} in the room ({kind}), half of it {corner / 2:g}."
    if spring is not None:
        head += f" Spring {spring:.2f}, for a section with a flat sprung back."
    rows = [_row(s, s.printed) for s in found]
    table = table_text(tuple(rows[0]), [tuple(row.values()) for row in rows])
    return "\n\n".join([head, *_cards(found), "All ways of holding:", table])


def answers(corner: float, spring: float | None, drop: float | None = None) -> list[Setting]:
    """Both pieces of a mitred corner in every way of holding, each proven on the virtual saw.

    The piece left of the corner has its right end there. A cornice lies on back or face only with a `spring`;
    a rail or the like follows, which stands or lies.
    """
    half_cot = 1 / math.tan(math.radians(corner / 2))
    sections = [_board(spring, drop), _block("rail", drop)] if spring is not None else [_block("cornice", drop)]
    return [
        _proven(section, holding, side, EndPlane(0.0, -half_cot if side is Side.RIGHT else half_cot))
        for section in sections
        for holding in ways_to_hold(section)
        for side in (Side.RIGHT, Side.LEFT)
    ]


def _proven(section: Section, holding: Holding, side: Side, plane: EndPlane) -> Setting:
    """The setting of one end of a metre of a section, once the virtual saw has cut it so."""
    points, other = section.outline.points(), EndPlane(-1000.0 if side is Side.RIGHT else 1000.0)
    setting = set_up(f"piece {opposite(side)} of the corner", side, holding, points, plane, other)
    checked(tried(section, points, setting, plane, other))
    return setting


def _board(spring: float, drop: float | None) -> Section:
    """A plain board that leans across the corner of wall and ceiling."""
    down = drop or FACE * math.cos(math.radians(spring))
    out = down * math.tan(math.radians(spring))
    inner = 1 - BOARD
    outline = _polygon([(0.0, -down), (out, 0.0), (inner * out, 0.0), (0.0, -inner * down)])
    return Section(name="board", kind="cornice", outline=outline, flat_back=flat_back(outline))


def _block(kind: str, drop: float | None) -> Section:
    """A plain block with an upright back."""
    size = drop or FACE
    return Section(name="block", kind=kind, outline=_polygon([(0.0, -size), (size, -size), (size, 0.0), (0.0, 0.0)]))


def _polygon(points: list[Point]) -> Outline:
    return Outline.of(Line(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True))


def _cards(found: list[Setting]) -> list[str]:
    """The first way of each method as a pair of cards."""
    shown: dict[str, list[Setting]] = {}
    for setting in found:
        shown.setdefault(str(setting.method), []).append(setting)
    cards = []
    for method, (left, right, *_) in shown.items():
        title = f"{method.upper()}: {left.on_bed} on the bed, {left.against_fence} against the fence"
        pair = (sketch(s, f"{s.piece}, {s.end} end") for s in (left, right))
        cards.append(f"{title}\n{beside(*pair)}")
    return cards


def _row(setting: Setting, blade: Blade) -> dict[str, object]:
    return {
        "piece": setting.piece.removeprefix("piece "),
        "held": str(setting.method),
        "on bed": setting.on_bed,
        "against fence": setting.against_fence,
        "mitre": round(abs(blade.swing), 4),
        "arm to": blade.arm,
        "bevel": round(abs(blade.lean), 4),
        "blade leans": blade.tilt,
        "kept piece": setting.place,
        "long point": setting.long_at,
    }


def _check(name: str, value: float, limits: tuple[float, float], meaning: str) -> None:
    low, high = limits
    if not low <= value <= high:
        raise RoomFileError(f"{name} {value:g}: must be {low:g} to {high:g} {meaning}")


def _size(name: str, text: str | None) -> float | None:
    if text is None:
        return None
    try:
        value = length(text)
    except ValueError as error:
        raise RoomFileError(f"{name}: {error}") from None
    if value <= 0:
        raise RoomFileError(f"{name} {text}: must be more than 0")
    return value
