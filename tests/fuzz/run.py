"""The long part of the fuzzer: `python tests/fuzz/run.py --cases 100000 [--seed 7] [--only "broken rooms"]`.

Draws new cases from each seed, on all processors, and goes on after a failure. One file of each kind of failure is kept
in the folder named by --keep, with what was wrong on standard output. Exit code 1 if there was any.
"""

from __future__ import annotations

import argparse
import os
import re
import sys
import tempfile
import time
import traceback
import warnings
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

from hypothesis import HealthCheck, Phase, given, seed, settings

from trimwright import process

process.begin()  # before numpy is loaded, as the program does

from fuzz.cases import KINDS, Kind, complaints, file_of  # noqa: E402

CHUNK = 250
"""Cases drawn from one seed."""


def main() -> int:
    """Draws the cases, prints each kind of failure once, returns the exit code."""
    options = _options()
    started, failures, drawn = time.monotonic(), Counter[str](), 0
    options.keep.mkdir(parents=True, exist_ok=True)
    with ProcessPoolExecutor(options.processes) as pool:
        tasks = _chunks(options)
        for count, found in pool.map(_chunk, tasks):
            drawn += count
            for what, data in found:
                failures[what] += 1
                if failures[what] == 1:
                    file = options.keep / f"{re.sub(r'[^a-z0-9]+', '-', what.lower())[:80]}.toml"
                    file.write_bytes(data)
                    print(f"{what}\n  kept as {file}", flush=True)
    print(f"{drawn} cases in {time.monotonic() - started:.0f} s, {sum(failures.values())} failures")
    return 1 if failures else 0


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=int(time.time()))
    parser.add_argument("--only", choices=[kind.name for kind in KINDS])
    parser.add_argument("--processes", type=int, default=os.cpu_count())
    parser.add_argument("--keep", type=Path, default=Path(tempfile.gettempdir()) / "trimwright-fuzz")
    return parser.parse_args()


def _chunks(options: argparse.Namespace) -> list[tuple[int, int, int]]:
    """(number of the kind, seed, cases), every kind with its share."""
    tasks = []
    for number, kind in enumerate(KINDS):
        share = kind.share / 100 if options.only is None else float(options.only == kind.name)
        left, first = round(options.cases * share), options.seed
        while left > 0:
            tasks.append((number, first, min(CHUNK, left)))
            left, first = left - CHUNK, first + 1
    return tasks


def _chunk(task: tuple[int, int, int]) -> tuple[int, list[tuple[str, bytes]]]:
    """Cases of one kind from one seed: how many, and what failed with its file."""
    number, start, count = task
    kind, found = KINDS[number], list[tuple[str, bytes]]()
    warnings.simplefilter("error")
    os.environ.pop("TRIMWRIGHT_TRACEBACK", None)

    @seed(start)
    @settings(
        max_examples=count,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(kind.cases)
    def draw(case: Any) -> None:
        found.extend((f"{kind.name}: {_like(what)}", file_of(case)) for what in _faults(kind, case))

    draw()
    return count, found


def _faults(kind: Kind, case: Any) -> list[str]:
    try:
        with tempfile.TemporaryDirectory() as folder:
            return complaints(kind, case, Path(folder))
    except Exception as fault:
        where = traceback.extract_tb(fault.__traceback__)[-1]
        return [f"{type(fault).__name__} in {Path(where.filename).name}, {where.name}: {fault}"]


def _like(what: str) -> str:
    """The same for failures that differ only in numbers and names."""
    return re.sub(r"/\S+|'[^']*'|\d[\d.e+-]*", "#", what)[:200]


if __name__ == "__main__":
    raise SystemExit(main())
