"""What is kept of a pack, against making it again: `python tests/benchmarks/bench_cache.py`.

The reading room is built without keeping anything, with an empty folder, once more as it was, with one price changed,
with one pipe elsewhere, and with walls of another colour, in turns. Medians of processor time and of time by the
clock; the latter says little where the machine has other work.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOM = Path(__file__).parents[2] / "examples" / "reading-room.toml"
RUNS = 3

PRICE, DEARER = "price = 17.10", "price = 17.50"
PIPE, MOVED = "from_left = 260", "from_left = 255"
GREEN, BLUE = "#c3cdbd", "#bdc8cd"


def build(room: Path, kept: str) -> tuple[float, float]:
    """Seconds of processor time and by the clock of one `build`."""
    path = os.pathsep.join([str(Path(__file__).parents[2] / "src"), os.environ.get("PYTHONPATH", "")])
    start = time.perf_counter()
    child = subprocess.Popen(
        [sys.executable, "-m", "trimwright", "build", str(room), "--out", str(room.parent / "pack")],
        env={**os.environ, "TRIMWRIGHT_CACHE": kept, "PYTHONPATH": path, "PYTHONDONTWRITEBYTECODE": ""},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode not in (0, 1):
        raise SystemExit(f"the build ended with {child.returncode}")
    return used.ru_utime + used.ru_stime, time.perf_counter() - start


def changed(text: str, old: str, new: str) -> str:
    """The room with something else in one place."""
    if old not in text:
        raise SystemExit(f"the room says nothing of {old}")
    return text.replace(old, new, 1)


def main() -> None:
    """Build in turns and print the medians."""
    text = ROOM.read_text()
    cases = {
        "nothing kept": text,
        "nothing there yet": text,
        "unchanged": text,
        "one price changed": changed(text, PRICE, DEARER),
        "one pipe elsewhere": changed(text, PIPE, MOVED),
        "walls of another colour": changed(text, GREEN, BLUE),
    }
    took: dict[str, list[tuple[float, float]]] = {name: [] for name in cases}
    for _ in range(RUNS):
        with tempfile.TemporaryDirectory() as folder:
            room, kept = Path(folder) / "room.toml", Path(folder) / "kept"
            for name, written in cases.items():
                room.write_text(written)
                took[name].append(build(room, "no" if name == "nothing kept" else str(kept)))
            size = sum(path.stat().st_size for path in kept.rglob("*") if path.is_file())
    print(f"medians of {RUNS}, {os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}; kept: {size:,} bytes")
    for name, runs in took.items():
        processor, clock = (statistics.median(times) for times in zip(*runs, strict=True))
        print(f"{name:24} {processor:6.2f} s of processor time {clock:6.1f} s by the clock")


if __name__ == "__main__":
    main()
