"""The commands that need no room: a profile, a corner, a list of lengths."""

from __future__ import annotations

import argparse
from pathlib import Path

from trimwright.cli.grammar import DONE, Commands, add_command

__all__ = ["add_commands"]


def add_commands(commands: Commands) -> None:
    """Declares `profile`, `angles`, `plan`."""
    profile = add_command(commands, "profile", _profile, "draw and measure a profile", json=True)
    profile.add_argument("name", nargs="?", help="a shipped profile or the path of a profile file; none: list them")
    profile.add_argument("--set", action="append", default=[], metavar="NAME=MM", help="give a parameter")
    profile.add_argument("--face", metavar="MM", help="also: which lines a label of this face width gives")
    profile.add_argument("--svg", type=Path, metavar="FILE", help="also write the section at full size")
    angles = add_command(commands, "angles", _angles, "answer one corner: how to set the saw", json=True)
    angles.add_argument("--corner", type=float, required=True, help="degrees in the room, 30 to 330")
    angles.add_argument("--drop", metavar="MM", help="height of the section down the wall")
    angles.add_argument("--projection", metavar="MM", help="width of the section out from the wall")
    angles.add_argument("--spring", type=float, help="degrees between the back and the wall, for a sprung section")
    plan = add_command(commands, "plan", _plan, "make a cutting plan from a bare list of lengths", json=True)
    plan.add_argument("list", type=Path, metavar="LIST.toml")


def _profile(options: argparse.Namespace) -> int:
    from trimwright.profile.report import profile_list, profile_report, sized

    if options.name is None:
        print(profile_list(options.json))
        return DONE
    print(profile_report(options.name, options.set, options.face, options.json))
    if options.svg:
        from trimwright.drawing.profile_sheet import write_profile

        write_profile(sized(options.name, options.set), options.svg)
    return DONE


def _angles(options: argparse.Namespace) -> int:
    from trimwright.saw.answer import answer

    print(answer(options.corner, options.drop, options.projection, options.spring, options.json))
    return DONE


def _plan(options: argparse.Namespace) -> int:
    from trimwright.stock.list_file import plan_report

    print(plan_report(options.list, options.json))
    return DONE
