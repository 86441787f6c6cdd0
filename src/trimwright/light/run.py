"""The light of a job, all but its brightness: channel, strip, circuits, reels, fixings, and what is worth a word."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from trimwright.data import table
from trimwright.errors import RoomFileError
from trimwright.light.channel import Channel, Leg, channel_of
from trimwright.light.fixing import ChannelCut, channel_cuts
from trimwright.light.heat import heat_words
from trimwright.light.route import Dark, Route, Stretch, lay
from trimwright.light.supply import Circuit, Driver, Strip, Wiring, circuits, on_drivers
from trimwright.project.light_tables import LightTable
from trimwright.room import PlanPoint, Room
from trimwright.setout.piece import SetOut

if TYPE_CHECKING:
    from trimwright.project.project import Project

__all__ = ["Entry", "LightRun", "Reel", "light_run", "on_reel", "required_light"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A place where a cable enters the channel: names as on the drawings, wall and station of its hole, plan point.

    `along` is mm of strip from the beginning of the run; `inward` points from the wall into the room.
    """

    name: str
    circuit: int
    wall: int
    station: float
    plan: PlanPoint
    inward: PlanPoint
    along: float
    cable: float
    current_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Reel:
    """A length of strip as it comes off a reel and is laid: mm of its run, where it ends, and whether in a joint."""

    first: float
    last: float
    joint: bool
    wall: int
    plan: PlanPoint


@dataclass(frozen=True, slots=True, kw_only=True)
class LightRun:
    """Everything of the light that follows from the pieces and the file."""

    asked: LightTable
    channel: Channel
    strip: Strip
    wiring: Wiring
    routes: tuple[Route, ...]
    circuits: tuple[Circuit, ...]
    entries: tuple[Entry, ...]
    reels: tuple[Reel, ...]
    cuts: tuple[ChannelCut, ...]
    warnings: tuple[str, ...]

    @property
    def length(self) -> float:
        """All strip, mm."""
        return sum(route.length for route in self.routes)

    @property
    def power_w(self) -> float:
        """Power of all strip at its nominal voltage."""
        return self.length * self.strip.power_w / 1000

    @property
    def drivers(self) -> tuple[tuple[Driver, float], ...]:
        """Each driver and the power on it, W, by number."""
        numbers = sorted({c.on for c in self.circuits})
        groups = [[c for c in self.circuits if c.on == number] for number in numbers]
        return tuple((group[0].driver, sum(c.power_w for c in group)) for group in groups)

    @property
    def lumens(self) -> float:
        """Light that leaves the channel: of all strip, dimmed by the drop, through the diffuser."""
        bright = [float((c.voltages.brightness * _weights(c)).sum()) * c.length for c in self.circuits]
        return sum(bright) / 1000 * self.strip.lumens * self.asked.transmission

    @property
    def darks(self) -> tuple[Dark, ...]:
        """All dark lengths."""
        return tuple(dark for route in self.routes for dark in route.darks)

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """All stretches that have strip."""
        return tuple(s for route in self.routes for s in route.stretches if s.count)


def light_run(set_out: SetOut, asked: LightTable) -> LightRun:
    """Lay out the light. Raises RoomFileError where it cannot be done as asked."""
    channel = channel_of(set_out, asked.trim)
    strip, wiring = _strip(asked), _wiring(asked)
    place = _cable_place(set_out.room, asked)
    laid = [
        (legs, lay(legs, closed, strip.interval, asked.corners, _nearest(legs, place)))
        for legs, closed in zip(channel.runs, channel.closed, strict=True)
    ]
    routes = tuple(route for _, route in laid if route is not None)
    if not routes:
        raise RoomFileError(
            f"[light.strip], interval: no leg of '{channel.trim.name}' takes a whole interval of {strip.interval:g} mm"
        )
    fed = [(route, replace(wiring, cable=wiring.cable + _lead(set_out.room, place, route))) for route in routes]
    owners = [(route, c) for route, wires in fed for c in circuits(route, strip, wires)]
    made = list(zip((r for r, _ in owners), on_drivers([c for _, c in owners], wiring), strict=True))
    entries = tuple(e for k, (route, c) in enumerate(made, 1) for e in _entries(route, c, k, set_out.room))
    return LightRun(
        asked=asked,
        channel=channel,
        strip=strip,
        wiring=wiring,
        routes=routes,
        circuits=tuple(c for _, c in made),
        entries=entries,
        reels=tuple(reel for route, c in made for reel in _reels(route, c, strip)),
        cuts=channel_cuts(
            set_out, channel, asked.fixing_spacing, asked.warming, [(e.wall, e.station) for e in entries]
        ),
        warnings=tuple(_warnings(set_out, channel, strip, wiring, [c for _, c in made], laid)),
    )


def required_light(set_out: SetOut, project: Project) -> LightRun:
    """The light of a room file that must have one. Raises RoomFileError if it says nothing of it."""
    if project.light is None:
        raise RoomFileError(
            f"{project.path}: there is no [light]; write one with its strip, such as"
            " [light.strip] power = 9.6, lumens = 1000, interval = 50"
        )
    return light_run(set_out, project.light)


def _strip(asked: LightTable) -> Strip:
    strip = asked.strip
    return Strip(
        voltage_v=strip.voltage,
        power_w=strip.power,
        lumens=strip.lumens,
        interval=strip.interval,
        copper=strip.copper,
        knee_v=strip.knee * strip.voltage if strip.load == "resistive" else None,
        reel=strip.reel,
    )


def _wiring(asked: LightTable) -> Wiring:
    sizes = [(d.power, d.name) for d in asked.driver] or [
        (float(p), None) for p in table("conductors")["drivers"]["power"]
    ]
    volts = f"{asked.strip.voltage:g} V"
    return Wiring(
        spare=asked.spare / 100,
        limit=asked.drop / 100,
        feed=asked.feed,
        cable=asked.cable,
        section=asked.cable_section,
        copper_temperature=asked.copper_temperature,
        drivers=tuple(Driver(power_w=p, name=name or f"driver {volts}, {p:g} W") for p, name in sizes),
    )


def _cable_place(room: Room, asked: LightTable) -> PlanPoint:
    """Where the cable comes: the wall and place named, or beside the door, or the first corner."""
    if asked.feed_wall is not None:
        wall = next(w for w in room.walls if w.name == asked.feed_wall)
        return wall.frame.plan(min(asked.feed_from_left, wall.length))
    door = next((o for o in room.openings if o.kind == "door"), None)
    return room.walls[door.wall].frame.plan(door.station) if door else room.walls[0].start


def _nearest(legs: Sequence[Leg], place: PlanPoint) -> int:
    """The leg whose left end is nearest to a place: where a closed run begins."""
    return min(range(len(legs)), key=lambda k: math.dist(legs[k].plan(0.0), place))


def _lead(room: Room, place: PlanPoint, route: Route) -> float:
    """How far the cable runs along the walls from where it comes to the beginning of a run."""
    first = next(s for s in route.stretches if s.count).legs[0]
    begin = first.plan(0.0)
    lengths = [wall.length for wall in room.walls]

    def along(point: PlanPoint) -> float:
        places = [(wall, *wall.frame.locate(point)) for wall in room.walls]
        near = [(abs(out), wall.index, s) for wall, s, out in places if -1.0 <= s <= wall.length + 1.0]
        _, index, station = min(near)
        return sum(lengths[:index]) + station

    way = abs(along(begin) - along(place))
    return min(way, sum(lengths) - way) if room.closed else way


def _entries(route: Route, circuit: Circuit, number: int, room: Room) -> list[Entry]:
    """The places where a circuit's cables enter."""
    found = []
    for k, feed in enumerate(circuit.feeds, 1):
        stretch, along = _stretch_at(route, circuit.first + feed.along, ending=feed.along > 0)
        leg, at = stretch.place(along)
        plan = leg.plan(at)
        found.append(
            Entry(
                name=f"F{number}.{k}",
                circuit=number,
                wall=leg.wall,
                station=room.walls[leg.wall].frame.locate(plan)[0],
                plan=plan,
                inward=leg.pieces[0].frame.tangent(leg.start + at).outward,
                along=circuit.first + feed.along,
                cable=feed.cable,
                current_a=feed.current_a,
            )
        )
    return found


def _stretch_at(route: Route, along: float, ending: bool) -> tuple[Stretch, float]:
    """The stretch under a point of the strip, and mm into it; at a seam the one that ends there if `ending`."""
    rest = along
    live = [s for s in route.stretches if s.count]
    for stretch in live:
        if rest < stretch.length - 1e-6 or (ending and rest <= stretch.length + 1e-6):
            return stretch, rest
        rest -= stretch.length
    return live[-1], live[-1].length


def on_reel(strip: Strip) -> float:
    """What a reel gives in whole intervals."""
    return math.floor(strip.reel / strip.interval + 1e-9) * strip.interval


def _reels(route: Route, circuit: Circuit, strip: Strip) -> list[Reel]:
    """The circuit's strip as it comes off one reel after the other; a joint where a reel ends within a stretch."""
    seams = [0.0]
    for stretch in route.stretches:
        seams.append(seams[-1] + stretch.length)
    ends = {s for s in seams if circuit.first < s < circuit.last}
    whole = on_reel(strip)
    at, left, made = circuit.first, whole, list[Reel]()
    for end in sorted({*ends, circuit.last}):
        while at < end - 1e-6:
            last = min(end, at + left)
            stretch, along = _stretch_at(route, last, ending=True)
            leg, on_leg = stretch.place(along)
            made.append(Reel(first=at, last=last, joint=last < end - 1e-6, wall=leg.wall, plan=leg.plan(on_leg)))
            left -= last - at
            at = last
            left = whole if left < 1e-6 else left
    return made


def _weights(circuit: Circuit) -> list[float]:
    """Part of the circuit's strip at each node."""
    count = len(circuit.places)
    return [(0.5 if k in (0, count - 1) else 1.0) / (count - 1) for k in range(count)]


def _warnings(
    set_out: SetOut,
    channel: Channel,
    strip: Strip,
    wiring: Wiring,
    made: Sequence[Circuit],
    laid: Sequence[tuple[Sequence[Leg], Route | None]],
) -> list[str]:
    said = list(heat_words(set_out, channel, strip.power_w))
    for number, circuit in enumerate(made, 1):
        if not circuit.within:
            said.append(
                f"circuit {number}: {circuit.drop:.1%} of the voltage is lost, more than {wiring.limit:.0%}:"
                ' feed = "auto" finds places that keep it'
            )
        if circuit.driver.power_w < circuit.power_w * (1 + wiring.spare) - 1e-9:
            said.append(f"circuit {number}: {circuit.power_w:.0f} W is more than the largest driver should carry")
    for _, route in laid:
        for stretch in route.stretches if route else ():
            if not stretch.count:
                said.append(f"a leg of {stretch.legs[0].length:.0f} mm on wall {stretch.legs[0].wall + 1} stays dark")
    return said
