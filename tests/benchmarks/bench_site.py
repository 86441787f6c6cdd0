"""Sites of many different rooms: work, how busy processes are, memory over time: `python bench_site.py 20 40 80`.

Every room is another: an L of six walls with lengths of its own, a door, a pipe, three trims, about 24 pieces. Packs
are made without pictures and exact solids unless `--whole` is said. Work is processor time of the whole run, a process
is counted as busy while it runs or could run: what else the machine does changes neither. Memory is what the processes
have for themselves and their share of what they have in common (PSS of Linux). Nothing is taken from what was kept.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from trimwright.site.local import processors

EVERY = 0.2

SITE = """format = 1
[site]
name = "Bench"
date = "2026-11-02"
[[trim]]
name = "cornice"
profile = "cove"
size = { drop = 90, projection = 90 }
back = "wall"
top = "ceiling"
material = "gypsum plaster"
stock = [ { length = 2400, price = 11.90 }, { length = 3000, price = 14.60 } ]
[[trim]]
name = "rail"
profile = "rail-torus"
back = "wall"
top = 2140
stock = [ { length = 2400, price = 9.80 }, { length = 3600, price = 14.10 }, { length = 4200, price = 16.90 } ]
[[trim]]
name = "skirting"
profile = "skirting-torus"
back = "wall"
bottom = "floor"
stock = [ { length = 3000, price = 10.20 }, { length = 4200, price = 14.00 } ]
"""


def room_text(number: int) -> str:
    """A room file: an L, its walls 0.9 to 4.5 m."""
    chance = random.Random(number)
    long, deep = chance.randint(3200, 4500), chance.randint(2600, 4200)
    nook, back = chance.randint(900, long - 1800), chance.randint(900, deep - 1400)
    walls = ((long, 90), (deep, 90), (long - nook, 90), (back, 270), (nook, 90), (deep - back, 90))
    tables = [
        f'[[wall]]\nname = "{name}"\nlength = {length}\ninternal = {corner}\n'
        for name, (length, corner) in zip("abcdef", walls, strict=True)
    ]
    door = '[[opening]]\nwall = "a"\nkind = "door"\nfrom_left = 800\nwidth = 838\nhead = 2040\narchitrave = 65\n'
    pipe = '[[pipe]]\nwall = "b"\nname = "riser"\nfrom_left = 300\nout = 40\ndiameter = 22\n'
    head = f'format = 1\n[room]\nname = "Room {number}"\nceiling = 2500\ndate = "2026-11-02"\n'
    return "".join((head, *tables, door, pipe))


def write_site(folder: Path, rooms: int) -> Path:
    """The site's file and those of its rooms."""
    entries = []
    for number in range(1, rooms + 1):
        (folder / f"room-{number}.toml").write_text(room_text(number))
        entries.append(f'[[room]]\nfile = "room-{number}.toml"\n')
    path = folder / "bench.toml"
    path.write_text(SITE + "".join(entries))
    return path


@dataclass
class Watch:
    """What was seen of a run: memory in MB and the part of the processes that were busy, in order of time."""

    memory: list[float] = field(default_factory=list)
    busy: list[float] = field(default_factory=list)
    rooms: list[int] = field(default_factory=list)

    def look(self, run: int, out: Path) -> None:
        """One look at a process and its children; while rooms are built, the children are counted."""
        family = [run, *children(run)]
        self.memory.append(sum(map(private, family)) / 1024)
        self.busy.append(sum(map(busy, family[1:])) / processors())
        self.rooms.append(len(list(out.glob(".records/*.json"))))

    def quarters(self, rooms: int) -> list[float]:
        """Most memory in each quarter of the rooms."""
        found = [0.0] * 4
        for memory, done in zip(self.memory, self.rooms, strict=True):
            found[min(3, 4 * done // rooms)] = max(found[min(3, 4 * done // rooms)], memory)
        return found

    def share(self, rooms: int) -> float:
        """How busy the processes were from the first finished room to the last."""
        seen = [busy for busy, done in zip(self.busy, self.rooms, strict=True) if 0 < done < rooms]
        return sum(seen) / max(1, len(seen))


def children(of: int) -> list[int]:
    try:
        return [int(word) for word in Path(f"/proc/{of}/task/{of}/children").read_text().split()]
    except OSError:
        return []


def busy(pid: int) -> bool:
    """True if any thread of a process runs or could run."""
    return any(_state(task) in "RD" for task in Path(f"/proc/{pid}/task").glob("*"))


def _state(task: Path) -> str:
    try:
        return (task / "stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return "X"


def private(pid: int) -> int:
    """PSS, kB."""
    try:
        lines = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    except OSError:
        return 0
    return next((int(line.split()[1]) for line in lines if line.startswith("Pss:")), 0)


def measured(rooms: int, whole: bool) -> None:
    """Builds a site and prints a line."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path, out, watch = write_site(folder, rooms), folder / "out", Watch()
        options = [] if whole else ["--no-pictures", "--no-step"]
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        begun = time.perf_counter()
        command = [sys.executable, "-m", "trimwright", "batch", str(path), "--out", str(out), *options, "--json"]
        with (folder / "said").open("w") as said:
            run = subprocess.Popen(
                command, stdout=said, stderr=subprocess.DEVNULL, env={**os.environ, "TRIMWRIGHT_CACHE": "no"}
            )
            while run.poll() is None:
                watch.look(run.pid, out)
                time.sleep(EVERY)
        seconds = time.perf_counter() - begun
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        work = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        data = json.loads((folder / "said").read_text())
        pieces = sum(trim["pieces"] for trim in data["trims"])
        built = watch.rooms.index(rooms) * seconds / len(watch.rooms) if rooms in watch.rooms else seconds
        quarters = " ".join(f"{memory:5.0f}" for memory in watch.quarters(rooms))
        print(
            f"{rooms:5} {pieces:6} {work:8.1f} {work / rooms:7.2f} {seconds:8.1f} {seconds - built:7.1f}"
            f" {watch.share(rooms):7.0%}   {quarters}   exit {run.returncode}",
            flush=True,
        )


def main() -> None:
    """One line a size."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("rooms", type=int, nargs="*", default=[20, 40, 80])
    parser.add_argument("--whole", action="store_true", help="with pictures and exact solids")
    options = parser.parse_args()
    print(f"{processors()} processors")
    print("rooms pieces   work s  a room  clock s  plan s    busy   memory MB by quarters of the rooms")
    for rooms in options.rooms:
        measured(rooms, options.whole)


if __name__ == "__main__":
    main()
