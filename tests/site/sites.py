"""Small sites for the tests: rooms of four walls in files of their own, and the file of the site beside them."""

from __future__ import annotations

from pathlib import Path

ROOM = """format = 1
[room]
name = "{name}"
ceiling = 2400
date = "2026-11-02"
[[wall]]
name = "north"
length = {length}
[[wall]]
name = "east"
length = 2130
[[wall]]
name = "south"
length = {length}
[[wall]]
name = "west"
length = 2130
"""

COVE = """[[trim]]
name = "cornice"
profile = "cove"
back = "wall"
top = "ceiling"
joints = { internal = "mitre" }
stock = [ { length = 2400, price = 10 }, { length = 3000, price = 12 } ]
"""

HEAD = 'format = 1\n[site]\nname = "Row"\ndate = "2026-11-02"\n'

QUICK = ("--no-pictures", "--no-step")


def write_room(folder: Path, name: str, length: float = 2700, more: str = "") -> None:
    """A room file of that name."""
    (folder / f"{name}.toml").write_text(ROOM.format(name=name, length=length) + more)


def write_site(folder: Path, rooms: str, more: str = COVE, head: str = HEAD) -> Path:
    """A site file of the entries given; a word alone is a room that is written as well."""
    entries = []
    for number, word in enumerate(rooms.split()):
        name, _, count = word.partition("*")
        if not (folder / f"{name}.toml").exists():
            write_room(folder, name, 2700 + 10 * number)
        entries.append(f'[[room]]\nfile = "{name}.toml"\ncount = {count or 1}\n')
    path = folder / "row.toml"
    path.write_text(head + "".join(entries) + more)
    return path


def files(place: Path) -> dict[str, bytes]:
    """Every file of a site by its path, records too."""
    return {p.relative_to(place).as_posix(): p.read_bytes() for p in sorted(place.rglob("*")) if p.is_file()}
