"""Small rooms with a light channel, as room files."""

from __future__ import annotations

STRIP = """
[light.strip]
power = 9.6
lumens = 1000
interval = 50
"""


def room_text(channel: str, light: str = "", ceiling: str = "2400", cornice: str = "", extra: str = "") -> str:
    """A room of 3.0 x 2.4 m with a channel at its ceiling; entries of `channel`, `light` and `cornice` as TOML."""
    walls = "".join(
        f'[[wall]]\nname = "{name}"\nlength = {length}\ninternal = 90\n'
        for name, length in (("north", 3000), ("east", 2400), ("south", 3000), ("west", 2400))
    )
    trims = f'[[trim]]\nname = "cornice"\nprofile = "cove"\nback = "wall"\n{cornice}\n' if cornice else ""
    return (
        f'format = 1\n[room]\nname = "Den"\nceiling = {ceiling}\n{walls}{extra}{trims}'
        f'[[trim]]\nname = "lamp"\n{channel}\n[light]\n{light}\n{STRIP}'
    )


DOWN = 'profile = "channel-surface"\nback = "wall"\ntop = "ceiling"'
ANGLED = 'profile = "channel-angled"\nback = "wall"\ntop = "ceiling"'
HIDDEN = 'profile = "channel-upright"\nback = "wall"\nbottom = "cornice.top"'
SHELF = "top = 2330\nsize = { drop = 100, projection = 100 }"
