"""The commands: parse, call, print; nothing else. Heavy modules are imported by the command that needs them."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence

from trimwright import __version__, process
from trimwright.cli import bench, files, lists, packs
from trimwright.cli.ending import clearing_up
from trimwright.cli.grammar import DONE, FAULT, STOPPED, WRONG
from trimwright.errors import Stopped, TrimwrightError
from trimwright.terminal import printable

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code: 0 done, 1 something clashes, 2 wrong input, 3 a fault of our own."""
    _open_streams()
    options = _parser().parse_args(arguments)
    process.begin()
    with clearing_up():
        return _ended(options)


def _ended(options: argparse.Namespace) -> int:
    """The command run to its end, whatever that is, and its exit code."""
    try:
        code: int = options.run(options)
        sys.stdout.flush()
    except Stopped as error:
        print(f"trimwright: {printable(str(error))}", file=sys.stderr)
        return STOPPED
    except TrimwrightError as error:
        print(f"trimwright: {printable(str(error))}", file=sys.stderr)
        return WRONG
    except BrokenPipeError:
        _say_no_more()  # the reader has gone
        return DONE
    except OSError as error:
        try:
            sys.stdout.flush()
        except OSError:  # it is standard output itself that cannot be written
            _say_no_more()
        where = f"{error.filename}: " if error.filename else ""
        print(f"trimwright: {printable(where)}the system refuses: {error.strerror or error}", file=sys.stderr)
        return WRONG
    except KeyboardInterrupt:
        print("trimwright: stopped; nothing was changed", file=sys.stderr)
        return STOPPED
    except Exception as error:
        if os.environ.get("TRIMWRIGHT_TRACEBACK"):
            raise
        print(
            f"trimwright: a fault of the program: {type(error).__name__}: {printable(str(error))}\n"
            "Set TRIMWRIGHT_TRACEBACK=1 to see where, and report it with the room file.",
            file=sys.stderr,
        )
        return FAULT
    return code


def _open_streams() -> None:
    """Standard streams that were closed lead nowhere; what a terminal has no characters for is shown as "?"."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, os.fdopen(os.open(os.devnull, os.O_RDWR), mode, encoding="utf-8"))
        elif name == "stdout" and hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")


def _say_no_more() -> None:
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="trimwright",
        description="From a measured room and parametric profiles to drawings, templates, meshes and a cut list.",
    )
    parser.add_argument("--version", action="version", version=f"trimwright {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for group in (packs, lists, bench, files):
        group.add_commands(commands)
    return parser
