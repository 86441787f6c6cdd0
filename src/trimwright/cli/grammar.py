"""What all commands share: exit codes, how a command is declared, a job read, a table printed."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from trimwright.terminal import coloured, printable, terminal_width

if TYPE_CHECKING:
    from trimwright.pack.job import Job

__all__ = ["CLASH", "DONE", "FAULT", "STOPPED", "WRONG", "Commands", "add_command", "print_table", "read_job", "say"]

DONE, CLASH, WRONG, FAULT = 0, 1, 2, 3
"""Exit codes: done; something clashes or does not fit; the input or the call is wrong; a fault of our own."""

STOPPED = 130
"""That of a command ended by Ctrl-C, as shells have it: 128 and the number of the signal."""

Commands = Any
"""What argparse gives to add commands to; it has no public name for it."""


def add_command(
    commands: Commands, name: str, run: Any, text: str, room: bool = False, json: bool = False
) -> argparse.ArgumentParser:
    """A command that calls `run` with its options; with the room file, or the choice of data, that it may take."""
    command: argparse.ArgumentParser = commands.add_parser(name, help=text, description=f"{text.capitalize()}.")
    command.set_defaults(run=run)
    if room:
        command.add_argument("room", type=Path, metavar="ROOM.toml")
    if json:
        command.add_argument("--json", action="store_true", help="print data instead of a table")
    return command


def read_job(options: argparse.Namespace) -> Job:
    """The job of the room file that the command was given."""
    from trimwright.pack.job import job_of
    from trimwright.project.project import read_project

    return job_of(read_project(options.room))


def say(*lines: str, to: TextIO | None = None) -> None:
    """Prints lines in which names may stand, on standard output or wherever `to` leads."""
    for line in lines:
        print(printable(line), file=to or sys.stdout, flush=True)


def print_table(table: Any, units: Any) -> None:
    """Prints a table as wide as the terminal, with feet and inches beside the millimetres where those are wanted."""
    from trimwright.pack.table import terminal_text

    print(coloured(terminal_text(table, units, terminal_width()), sys.stdout))
