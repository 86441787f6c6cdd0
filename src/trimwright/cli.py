"""The commands: parse, call, print; nothing else. Heavy modules are imported by the command that needs them."""

from __future__ import annotations

import argparse
import os
import shlex
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trimwright import __version__
from trimwright.errors import TrimwrightError

if TYPE_CHECKING:
    from trimwright.pack.job import Job

__all__ = ["main"]

DONE, CLASH, WRONG, FAULT = 0, 1, 2, 3


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code: 0 done, 1 something clashes, 2 wrong input, 3 a fault of our own."""
    options = _parser().parse_args(arguments)
    try:
        code: int = options.run(options)
        sys.stdout.flush()
    except TrimwrightError as error:
        print(f"trimwright: {error}", file=sys.stderr)
        return WRONG
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # the reader has gone; say nothing more
        return DONE
    except KeyboardInterrupt:
        print("trimwright: stopped; nothing was changed", file=sys.stderr)
        return 130
    except Exception as error:
        if os.environ.get("TRIMWRIGHT_TRACEBACK"):
            raise
        print(
            f"trimwright: a fault of the program: {type(error).__name__}: {error}\n"
            "Set TRIMWRIGHT_TRACEBACK=1 to see where, and report it with the room file.",
            file=sys.stderr,
        )
        return FAULT
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="trimwright",
        description="From a measured room and parametric profiles to drawings, templates, meshes and a cut list.",
    )
    parser.add_argument("--version", action="version", version=f"trimwright {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    build = _command(commands, "build", _build, "write the whole pack of a room as a folder", room=True)
    build.add_argument("--out", type=Path, metavar="DIR", help="the folder of the pack (default: output/<room file>)")
    build.add_argument(
        "--pictures",
        choices=("none", "some", "all"),
        default="some",
        help="some: the room and a corner; all: every corner, the ceiling from below, the build-up, the joints",
    )
    build.add_argument("--no-pictures", dest="pictures", action="store_const", const="none", help="--pictures none")
    build.add_argument("--no-step", action="store_true", help="leave out model.step and the check of the joints")
    check = _command(
        commands, "check", _check, "tell what is wrong with the room and the clearances", room=True, json=True
    )
    check.add_argument("--fix", action="store_true", help="write a proposal in which nothing clashes, as a new file")
    view = _command(
        commands, "view", _view, "show the room in a browser, and follow the file as it is saved", room=True
    )
    view.add_argument(
        "--port", type=int, help="serve on this port of this machine (default: 8437, or any that is free)"
    )
    _command(commands, "cuts", _cuts, "print the cut list with saw settings", room=True, json=True)
    buy = _command(commands, "buy", _buy, "print the buying list and the cost", room=True, json=True)
    buy.add_argument("--compare", action="store_true", help="rank what other joints and stock lengths would cost")
    _command(
        commands, "light", _light, "lay out the light strip and tell how bright the room gets", room=True, json=True
    )
    diff = _command(commands, "diff", _diff, "tell what changed: pieces longer, shorter, new, gone", json=True)
    diff.add_argument("old", type=Path, metavar="OLD", help="a pack's folder, or a room file")
    diff.add_argument("new", type=Path, metavar="NEW", help="another, or the same room file as it is now")
    profile = _command(commands, "profile", _profile, "draw and measure a profile", json=True)
    profile.add_argument("name", nargs="?", help="a shipped profile or the path of a profile file; none: list them")
    profile.add_argument("--set", action="append", default=[], metavar="NAME=MM", help="give a parameter")
    profile.add_argument("--face", metavar="MM", help="also: which lines a label of this face width gives")
    profile.add_argument("--svg", type=Path, metavar="FILE", help="also write the section at full size")
    angles = _command(commands, "angles", _angles, "answer one corner: how to set the saw", json=True)
    angles.add_argument("--corner", type=float, required=True, help="degrees in the room, 30 to 330")
    angles.add_argument("--drop", metavar="MM", help="height of the section down the wall")
    angles.add_argument("--projection", metavar="MM", help="width of the section out from the wall")
    angles.add_argument("--spring", type=float, help="degrees between the back and the wall, for a sprung section")
    plan = _command(commands, "plan", _plan, "make a cutting plan from a bare list of lengths", json=True)
    plan.add_argument("list", type=Path, metavar="LIST.toml")
    new = _command(commands, "new", _new, "ask for a room wall by wall and write its file")
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
    _command(commands, "schema", _schema, "print the JSON Schema of the room file, for editors")
    return parser


def _command(
    commands: Any, name: str, run: Any, text: str, room: bool = False, json: bool = False
) -> argparse.ArgumentParser:
    command: argparse.ArgumentParser = commands.add_parser(name, help=text, description=f"{text.capitalize()}.")
    command.set_defaults(run=run)
    if room:
        command.add_argument("room", type=Path, metavar="ROOM.toml")
    if json:
        command.add_argument("--json", action="store_true", help="print data instead of a table")
    return command


def _job(options: argparse.Namespace) -> Job:
    from trimwright.pack.job import job_of
    from trimwright.project.project import read_project

    return job_of(read_project(options.room))


def _build(options: argparse.Namespace) -> int:
    from trimwright.pack.progress import Progress
    from trimwright.pack.write import write_pack

    progress = Progress()
    progress("setting out")
    job = _job(options)
    place = options.out or Path("output") / options.room.stem
    faults = write_pack(job, place, progress, pictures=options.pictures, step=not options.no_step)
    progress.done()
    for note in (*job.set_out.notes, *faults):
        print(f"note: {note}")
    for clash in job.clashes:
        print(f"CLASH: {clash.piece} ({clash.trim}) and {clash.obstacle}: {clash.actual:.1f} of {clash.wanted:g} mm")
    print(f"{place}: {len(job.set_out.pieces)} pieces; open {place / 'index.html'}")
    return CLASH if job.clashes or faults else DONE


def _check(options: argparse.Namespace) -> int:
    from trimwright.ceiling import ceiling_words
    from trimwright.clearance.ways.offer import proposal, ways_out
    from trimwright.clearance.ways.words import proposal_words, way_lines, ways_data, write_proposal
    from trimwright.pack.data import clearance_data, survey_data, to_json
    from trimwright.pack.job import job_of
    from trimwright.pack.lists import ceiling_table, clearance_table, survey_table
    from trimwright.project.project import read_project
    from trimwright.survey.report import sentences

    project = read_project(options.room)
    names = [wall.name for wall in project.room.walls]
    if not options.json:
        print(f"{project.room.name}: {len(names)} walls\n")
        _print_table(survey_table(project.survey, names), project.room.units)
        print("\n" + "\n".join(sentences(project.survey, names)) + "\n")
    if project.survey.suspects:
        if options.json:
            print(to_json({"survey": survey_data(project.survey, names)}), end="")
        return CLASH
    job = job_of(project)
    ways = ways_out(options.room) if job.clashes else {}
    if options.json:
        data = {"survey": survey_data(project.survey, names), "notes": job.set_out.notes}
        print(to_json({**data, "clearances": clearance_data(job.clearances), "ways": ways_data(ways)}), end="")
    else:
        for note in (*ceiling_words(job.set_out.room), *job.set_out.notes):
            print(f"note: {note}")
        if (ceiling := ceiling_table(job.set_out)).rows:
            _print_table(ceiling, project.room.units)
            print()
        _print_table(clearance_table(job.clearances), project.room.units)
        print(f"{len(job.clashes)} of {len(job.clearances)} gaps are too small" if job.clashes else "nothing clashes")
        for line in way_lines(ways):
            print(line)
    if options.fix and job.clashes:
        made = proposal(options.room)
        place = write_proposal(options.room, made) if made.taken else options.room
        print(*proposal_words(made, place), sep="\n", file=sys.stderr if options.json else sys.stdout)
    return CLASH if job.clashes else DONE


def _view(options: argparse.Namespace) -> int:
    from trimwright.view.follow import view

    view(options.room, options.port, lambda said: print(said, flush=True))
    return DONE


def _cuts(options: argparse.Namespace) -> int:
    from trimwright.pack.data import cut_data, piece_data, to_json
    from trimwright.pack.lists import cut_table

    job = _job(options)
    if options.json:
        print(to_json({"pieces": piece_data(job), "cuts": cut_data(job.settings)}), end="")
    else:
        _print_table(cut_table(job.set_out, job.settings), job.project.room.units)
    return DONE


def _buy(options: argparse.Namespace) -> int:
    if options.compare:
        return _compare(options)
    from trimwright.pack.bill_tables import buying_table, stock_table, sums_table
    from trimwright.pack.data import to_json

    job = _job(options)
    if options.json:
        bought = job.buying
        data = {"stock": bought.stock_data(), "buying": bought.rows_data(), "offcuts": bought.offcuts_data()}
        print(to_json(data | {"costs": bought.costs_data(), "notes": job.set_out.notes}), end="")
    else:
        _print_table(stock_table(job.buying), job.project.room.units)
        print()
        _print_table(buying_table(job.buying), job.project.room.units)
        print()
        _print_table(sums_table(job.buying), job.project.room.units)
        for note in job.set_out.notes:
            print(f"note: {note}")
    return DONE


def _compare(options: argparse.Namespace) -> int:
    from dataclasses import asdict

    from trimwright.pack.bill_tables import compare_table
    from trimwright.pack.data import to_json
    from trimwright.pack.job import buying_of
    from trimwright.project.project import read_project
    from trimwright.stock.compare import compare

    project = read_project(options.room)
    outcomes = compare(project, buying_of)
    if options.json:
        print(to_json({"currency": project.prices.currency, "changes": [asdict(o) for o in outcomes]}), end="")
    else:
        _print_table(compare_table(outcomes, project.prices.currency), project.room.units)
    return DONE


def _light(options: argparse.Namespace) -> int:
    from trimwright.light.brightness import brightness
    from trimwright.light.run import required_light
    from trimwright.light.words import light_words
    from trimwright.pack.data import to_json
    from trimwright.pack.light import light_data, light_tables
    from trimwright.project.project import read_project
    from trimwright.stock.joints import set_out_to_stock

    project = read_project(options.room)
    done = set_out_to_stock(project)
    run = required_light(done, project)
    bright = brightness(done, run)
    code = DONE if all(circuit.within for circuit in run.circuits) else CLASH
    if options.json:
        print(to_json(light_data(done.room, run, bright)), end="")
        return code
    for table in light_tables(done.room, run):
        print(table.name)
        _print_table(table, done.room.units)
        print()
    print("\n".join(light_words(run, bright)))
    return code


def _diff(options: argparse.Namespace) -> int:
    from trimwright.pack.diff import difference

    print(difference(options.old, options.new, options.json))
    return DONE


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

    print(schema_text(), end="")
    return DONE


def _print_table(table: Any, units: Any) -> None:
    from trimwright.pack.table import in_units
    from trimwright.terminal import coloured, table_text

    shown = in_units(table, units)
    print(coloured(table_text(shown.headers, shown.rows), sys.stdout))
