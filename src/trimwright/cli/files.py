"""The commands that write a room file, or help an editor with one."""

from __future__ import annotations

import argparse
import shlex
from datetime import date
from pathlib import Path

from trimwright.cli.grammar import DONE, Commands, add_command

__all__ = ["add_commands"]


def add_commands(commands: Commands) -> None:
    """Declares `new`, `schema`."""
    new = add_command(commands, "new", _new, "ask for a room wall by wall and write its file")
    new.add_argument("room", type=Path, nargs="?", metavar="ROOM.toml", help="the file to write (default: asked)")
    new.add_argument(
        "--walls", metavar="LIST", help="the walls: '4620, 3580', or '4620, 3580, 1500, 350 ext 90.5, ...'"
    )
    new.add_argument("--open", action="store_true", help="the walls are an open run, not a whole room")
    new.add_argument("--plan", type=Path, metavar="FILE.dxf", help="take the walls from a closed polyline of a drawing")
    new.add_argument("--layer", metavar="NAME", help="look on this layer of the drawing only")
    new.add_argument("--outline", type=int, metavar="N", help="take the N-th largest closed polyline")
    new.add_argument("--unit", choices=("mm", "cm", "m", "in", "ft"), help="of bare numbers, and of the drawing")
    new.add_argument("--name", help="the room's name")
    new.add_argument("--ceiling", metavar="HEIGHT", help="floor to ceiling; with walls given, nothing is asked")
    new.add_argument("--replace", action="store_true", help="write over a file that is there already")
    schema = add_command(commands, "schema", _schema, "print the JSON Schema of the room file, for editors")
    schema.add_argument("file", nargs="?", choices=("room", "site"), default="room", help="or that of the site file")


def _new(options: argparse.Namespace) -> int:
    from trimwright.measuring.begin import Wanted, begin

    said = {key: getattr(options, key) for key in ("walls", "plan", "layer", "outline", "unit", "name", "ceiling")}
    path = begin(
        Wanted(path=options.room, run=options.open, replace=options.replace, date=date.today().isoformat(), **said)
    )
    print(f"{path} is written. Next: trimwright check {shlex.quote(str(path))}")
    return DONE


def _schema(options: argparse.Namespace) -> int:
    from trimwright.project.schema import schema_text

    if options.file == "site":
        from trimwright.site.schema import site_schema

        print(schema_text(site_schema()), end="")
    else:
        print(schema_text(), end="")
    return DONE
