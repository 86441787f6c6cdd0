"""What is kept is what was kept, or nothing: whatever becomes of the folder, and whoever else is at it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from datetime import date
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from example_rooms import example_set_out
from trimwright import cache
from trimwright.cache import folder, keep, kept, key_of, recalled
from trimwright.setout.piece import Joint, Side
from trimwright.trim import Stock

KEY = "0" * 64


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of entries, which is not there yet."""
    monkeypatch.setenv("TRIMWRIGHT_CACHE", str(tmp_path / "kept"))
    return tmp_path / "kept"


def entries(place: Path) -> list[Path]:
    return sorted(p for p in place.rglob("*") if p.is_file())


def python(code: str, **environment: str) -> subprocess.Popen[str]:
    environment = {**os.environ, **environment}
    return subprocess.Popen([sys.executable, "-c", code], env=environment, stdout=-1, stderr=-1, text=True)


def test_bytes_come_back(place: Path) -> None:
    assert kept("step", KEY) is None
    keep("step", KEY, b"solid")
    assert kept("step", KEY) == b"solid"
    assert kept("light", KEY) is None
    keep("step", KEY, b"")
    assert kept("step", KEY) == b""
    assert place.stat().st_mode & 0o777 == 0o700


def test_work_is_done_once(place: Path) -> None:
    assert recalled("step", KEY, lambda: b"made") == b"made"
    assert recalled("step", KEY, lambda: b"made again") == b"made"


@pytest.mark.parametrize("wrong", ["cut short", "empty", "longer", "one bit", "no sum"])
def test_what_was_changed_is_not_used_and_is_made_again(place: Path, wrong: str) -> None:
    keep("step", KEY, b"solid" * 100)
    (entry,) = entries(place)
    whole = entry.read_bytes()
    flipped = bytes([*whole[:200], whole[200] ^ 1, *whole[201:]])
    entry.write_bytes(
        {"cut short": whole[:-1], "empty": b"", "longer": whole + b" ", "one bit": flipped, "no sum": b"solid"}[wrong]
    )
    assert kept("step", KEY) is None
    assert recalled("step", KEY, lambda: b"again") == b"again"
    assert kept("step", KEY) == b"again"


def test_an_entry_of_another_key_or_kind_is_not_used(place: Path) -> None:
    keep("step", KEY, b"solid")
    (entry,) = entries(place)
    shutil.copy(entry, entry.with_name("1" * 64))
    (place / "light").mkdir()
    shutil.copy(entry, place / "light" / KEY)
    assert kept("step", "1" * 64) is None
    assert kept("light", KEY) is None


def test_a_folder_that_goes_while_it_is_used(place: Path) -> None:
    keep("step", KEY, b"solid")
    shutil.rmtree(place)
    assert kept("step", KEY) is None
    keep("step", KEY, b"solid")
    assert kept("step", KEY) == b"solid"


def test_a_folder_of_that_name_in_the_place_of_an_entry(place: Path) -> None:
    (place / "step" / KEY).mkdir(parents=True, mode=0o700)
    place.chmod(0o700)
    assert recalled("step", KEY, lambda: b"made") == b"made"
    assert kept("step", KEY) is None
    assert entries(place) == []


def test_nothing_is_kept_where_nothing_can_be_written(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place.write_text("a file")
    assert recalled("step", KEY, lambda: b"made") == b"made"
    assert place.read_text() == "a file"
    monkeypatch.setenv("TRIMWRIGHT_CACHE", "/proc/kept" if Path("/proc/self").exists() else "/dev/null/kept")
    assert recalled("step", KEY, lambda: b"made") == b"made"


def test_a_full_disk_leaves_nothing_behind(place: Path) -> None:
    """The limit of a file's length stands for the disk's: writing fails half way through."""
    code = (
        "import resource, trimwright.cache as c\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))\n"
        f"assert c.recalled('step', {KEY!r}, lambda: b'x' * 5000) == b'x' * 5000\n"
        f"assert c.kept('step', {KEY!r}) is None\n"
    )
    run = python(code)
    assert (run.communicate()[1], run.returncode) == ("", 0)
    assert entries(place) == []


@pytest.mark.parametrize("mode", [0o777, 0o770, 0o702])
def test_a_folder_that_others_may_write_in_is_not_used(place: Path, mode: int) -> None:
    keep("step", KEY, b"solid")
    place.chmod(mode)
    assert kept("step", KEY) is None
    keep("step", "1" * 64, b"solid")
    assert len(entries(place)) == 1


def test_a_folder_of_somebody_else_is_not_used(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep("step", KEY, b"solid")
    monkeypatch.setattr(cache.os, "geteuid", lambda: place.stat().st_uid + 1)
    assert kept("step", KEY) is None
    keep("step", "1" * 64, b"solid")
    assert len(entries(place)) == 1


def test_where_it_lies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG Base Directory Specification 0.8: $XDG_CACHE_HOME, relative paths ignored, or $HOME/.cache."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "xdg"))
    assert folder() is None  # as the tests have it
    keep("step", KEY, b"solid")
    assert entries(tmp_path) == []
    monkeypatch.delenv("TRIMWRIGHT_CACHE")
    assert folder() == tmp_path / "xdg" / "trimwright"
    monkeypatch.setenv("XDG_CACHE_HOME", "xdg")
    assert folder() == tmp_path / ".cache" / "trimwright"
    monkeypatch.delenv("XDG_CACHE_HOME")
    assert folder() == tmp_path / ".cache" / "trimwright"
    keep("step", KEY, b"solid")
    assert kept("step", KEY) == b"solid"
    monkeypatch.setattr(Path, "home", classmethod(lambda _: (_ for _ in ()).throw(RuntimeError("no home"))))
    assert folder() is None
    assert recalled("step", KEY, lambda: b"made") == b"made"


def test_what_was_not_used_longest_goes_first(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache, "LIMIT", 10_000)
    keys = [f"{k:064}" for k in range(9)]
    for age, key in enumerate(keys):
        keep("picture", key, b"x" * 1000)
        os.utime(place / "picture" / key, (age, age))
    (place / "picture" / "notes.txt").write_text("the user's own")
    assert kept("picture", keys[0]) is not None  # used just now
    for key in (f"{k:064}" for k in range(9, 14)):
        keep("step", key, b"x" * 1000)
    assert sum(p.stat().st_size for p in entries(place)) <= 10_000
    assert [key for key in keys if kept("picture", key)] == [keys[0], *keys[6:]]
    assert (place / "picture" / "notes.txt").exists()


def test_many_at_once(place: Path) -> None:
    """Four processes write and read the same entries, make room and delete the folder: all that is read is right."""
    code = (
        "import os, random, shutil, trimwright.cache as c\n"
        "c.LIMIT, chance, found = 300_000, random.Random(os.environ['SEED']), 0\n"
        "for turn in range(300):\n"
        "    k = chance.randrange(20)\n"
        "    key, data = f'{k:064}', bytes([k]) * (20_000 + k)\n"
        "    read = c.kept('step', key)\n"
        "    assert read is None or read == data\n"
        "    found += read is not None\n"
        "    c.keep('step', key, data)\n"
        "    if turn % 100 == 50: shutil.rmtree(c.folder(), ignore_errors=True)\n"
        "print(found)\n"
    )
    runs = [python(code, SEED=seed) for seed in "abcd"]
    for run in runs:
        out, said = run.communicate(timeout=60)
        assert (said, run.returncode) == ("", 0)
        assert int(out) > 0
    assert sum(p.stat().st_size for p in entries(place)) <= 300_000
    assert not list(place.rglob("new-*"))


PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3).map(tuple) | st.dictionaries(st.text(max_size=2), inner, max_size=2),
    max_leaves=6,
)


def ordered(value: object) -> str:
    """Python's own words for a value, its tables in order of their names: alike only for what is the same."""
    if isinstance(value, dict):
        return repr(sorted((name, ordered(item)) for name, item in value.items()))
    return f"({[ordered(v) for v in value]})" if isinstance(value, tuple) else repr(value)


@given(PLAIN, PLAIN)
def test_keys_are_the_same_for_what_is_the_same(one: object, other: object) -> None:
    assert (key_of(one) == key_of(other)) == (ordered(one) == ordered(other))


def test_keys_tell_kinds_of_values_apart() -> None:
    values = [0, 0.0, -0.0, False, None, "", "0", (), (0,), ((),), ((0,),), {}, frozenset(), Decimal(0), Path("0")]
    values += [date(2026, 1, 2), "2026-01-02", Side.LEFT, "left", Joint.MITRE, "a\udce9", b"", b"0"]
    values += [np.zeros(2), np.zeros(2, np.float32), np.zeros((2, 1)), np.zeros(3), np.array([0.0, -0.0])]
    values += [Stock(length=2400), Stock(length=2400, price=Decimal(1)), [Stock(length=2400), 1]]
    assert len({key_of(value) for value in values}) == len(values)
    assert key_of(1, 2) != key_of((1, 2))
    strided = np.arange(12.0).reshape(3, 4)
    assert key_of(strided.T) == key_of(strided.T.copy())


@pytest.mark.parametrize("value", [object(), print, np.array([object()]), Stock, lambda: 0])
def test_what_has_an_address_has_no_key(value: object) -> None:
    with pytest.raises(TypeError):
        key_of(value)


def test_fields_that_do_not_count() -> None:
    cheap, dear = (Stock(length=2400, price=Decimal(price)) for price in (1, 2))
    assert key_of([cheap]) != key_of([dear])
    assert key_of([cheap], without=("Stock.price",)) == key_of([dear], without=("Stock.price",))


def test_a_room_has_one_key_in_every_process() -> None:
    code = (
        "from example_rooms import example_set_out\n"
        "from trimwright.cache import key_of\n"
        "print(key_of(example_set_out('box-room'), frozenset('abcdef')))\n"
    )
    path = os.pathsep.join([str(Path(__file__).parent), *sys.path])
    runs = [python(code, PYTHONHASHSEED=seed, PYTHONPATH=path) for seed in ("1", "2")]
    expected = key_of(example_set_out("box-room"), frozenset("fedcba"))
    assert [run.communicate()[0].strip() for run in runs] == [expected] * 2


def forget() -> None:
    cache.source.cache_clear()
    cache._program.cache_clear()


@pytest.mark.parametrize("changed", ["source", "table", "page", "library", "machine"])
def test_another_program_has_other_keys(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, changed: str) -> None:
    """A copy of the source is the same program; with one letter, one library or the machine changed it is another."""
    source = tmp_path / "trimwright"
    shutil.copytree(Path(cache.__file__).parent, source, ignore=shutil.ignore_patterns("__pycache__"))
    before = key_of(1)
    monkeypatch.setattr(cache, "__file__", str(source / "cache.py"))
    forget()
    try:
        assert key_of(1) == before
        forget()
        if place := {"source": "solid/bar.py", "table": "data/materials.toml", "page": "page/assets/page.css"}.get(
            changed
        ):
            (source / place).write_text((source / place).read_text() + "#")
        elif changed == "library":
            monkeypatch.setattr(cache, "version", lambda name: "0" if name == "embreex" else "1")
        else:
            monkeypatch.setattr(cache, "machine", lambda: "another")
        assert key_of(1) != before
    finally:
        forget()
