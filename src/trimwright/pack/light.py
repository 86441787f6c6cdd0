"""The light as plain rows and as data: what the terminal, the page and `pack.json` show of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from trimwright.light.heat import allowed_power
from trimwright.light.run import LightRun
from trimwright.light.supply import Circuit
from trimwright.pack.table import Table, lengths_of
from trimwright.room import Room

if TYPE_CHECKING:
    from trimwright.light.brightness import Brightness
    from trimwright.light.lux import LuxMap

__all__ = ["light_data", "light_tables"]


def light_tables(room: Room, run: LightRun) -> tuple[Table, ...]:
    """Strip, circuits, feeds and channel, each as a list."""
    return (_strip(room, run), _circuits(run), _feeds(room, run), _channel(room, run))


def _strip(room: Room, run: LightRun) -> Table:
    """A row for each length of strip: where it lies, how long it is cut, what stays dark at its ends."""
    headers = ("strip", "on", "length", "intervals", "dark before", "dark after")
    rows = tuple(
        (
            number,
            ", ".join(dict.fromkeys(room.walls[leg.wall].name for leg in s.legs)),
            round(s.length, 1),
            s.count,
            round(s.start),
            round(s.rest),
        )
        for number, s in enumerate(run.stretches, 1)
    )
    return Table("Light strip", headers, rows, lengths_of(headers, rows, ("length",)))


def _circuits(run: LightRun) -> Table:
    headers = (
        *("circuit", "metres", "W", "A", "on", "driver", "feeds", "cable mm²", "fuse A"),
        *("lowest V", "drop %", "dimmest %", "brightest %"),
    )
    return Table("Circuits", headers, tuple(_circuit(n, c, run) for n, c in enumerate(run.circuits, 1)))


def _circuit(number: int, c: Circuit, run: LightRun) -> tuple[str | float | int, ...]:
    bright = c.voltages.brightness
    return (
        *(number, round(c.length / 1000, 2), round(c.power_w, 1), round(c.power_w / run.strip.voltage_v, 2)),
        *(f"no. {c.on}", c.driver.name, len(c.feeds), c.section, c.fuse, round(float(c.voltages.voltage.min()), 2)),
        *(round(100 * c.drop, 1), round(100 * float(bright.min())), round(100 * float(bright.max()))),
    )


def _feeds(room: Room, run: LightRun) -> Table:
    """A row for each place where a cable comes in: the hole is measured from the wall's left corner."""
    headers = ("feed", "wall", "hole from left", "strip before it", "cable m", "A")
    rows = tuple(
        (
            e.name,
            room.walls[e.wall].name,
            round(e.station),
            round(e.along),
            round(e.cable / 1000, 1),
            round(e.current_a, 2),
        )
        for e in run.entries
    )
    return Table("Feeds", headers, rows, lengths_of(headers, rows, ("hole from left",)))


def _channel(room: Room, run: LightRun) -> Table:
    """A row for each piece of channel: cut lengths with room to grow, and where it is held."""
    held = "clips" if run.asked.fixing == "clips" else "screws"
    headers = ("piece", "wall", "channel", "its gap", "diffuser", "diffuser gap", f"{held} from left")
    rows = tuple(
        (
            *(cut.piece, room.walls[cut.wall].name, round(cut.length, 1), cut.gap),
            *(round(cut.diffuser, 1), cut.diffuser_gap, ", ".join(f"{at:.0f}" for at in cut.fixings)),
        )
        for cut in run.cuts
    )
    return Table("Channel and diffuser", headers, rows, lengths_of(headers, rows, ("channel", "diffuser")))


def light_data(room: Room, run: LightRun | None, bright: Brightness | None = None) -> dict[str, Any]:
    """`light` of the pack; empty without one. Lengths mm, `along` mm of strip, brightness over nominal."""
    if run is None:
        return {}
    return {
        "trim": run.channel.trim.name,
        "faces": {"out": run.channel.mouth.facing[0], "up": run.channel.mouth.facing[1]},
        "mouth": run.channel.mouth.width,
        "channel": run.channel.length,
        "length": run.length,
        "power": run.power_w,
        "power_allowed": allowed_power(run.channel),
        "lumens": run.lumens,
        "strips": [
            {
                "walls": [room.walls[leg.wall].name for leg in s.legs],
                "length": s.length,
                "intervals": s.count,
                "dark_before": s.start,
                "dark_after": s.rest,
            }
            for s in run.stretches
        ],
        "darks": [{"where": d.where, "length": d.length, "plan": list(d.plan)} for d in run.darks],
        "reels": [{"from": r.first, "to": r.last, "joint": r.joint} for r in run.reels],
        "circuits": [_circuit_data(number, c, run) for number, c in enumerate(run.circuits, 1)],
        "cuts": [
            {
                "piece": cut.piece,
                "length": cut.length,
                "gap": cut.gap,
                "diffuser": cut.diffuser,
                "diffuser_gap": cut.diffuser_gap,
                "fixings": list(cut.fixings),
            }
            for cut in run.cuts
        ],
        "warnings": list(run.warnings),
        **({} if bright is None else {"brightness": _bright_data(bright)}),
    }


def _circuit_data(number: int, c: Circuit, run: LightRun) -> dict[str, Any]:
    return {
        "length": c.length,
        "power": c.power_w,
        "driver": {"number": c.on, "name": c.driver.name, "power": c.driver.power_w},
        "section": c.section,
        "fuse": c.fuse,
        "voltage_lowest": float(c.voltages.voltage.min()),
        "drop": c.drop,
        "within": c.within,
        "brightness_least": c.dimmest,
        "brightness_most": float(c.voltages.brightness.max()),
        "feeds": [
            {
                "name": e.name,
                "wall": e.wall + 1,
                "station": e.station,
                "along": e.along,
                "cable": e.cable,
                "current": e.current_a,
            }
            for e in run.entries
            if e.circuit == number
        ],
    }


def _bright_data(bright: Brightness) -> dict[str, Any]:
    return {
        "floor": _map_data(bright.floor),
        "working": _map_data(bright.working),
        "straight": bright.straight,
        "ceiling_luminance": {"mean": bright.glow.mean, "most": bright.glow.most},
        "patches": bright.patches,
        "bounces": len(bright.underway),
        "balance": bright.balance,
        "closure": bright.closure,
    }


def _map_data(lux: LuxMap) -> dict[str, Any]:
    rows = [[None if value != value else float(value) for value in column] for column in lux.total]
    return {
        "height": lux.height,
        "mean": lux.mean,
        "least": lux.least,
        "uniformity": lux.uniformity,
        "darkest": list(lux.darkest),
        "x": [float(x) for x in lux.xs],
        "y": [float(y) for y in lux.ys],
        "lux": rows,
    }
