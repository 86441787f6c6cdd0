"""Rooms of four walls, north first and clockwise, as the text of their files."""

from __future__ import annotations

__all__ = ["box_room", "four_walls"]


def four_walls(long: float = 4000, short: float = 3000, internal: float | None = 90) -> str:
    """The walls north and south `long`, east and west `short`.

    `internal` is the corner between north and east, and the one across; None leaves all of them unsaid.
    """
    sizes = (("north", long), ("east", short), ("south", long), ("west", short))
    corners = ("", "") if internal is None else (f"internal = {internal}\n", f"internal = {180 - internal}\n")
    return "".join(
        f'[[wall]]\nname = "{name}"\nlength = {length}\n{corner}'
        for (name, length), corner in zip(sizes, corners * 2, strict=True)
    )


def box_room(ceiling: float = 2400, more: str = "") -> str:
    """A room 3000 by 2400 with nothing in it; `more` goes under [room]."""
    return f'format = 1\n[room]\nname = "Box"\nceiling = {ceiling}\n{more}' + four_walls(3000, 2400, None)
