"""Strategies for whole rooms that a person might measure: outlines, what is in the way, trims, tables.

A room drawn here is well formed and its readings agree; whether its trims fit in it is for the program to say.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from trimwright.data import table
from trimwright.profile.file import Profile, list_profiles

__all__ = ["Tables", "outlines", "rooms"]

Tables = dict[str, Any]
Point = tuple[float, float]
Draw = st.DrawFn

PROFILES: Sequence[Profile] = list_profiles()
MATERIALS = sorted(table("materials"))
NAMES = st.one_of(
    st.sampled_from(["north", "Überwand", "door wall", "wand \u2603", "\u05e7\u05d9\u05e8", "=1+1", "<b>x</b>", "%%c"]),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=12).map(lambda text: f"n{text}"),
)


def mm(low: float, high: float) -> st.SearchStrategy[float]:
    """Lengths to half a millimetre."""
    return st.integers(round(2 * low), round(2 * high)).map(lambda k: k / 2)


# ---------------------------------------------------------------- outlines


@st.composite
def rectilinear(draw: Draw) -> list[Point]:
    """A rectangle with breasts and alcoves, corners moved a little: rooms are never quite square."""
    steps: list[tuple[float, float]] = []  # along, and the turn to the right after it
    for k in range(4):
        steps += _side(draw, draw(mm(2600, 5200)) if k < 2 else 0.0, can_jog=k < 2)
    points = [(0.0, 0.0)]
    heading = 0.0
    for along, turn in steps:
        x, y = points[-1]
        points.append((x + along * math.cos(heading), y + along * math.sin(heading)))
        heading -= math.radians(turn)
    # Two sides were left open: the corner opposite the first is where the walls so far end, and two more close it.
    corner = points[2 * 0 + len([s for s in steps if s[0]])]
    outline = [*points[: len([s for s in steps if s[0]])], corner, (0.0, corner[1])]
    return [(x + draw(mm(-8, 8)), y + draw(mm(-8, 8))) for x, y in outline]


def _side(draw: Draw, length: float, can_jog: bool) -> list[tuple[float, float]]:
    """One side as (length, turn to the right) of its walls; perhaps with a breast into the room or an alcove."""
    if not length:
        return []
    kind = draw(st.sampled_from(["plain", "plain", "breast", "alcove"])) if can_jog else "plain"
    if kind == "plain":
        return [(length, 90)]
    deep = draw(mm(250, 700))
    first, middle = length * draw(st.floats(0.2, 0.4)), length * draw(st.floats(0.2, 0.4))
    turn = 90 if kind == "breast" else -90
    return [(first, turn), (deep, -turn), (middle, -turn), (deep, turn), (length - first - middle, 90)]


@st.composite
def polygons(draw: Draw) -> list[Point]:
    """Corners round a middle, clockwise, near and far in turn: corner angles from sharp to far past straight."""
    count = draw(st.integers(3, 10))
    shares = [draw(st.floats(0.7, 1.3)) for _ in range(count)]
    reach = [draw(st.floats(2200, 2200 * (1.2 if count < 5 else 1.9))) for _ in range(count)]
    turn, points = 0.0, []
    for share, r in zip(shares, reach, strict=True):
        turn -= 2 * math.pi * share / sum(shares)
        points.append((r * math.cos(turn), r * math.sin(turn)))
    return points


@st.composite
def open_runs(draw: Draw) -> list[Point]:
    """Walls one after the other that do not come round."""
    heading, points = 0.0, [(0.0, 0.0)]
    for _ in range(draw(st.integers(1, 6))):
        along = draw(mm(400, 4000))
        x, y = points[-1]
        points.append((x + along * math.cos(heading), y + along * math.sin(heading)))
        heading -= math.radians(180 - draw(st.one_of(st.just(90.0), st.floats(60, 300))))
    return points


def outlines() -> st.SearchStrategy[tuple[list[Point], bool]]:
    """Corner points, clockwise, and whether they close."""
    return st.one_of(
        rectilinear().map(lambda p: (p, True)),
        rectilinear().map(lambda p: (p, True)),
        polygons().map(lambda p: (p, True)),
        open_runs().map(lambda p: (p, False)),
    )


def inside_angle(before: Point, at: Point, after: Point) -> float:
    """Degrees in the room at a corner of walls that run clockwise: 180 less the turn to the right."""
    (ax, ay), (bx, by) = (at[0] - before[0], at[1] - before[1]), (after[0] - at[0], after[1] - at[1])
    return 180 + math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))


@st.composite
def walls(draw: Draw, points: list[Point], closed: bool) -> list[Tables]:
    """The tables of the walls: lengths as a tape reads them, corners as an angle finder does."""
    count = len(points) if closed else len(points) - 1
    tables: list[Tables] = []
    for k in range(count):
        start, end = points[k], points[(k + 1) % len(points)]
        length = math.dist(start, end)
        assume(length > 60)
        wall: Tables = {"name": f"w{k + 1}", "length": round(length, 1)}
        if closed or k < count - 1:
            angle = round(inside_angle(start, end, points[(k + 2) % len(points)]), 1)
            assume(35 <= angle <= 325)
            if abs(angle - 90) > 0.7 or draw(st.booleans()):
                wall |= {"external": round(360 - angle, 1)} if angle > 180 else {"internal": angle}
        if draw(st.integers(0, 11)) == 0:
            wall["radius"] = round(length * draw(st.floats(0.6, 6)), 1)
            wall["bow"] = draw(st.sampled_from(["in", "out"]))
            if draw(st.booleans()):
                wall["sagitta"] = draw(mm(1, 12))
        tables.append(wall)
    return tables


# ---------------------------------------------------------------- what is in the way


@st.composite
def openings(draw: Draw, wall: Tables, ceiling: float) -> Tables:
    low, high = 0.0, float(wall["length"])
    width = draw(mm(min(300, high / 2), max(high / 2, min(1800, high * 0.9))))
    kind = draw(st.sampled_from(["door", "window", "opening"]))
    sill = 0.0 if kind == "door" else draw(mm(0, 1000))
    return {
        "wall": wall["name"],
        "kind": kind,
        "from_left": draw(mm(low, max(low, high - width - 1))),
        "width": width,
        "sill": sill,
        "head": draw(mm(sill + 200, ceiling - 50)),
        "architrave": draw(st.one_of(st.just(0), mm(20, 120))),
    }


@st.composite
def pipes(draw: Draw, wall: Tables, ceiling: float) -> Tables:
    diameter = draw(st.sampled_from([8, 15, 22, 28, 35, 54, 110]))
    pipe: Tables = {
        "wall": wall["name"],
        "name": draw(NAMES),
        "diameter": diameter,
        "out": draw(mm(diameter / 2 + 1, diameter / 2 + 160)),
    }
    length = wall["length"]
    kind = draw(st.sampled_from(["upright", "upright", "upright", "level", "bent"]))
    if kind == "bent":
        pipe |= {"points": draw(_points(pipe.pop("out"), length, ceiling))}
    elif kind == "upright":
        pipe["from_left"] = draw(mm(0, length - 1))
        if draw(st.booleans()):
            pipe |= {"from": draw(mm(0, ceiling / 2)), "to": draw(mm(ceiling / 2 + 1, ceiling))}
    else:
        pipe |= {"direction": "horizontal", "height": draw(st.one_of(mm(0, ceiling), mm(ceiling - 150, ceiling)))}
        if draw(st.booleans()):
            pipe |= {"from": draw(mm(0, length / 2)), "to": draw(mm(length / 2 + 1, length - 1))}
    if draw(st.booleans()):
        pipe["temperature"] = draw(st.integers(5, 90))
    return pipe


@st.composite
def _points(draw: Draw, out: float, length: float, ceiling: float) -> list[list[float]]:
    """A pipe that goes along, up and off the wall in turn, mostly to one of the three at a time."""
    points = [[draw(mm(0, length - 1)), out, draw(mm(0, ceiling))]]
    for axis in draw(st.lists(st.sampled_from([(0,), (2,), (0, 2), (0, 1), (0, 1, 2)]), min_size=1, max_size=4)):
        to = [draw(mm(0, length - 1)), draw(mm(out, out + 40)), draw(mm(0, ceiling))]
        point = [to[k] if k in axis else v for k, v in enumerate(points[-1])]
        assume(math.dist(point, points[-1]) > 1)
        points.append(point)
    return points


@st.composite
def fittings(draw: Draw, wall: Tables, ceiling: float) -> Tables:
    width = draw(mm(20, max(20, wall["length"] / 2)))
    bottom = draw(mm(0, ceiling - 100))
    fitting: Tables = {
        "wall": wall["name"],
        "name": draw(NAMES),
        "from_left": draw(mm(0, max(0, wall["length"] - width - 1))),
        "width": width,
        "bottom": bottom,
        "top": draw(mm(bottom + 5, ceiling)),
        "out": draw(mm(5, 400)),
    }
    if draw(st.booleans()):
        low = draw(mm(ceiling - 150, ceiling - 10))
        shallow = {"bottom": low, "top": draw(mm(low + 5, ceiling)), "out": draw(mm(5, 40)), "let_in": True}
        fitting |= shallow
    return fitting


# ---------------------------------------------------------------- trims


@st.composite
def sizes(draw: Draw, profile: Profile) -> dict[str, float]:
    """Parameters anywhere in their ranges, mostly of a size that rooms have space for."""
    size = {}
    for name, parameter in profile.parameters.items():
        kind = draw(st.sampled_from(["left out", "left out", "small", "any", "end"]))
        low, high = parameter.least, parameter.most
        if kind == "small":
            size[name] = round(draw(st.floats(low, min(high, max(low, 2 * parameter.default)))), 1)
        elif kind == "any":
            size[name] = round(draw(st.floats(low, high)), 2)
        elif kind == "end":
            size[name] = draw(st.sampled_from([low, high]))
        if name in size:
            size[name] = min(high, max(low, size[name]))
    return size


@st.composite
def joints(draw: Draw) -> Tables:
    wanted = {
        "internal": ["cope", "mitre", "square"],
        "external": ["mitre", "square"],
        "end": ["return", "square"],
        "length": ["scarf", "square"],
    }
    return {key: draw(st.sampled_from(kinds)) for key, kinds in wanted.items() if draw(st.booleans())}


@st.composite
def stocks(draw: Draw) -> list[Tables]:
    lengths = draw(st.lists(st.sampled_from([900, 1200, 1800, 2400, 3000, 3600, 4200, 6000]), max_size=3, unique=True))
    tables = [{"length": length} for length in lengths]
    if draw(st.booleans()):
        tables = [t | {"price": draw(st.integers(100, 4000)) / 100} for t in tables]
    return tables


@st.composite
def trims(draw: Draw, wall_names: list[str], ceiling: float) -> list[Tables]:
    """One to four trims; each hangs on the room or on one before it."""
    tables: list[Tables] = []
    for k in range(draw(st.integers(1, 4))):
        profile = draw(st.sampled_from(PROFILES))
        trim: Tables = {"name": f"t{k + 1}", "profile": profile.source.removeprefix("profiles/").removesuffix(".toml")}
        size = draw(sizes(profile))
        if size:
            trim["size"] = size
        trim |= draw(_place(profile, size, [t["name"] for t in tables], ceiling))
        if draw(st.integers(0, 3)) == 0:
            trim["walls"] = draw(st.lists(st.sampled_from(wall_names), min_size=1, unique=True))
        if draw(st.booleans()):
            trim["joints"] = draw(joints())
        if draw(st.booleans()):
            trim["material"] = draw(st.sampled_from(MATERIALS))
        if draw(st.booleans()):
            trim["stock"] = draw(stocks())
        if draw(st.integers(0, 4)) == 0:
            trim["curve"] = "bent"
        if draw(st.integers(0, 3)) == 0:
            trim["follow"] = draw(st.sampled_from(["ceiling", "level"]))
        tables.append(trim)
    return tables


@st.composite
def _place(draw: Draw, profile: Profile, size: Mapping[str, float], others: list[str], ceiling: float) -> Tables:
    drop = size.get("drop", profile.parameters["drop"].default)
    kind = draw(st.sampled_from(["ceiling", "number", "floor"] + ["under", "before"] * bool(others)))
    other = draw(st.sampled_from(others)) if others else ""
    match kind:
        case "ceiling":
            top = draw(st.one_of(st.just("ceiling"), mm(1, 300).map(lambda v: f"ceiling - {v}")))
            return {"back": "wall", "top": top}
        case "floor":
            return {"back": "wall", "bottom": "floor"}
        case "under":
            gap = draw(st.one_of(st.just(""), mm(0, 60).map(lambda v: f" - {v}")))
            return {"back": "wall", "top": f"{other}.bottom{gap}"}
        case "before":
            edge = draw(st.sampled_from(["bottom", "top"]))
            return {"back": f"{other}.front", edge: f"{other}.{edge}"}
    return {"back": draw(st.one_of(st.just("wall"), mm(0, 80))), "bottom": draw(mm(0, max(1, ceiling - drop - 1)))}


# ---------------------------------------------------------------- the whole file


@st.composite
def rooms(draw: Draw) -> Tables:
    """A whole room file as tables."""
    points, closed = draw(outlines())
    wall = draw(walls(points, closed))
    names = [w["name"] for w in wall]
    ceiling = draw(mm(2200, 3200))
    room: Tables = {"name": draw(NAMES), "ceiling": ceiling}
    if not closed:
        room["closed"] = False
    if draw(st.booleans()):
        room["date"] = "2026-10-12"
    if draw(st.integers(0, 3)) == 0:
        room["units"] = "in"
    lowest = ceiling
    if draw(st.integers(0, 3)) == 0:
        off = draw(st.sampled_from([4.0, 40.0, 400.0]))
        room["ceiling"] = [ceiling + draw(mm(0, off)) for _ in range(len(names) + (not closed))]
        lowest = min(room["ceiling"])
    tables: Tables = {"format": 1, "room": room, "wall": wall}
    for key, entry in (("opening", openings), ("pipe", pipes), ("fitting", fittings)):
        found = [draw(entry(draw(st.sampled_from(wall)), lowest)) for _ in range(draw(st.integers(0, 3)))]
        if found:
            tables[key] = found
    tables["trim"] = draw(trims(names, lowest))
    return tables | draw(_tables(tables["trim"], points, closed))


@st.composite
def _tables(draw: Draw, trim: list[Tables], points: list[Point], closed: bool) -> Tables:
    """The tables that later stages read; most are left out."""
    tables: Tables = {}
    if draw(st.booleans()) and len(points) > 3:
        first = draw(st.integers(1, len(points) - 2))
        last = draw(st.integers(first + 2, len(points))) if first + 2 <= len(points) else first
        if last > first and not (closed and first == 1 and last == len(points)):
            length = math.dist(points[first - 1], points[last - 1])
            assume(length > 10)
            tables["diagonal"] = [{"corners": [first, last], "length": round(length, 1)}]
    if draw(st.integers(0, 2)) == 0:
        tables["saw"] = {
            "kerf": draw(mm(0, 6)),
            "mitre_left": draw(st.integers(0, 60)),
            "bevel_right": draw(st.integers(0, 48)),
            "fence_height": draw(mm(0, 150)),
            "bed_depth": draw(mm(0, 350)),
            "end_trim": draw(st.sampled_from([0, 5, 50])),
            "least_offcut": draw(mm(0, 600)),
        }
    if draw(st.integers(0, 2)) == 0:
        tables["prices"] = {"currency": "EUR", "tax": draw(st.integers(0, 25)), "spare": "hardest"}
    if draw(st.integers(0, 2)) == 0:
        tables["clearance"] = {"pipe": draw(mm(0, 30)), "fitting": draw(mm(0, 60))}
    if draw(st.integers(0, 2)) == 0:
        tables["paper"] = {"size": draw(st.sampled_from(["A4", "A3", "A2", "Letter"]))}
    if draw(st.integers(0, 2)) == 0:
        owned = st.fixed_dictionaries(
            {
                "trim": st.sampled_from([t["name"] for t in trim]),
                "length": mm(200, 3000),
                "count": st.integers(1, 4),
            }
        )
        tables["offcut"] = draw(st.lists(owned, min_size=1, max_size=3))
    return tables
