"""One corner answered on the spot: every way of holding, without a room file."""

from __future__ import annotations

import json
import math

from trimwright.errors import RoomFileError
from trimwright.saw.holding import Blade, Holding, blade_for, flat, nested, standing
from trimwright.setout.piece import Side
from trimwright.terminal import table_text
from trimwright.units import length

__all__ = ["Answer", "answer", "answers"]

Answer = tuple[Side, Holding, Blade]
CORNERS = (30.0, 330.0)
SPRINGS = (5.0, 85.0)


def answer(corner: float, drop: str | None, projection: str | None, spring: float | None, as_json: bool) -> str:
    """The settings for both pieces of a corner as a table, or as JSON. Raises RoomFileError for a bad entry."""
    _check("--corner", corner, CORNERS, "degrees in the room")
    if spring is not None:
        _check("--spring", spring, SPRINGS, "degrees between back and wall")
    size = (_size("--drop", drop), _size("--projection", projection))
    if spring is None and None not in size:
        spring = math.degrees(math.atan2(size[1] or 0.0, size[0] or 1.0))
    rows = [_row(*a) for a in answers(corner, spring)]
    if as_json:
        return json.dumps({"corner": corner, "spring": spring, "settings": rows}, indent=1)
    kind = "internal" if corner < 180 else "external"
    head = f"Corner {corner:g} in the room ({kind}), half of it {corner / 2:g}."
    if spring is not None:
        head += f" Spring {spring:.2f}, for a section with a flat sprung back."
    headers = tuple(rows[0])
    return f"{head}\n\n{table_text(headers, [tuple(row.values()) for row in rows])}"


def answers(corner: float, spring: float | None) -> list[Answer]:
    """Both pieces of a mitred corner in every way of holding; flat on a sprung back only with a `spring`.

    The piece left of the corner has its right end there.
    """
    half_cot = 1 / math.tan(math.radians(corner / 2))
    ways = [nested(0.0, 0.0), standing(0.0, 0.0)]
    if spring is not None:
        ways += [flat(spring, 0.0, 0.0, upper, ("wall edge", "ceiling edge")) for upper in (True, False)]
    return [
        (side, way, blade_for(way, slope, side))
        for way in ways
        for side, slope in ((Side.RIGHT, -half_cot), (Side.LEFT, half_cot))
    ]


def _row(side: Side, way: Holding, blade: Blade) -> dict[str, object]:
    return {
        "piece": f"{'left' if side is Side.RIGHT else 'right'} of the corner",
        "held": str(way.method),
        "on bed": way.on_bed,
        "against fence": way.against_fence,
        "mitre": round(abs(blade.swing), 2),
        "arm to": "none" if abs(blade.swing) < 0.005 else "right" if blade.swing > 0 else "left",
        "bevel": round(abs(blade.lean), 2),
        "blade leans": "none" if abs(blade.lean) < 0.005 else "left" if blade.lean > 0 else "right",
        "kept piece": f"{blade.kept} of blade",
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
