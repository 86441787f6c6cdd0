"""Strip on its legs: against every other way to lay it, tried one by one, and a bound for the ring."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import pytest

from example_rooms import example_set_out
from trimwright.light.channel import Leg, channel_of
from trimwright.light.route import CLEAR, lay
from trimwright.room import Frame


class Wall:
    """What a leg asks of its first piece."""

    def __init__(self, wall: int) -> None:
        self.wall, self.stretch, self.frame = wall, 1.0, Frame((0.0, 0.0), (1.0, 0.0))


def legs_of(lengths: Sequence[float], closed: bool = True) -> list[Leg]:
    last = None if not closed else 1
    corners = [k + 2 if k < len(lengths) - 1 else last for k in range(len(lengths))]
    return [
        Leg(pieces=(Wall(k),), start=0.0, end=length, out=10.0, corner=corner)  # type: ignore[arg-type]
        for k, (length, corner) in enumerate(zip(lengths, corners, strict=True))
    ]


def tried(lengths: Sequence[float], interval: float, clear: float, closed: bool) -> float:
    """The least longest dark, by trying every whole millimetre of every leg."""
    spare = [length - int((length - 2 * clear) // interval) * interval for length in lengths]
    ways = itertools.product(*(range(round(s - 2 * clear) + 1) for s in spare))
    best = float("inf")
    for way in ways:
        heads = [clear + w for w in way]
        tails = [s - h for s, h in zip(spare, heads, strict=True)]
        darks = [t + h for t, h in zip(tails, [*heads[1:], *heads[:1]], strict=True)]
        if not closed:
            darks = [heads[0], *darks[:-1], tails[-1]]
        best = min(best, max(darks))
    return best


@pytest.mark.parametrize("closed", [True, False])
@pytest.mark.parametrize("lengths", [(1011, 527, 1020, 513), (519, 1027, 512), (735, 748), (610, 611, 629, 616)])
def test_no_other_way_has_a_shorter_longest_dark(lengths: tuple[float, ...], closed: bool) -> None:
    route = lay(legs_of(lengths, closed), closed, 25.0, "link")
    assert route is not None
    assert route.darkest == pytest.approx(tried(lengths, 25.0, CLEAR["link"], closed), abs=1e-6)


@pytest.mark.parametrize("interval", [16.7, 41.67, 50, 100])
@pytest.mark.parametrize("join", ["link", "connector", "bend"])
def test_strip_and_dark_fill_the_channel(interval: float, join: str) -> None:
    channel = channel_of(example_set_out("reading-room"))
    route = lay(channel.runs[0], channel.closed[0], interval, join)
    assert route is not None
    gaps = sum(leg.gap for leg in channel.runs[0])
    assert route.length + sum(d.length for d in route.darks) == pytest.approx(channel.length + gaps)
    for stretch in route.stretches:
        assert stretch.length == pytest.approx(interval * stretch.count)
        spare = sum(leg.length for leg in stretch.legs) - stretch.length
        assert spare < interval + 2 * CLEAR[join]
        assert min(stretch.start, stretch.rest) >= CLEAR[join] - 1e-9


def test_the_run_begins_where_it_is_asked_to() -> None:
    legs = legs_of((1011, 527, 1020, 513))
    route = lay(legs, True, 25.0, "link", first=2)
    assert route is not None
    assert [s.legs[0].wall for s in route.stretches] == [2, 3, 0, 1]


def test_bends_lie_as_near_to_marks_as_any_start_allows() -> None:
    lengths, interval = (1011.0, 527.0, 1020.0, 513.0), 50.0
    route = lay(legs_of(lengths), True, interval, "bend")
    assert route is not None
    assert len(route.stretches) == 1
    best = min(
        max(
            min((at - clear) % interval, -(at - clear) % interval)
            for at in itertools.accumulate((*lengths[k:], *lengths[:k])[:-1])
        )
        for k in range(4)
        for clear in (CLEAR["bend"] + ms for ms in range(int(sum(lengths) % interval)))
        if clear <= sum(lengths) - int((sum(lengths) - 10) // interval) * interval - CLEAR["bend"]
    )
    assert max(route.bends) <= best + 1.0


def test_legs_too_short_for_an_interval() -> None:
    assert lay(legs_of((40, 45, 38)), True, 50.0, "link") is None
    route = lay(legs_of((1011, 40, 1020)), True, 50.0, "link")
    assert route is not None
    assert [s.count for s in route.stretches] == [20, 0, 20]
