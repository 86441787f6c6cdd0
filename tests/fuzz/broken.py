"""Strategies for files that are wrong: mutations that know the structure, mutations of the text, any bytes at all."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from fuzz.rooms import Tables
from fuzz.toml import toml_text

__all__ = ["broken_lists", "broken_profiles", "broken_rooms", "broken_traces"]

ROOT = Path(__file__).parent.parent.parent
EXAMPLES = [tomllib.loads(p.read_text(encoding="utf-8")) for p in sorted((ROOT / "examples").glob("*.toml"))]
PROFILES = [tomllib.loads(p.read_text(encoding="utf-8")) for p in sorted((ROOT / "profiles").glob("*.toml"))]
LIST: Tables = {
    "kerf": 3.0,
    "piece": [{"length": 1200.0, "count": 3}, {"length": 810.5, "count": 2, "name": "sill"}],
    "stock": [{"length": 2400, "price": 9.5}, {"length": 3000, "price": 11, "quantity": 4}],
}
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0 L40 0 A40 40 0 0 0 0 40 Z" transform="scale(1)"/></svg>'
POLYLINE = "0 LWPOLYLINE 90 3 70 1 10 0 20 0 10 40 20 0 42 0.4 10 0 20 40"
DXF = f"0 SECTION 2 ENTITIES {POLYLINE} 0 ENDSEC 0 EOF ".replace(" ", "\n").encode()

WILD = st.one_of(
    st.sampled_from(
        [
            *(0, -1, 1, 1e-9, 1e9, -0.0, 10**30, 10**400, float("nan"), float("inf"), 90, 179.9, 180, 180.1, 360, 2400),
            *(True, False, "", " ", "0", "-5", "1/0", "2.4 m", "7ft 10 1/2in", "1e400", "wall", "ceiling", "floor"),
            *("../../etc/passwd", "/dev/zero", "con", "x" * 500, "=1+1", "<script>", "%%c", "\x00", "\u202e", "a.b.c"),
            *("t1.top", "cornice.bottom", "cornice.bottom + ", "ceiling - ceiling", "all", "cope", "bent", "Letter"),
            *([], [[]], [{}], {}, {"a": 1}, [1, 2], ["w1", "w1"], date(2026, 1, 1), "2026-02-30", "0000-00-00"),
        ]
    ),
    st.floats(),
    st.integers(-(10**6), 10**6),
    st.text(max_size=20),
)


def wild() -> st.SearchStrategy[Any]:
    """A value that an entry should seldom have; its own copy, since it may be changed again."""
    return WILD.map(copy.deepcopy)


@st.composite
def mutated(draw: st.DrawFn, bases: Sequence[Tables]) -> bytes:
    """A valid file with one to four entries changed, taken out, doubled, renamed or moved."""
    tables = copy.deepcopy(draw(st.sampled_from(bases)))
    for _ in range(draw(st.integers(1, 4))):
        _mutate(draw, tables)
    return toml_text(tables).encode("utf-8", "surrogatepass")


def _mutate(draw: st.DrawFn, tables: Tables) -> None:
    """Goes down into the tables at random and changes what it finds there."""
    here: Any = tables
    while True:
        keys = list(here) if isinstance(here, dict) else list(range(len(here)))
        if not keys:
            return
        key = draw(st.sampled_from(keys))
        deeper = isinstance(here[key], dict | list) and len(here[key]) > 0
        if not deeper or draw(st.integers(0, 3)) == 0:
            break
        here = here[key]
    match draw(st.sampled_from(["value", "value", "value", "out", "twice", "name", "new", "many"])):
        case "value":
            here[key] = draw(wild())
        case "out":
            del here[key]
        case "twice" if isinstance(here, list):
            here.insert(key, copy.deepcopy(here[key]))
        case "name" if isinstance(here, dict):
            here[key[:-1] + draw(st.text("aeiou_-", max_size=2))] = here.pop(key)
        case "new" if isinstance(here, dict):
            here[draw(st.text("abc. \n", max_size=4))] = draw(wild())
        case "many" if isinstance(here, list):
            here.extend(copy.deepcopy(here[key]) for _ in range(draw(st.sampled_from([10, 600]))))
        case _:
            here[key] = draw(wild())


@st.composite
def garbled(draw: st.DrawFn, bases: Sequence[bytes]) -> bytes:
    """Bytes put in, taken out or overwritten, or an end that is missing."""
    text = bytearray(draw(st.sampled_from(bases)))
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(text)))
        piece = draw(st.one_of(st.binary(max_size=4), st.sampled_from([b"[[", b"]", b'"', b"\n", b"= ", b"9" * 5000])))
        text[at : at + draw(st.integers(0, 6))] = piece
    if draw(st.integers(0, 5)) == 0:
        del text[draw(st.integers(0, len(text))) :]
    return bytes(text)


def _files(bases: Sequence[Tables]) -> st.SearchStrategy[bytes]:
    texts = [toml_text(tables).encode() for tables in bases]
    return st.one_of(mutated(bases), mutated(bases), garbled(texts), st.binary(max_size=200))


def broken_rooms() -> st.SearchStrategy[bytes]:
    """Room files, mostly wrong."""
    return _files(EXAMPLES)


def broken_profiles() -> st.SearchStrategy[bytes]:
    """Profile files, mostly wrong."""
    return _files(PROFILES)


def broken_lists() -> st.SearchStrategy[bytes]:
    """Lists for `plan`, mostly wrong."""
    return _files([LIST])


def broken_traces() -> st.SearchStrategy[tuple[str, bytes]]:
    """Drawings of a section with their ending, mostly wrong."""
    return st.one_of(
        st.tuples(st.just("svg"), st.one_of(garbled([SVG]), st.binary(max_size=100))),
        st.tuples(st.just("dxf"), st.one_of(garbled([DXF]), st.binary(max_size=100))),
    )
