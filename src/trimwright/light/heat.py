"""How warm a strip may run: power against what the channel carries off, and what lies behind it."""

from __future__ import annotations

from trimwright.light.channel import Channel
from trimwright.profile.outline import Outline
from trimwright.setout.piece import SetOut

__all__ = ["allowed_power", "heat_words"]

PER_GIRTH = 0.2
"""Watts a metre that a mm of outer girth of a metal channel carries off: 50 mm, 10 W/m. Common practice, no source."""

PLAIN = 5.0
"""Watts a metre that a strip may have in anything but metal. Common practice, no source."""

SOFT = ("foam",)
"""Materials that soften in warmth: expanded polystyrene from about 70 °C (from memory; the maker's limit counts)."""

TOUCHES = 2.0
"""A trim within this of the channel, mm, takes its warmth."""


def allowed_power(channel: Channel) -> float:
    """Watts a metre that the channel carries off, by the rule of thumb for its metal and its outer girth."""
    if channel.trim.material.name != "aluminium":
        return PLAIN
    return PER_GIRTH * _girth(channel.trim.outline)


def heat_words(set_out: SetOut, channel: Channel, power_w: float) -> tuple[str, ...]:
    """Warnings on heat: too much power for the channel, foam or timber against it. None where all is well."""
    allowed = allowed_power(channel)
    said = []
    if power_w > allowed:
        said.append(
            f"{power_w:g} W/m is more than this channel carries off by the rule of thumb ({allowed:.1f} W/m):"
            " the strip ages fast; take a larger metal channel or less power"
        )
    for trim in set_out.trims:
        if trim.name != channel.trim.name and _touches(trim.outline, channel.trim.outline):
            if any(word in trim.material.name for word in SOFT):
                said.append(f"{trim.name} is {trim.material.name} and touches the channel: keep air or board between")
            elif power_w > allowed and "plaster" in trim.material.name:
                said.append(f"{trim.name} is plaster and touches a channel that runs hot: it may crack and yellow")
    return tuple(said)


def _girth(outline: Outline) -> float:
    """Girth of the outline's box: the outside of a channel, whatever its hollow."""
    back, bottom, front, top = outline.bounds
    return 2 * (front - back + top - bottom)


def _touches(one: Outline, two: Outline) -> bool:
    a, b = one.bounds, two.bounds
    apart = max(a.back - b.front, b.back - a.front, a.bottom - b.top, b.bottom - a.top)
    return apart < TOUCHES
