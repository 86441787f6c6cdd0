"""The commands that answer for a room at the terminal: its faults, its cuts, its cost, its light."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from trimwright.cli.grammar import CLASH, DONE, Commands, add_command, print_table, read_job, say

if TYPE_CHECKING:
    from trimwright.clearance.ways.trial import Pair
    from trimwright.clearance.ways.way import Way
    from trimwright.pack.job import Job

__all__ = ["add_commands"]


def add_commands(commands: Commands) -> None:
    """Declares `check`, `cuts`, `buy`, `light`."""
    check = add_command(
        commands, "check", _check, "tell what is wrong with the room and the clearances", room=True, json=True
    )
    check.add_argument("--fix", action="store_true", help="write a proposal in which nothing clashes, as a new file")
    add_command(commands, "cuts", _cuts, "print the cut list with saw settings", room=True, json=True)
    buy = add_command(commands, "buy", _buy, "print the buying list and the cost", room=True, json=True)
    buy.add_argument("--compare", action="store_true", help="rank what other joints and stock lengths would cost")
    add_command(
        commands, "light", _light, "lay out the light strip and tell how bright the room gets", room=True, json=True
    )


def _check(options: argparse.Namespace) -> int:
    from trimwright.ceiling import ceiling_words
    from trimwright.clearance.ways.words import proposal_words, way_lines, ways_data, write_proposal
    from trimwright.pack.data import survey_data, to_json
    from trimwright.pack.job import job_of
    from trimwright.pack.lists import ceiling_table, checked_table, survey_table
    from trimwright.pack.verdict import checked_data, verdict_words
    from trimwright.project.project import read_project
    from trimwright.survey.report import sentences

    project = read_project(options.room)
    names = [wall.name for wall in project.room.walls]
    if not options.json:
        say(f"{project.room.name}: {len(names)} walls\n")
        print_table(survey_table(project.survey, names), project.room.units)
        say("", *sentences(project.survey, names), "")
    if project.survey.suspects:
        if options.json:
            print(to_json({"survey": survey_data(project.survey, names)}), end="")
        return CLASH
    job = job_of(project)
    ways = _ways_out(options.room, job)
    if options.json:
        print(to_json({**checked_data(job), "ways": ways_data(ways)}), end="")
    else:
        for note in (*ceiling_words(job.set_out.room), *job.set_out.notes):
            say(f"note: {note}")
        if (ceiling := ceiling_table(job.set_out)).rows:
            print_table(ceiling, project.room.units)
            print()
        if job.clearances:
            print_table(checked_table(job.clearances, project.room), project.room.units)
        say(*verdict_words(job), *way_lines(ways))
    if options.fix and job.clashes:
        from trimwright.clearance.ways.offer import proposal

        made = proposal(options.room)
        place = write_proposal(options.room, made) if made.taken else options.room
        say(*proposal_words(made, place), to=sys.stderr if options.json else sys.stdout)
    return DONE if job.fits else CLASH


def _ways_out(room: Path, job: Job) -> dict[Pair, tuple[Way, ...]]:
    """The ways out of what clashes; what finds them is not even loaded where nothing does."""
    if not job.clashes:
        return {}
    from trimwright.clearance.ways.offer import ways_out

    return ways_out(room)


def _cuts(options: argparse.Namespace) -> int:
    from trimwright.pack.data import cut_data, piece_data, placed_clearances, to_json
    from trimwright.pack.lists import cut_table
    from trimwright.pack.verdict import warnings

    job = read_job(options)
    if options.json:
        clashing = placed_clearances(job.clashes, job.set_out.room)
        print(to_json({"pieces": piece_data(job), "cuts": cut_data(job.settings), "clashes": clashing}), end="")
    else:
        print_table(cut_table(job.set_out, job.settings), job.project.room.units)
    say(*warnings(job), to=sys.stderr if options.json else sys.stdout)
    return DONE if job.fits else CLASH


def _buy(options: argparse.Namespace) -> int:
    if options.compare:
        return _compare(options)
    from trimwright.pack.bill_tables import buying_table, stock_table, sums_table
    from trimwright.pack.data import to_json

    job = read_job(options)
    if options.json:
        bought = job.buying
        data = {"stock": bought.stock_data(), "buying": bought.rows_data(), "offcuts": bought.offcuts_data()}
        print(to_json(data | {"costs": bought.costs_data(), "notes": job.set_out.notes}), end="")
    else:
        if (stock := stock_table(job.buying)).rows:
            print_table(stock, job.project.room.units)
            print()
        print_table(buying_table(job.buying), job.project.room.units)
        print()
        print_table(sums_table(job.buying), job.project.room.units)
        for note in job.set_out.notes:
            say(f"note: {note}")
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
        print_table(compare_table(outcomes, project.prices.currency), project.room.units)
    return DONE


def _light(options: argparse.Namespace) -> int:
    from trimwright.light.run import required_light
    from trimwright.light.words import light_words
    from trimwright.pack.data import to_json
    from trimwright.pack.kept.light import brightness_kept
    from trimwright.pack.light import light_data, light_tables
    from trimwright.project.project import read_project
    from trimwright.stock.joints import set_out_to_stock

    project = read_project(options.room)
    done = set_out_to_stock(project)
    run = required_light(done, project)
    bright = brightness_kept(done, run)
    code = DONE if all(circuit.within for circuit in run.circuits) else CLASH
    if options.json:
        print(to_json(light_data(done.room, run, bright)), end="")
        return code
    for table in light_tables(done.room, run):
        say(table.name)
        print_table(table, done.room.units)
        print()
    say(*light_words(run, bright))
    return code
