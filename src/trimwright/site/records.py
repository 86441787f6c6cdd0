"""What is kept of a room once its pack is whole: what the site's bill, plan and page are made from.

A record lies in the folder of the site, not in the pack, which is the same as one that was built by itself. It is
written after the pack: where one is found that fits the pack and what the room is made from, nothing is built again.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from trimwright.drawing.cutting_plan import Blank
from trimwright.stock.needs import Needs
from trimwright.stock.parts import StockLength
from trimwright.stock.quantities import Quantity

__all__ = ["FOLDER", "Failure", "Outcome", "RoomRecord", "TrimRecord", "keep", "kept", "record_place", "recorded"]

FOLDER = ".records"
"""In the folder of a site; where it is, the folder is one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimRecord:
    """A trim of a room: `same` is alike for trims that can be cut from one bar, `words` say what it is."""

    name: str
    kind: str
    same: str
    words: str
    lengths: tuple[StockLength, ...]
    blanks: tuple[Blank, ...]
    copes: int
    mitres: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomRecord:
    """A room that was built: `made_from` and `pack` are the sums (SHA-256) of what it was made from and of pack.json.

    `owned` are the offcuts that lie in the room: trim, length, count. `warnings` say what does not fit.
    """

    made_from: str
    pack: str
    title: str
    pieces: int
    trims: tuple[TrimRecord, ...]
    needs: Needs
    light: tuple[Quantity, ...]
    owned: tuple[tuple[str, float, int], ...]
    notes: tuple[str, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Failure:
    """A room that could not be built, and why; `fault`: the program's, not the room file's."""

    message: str
    fault: bool = False


Outcome = RoomRecord | Failure

_RECORD = TypeAdapter(RoomRecord)


def record_place(site: Path, folder: str) -> Path:
    """Where the record of a pack lies."""
    return site / FOLDER / f"{folder}.json"


def recorded(site: Path) -> list[str]:
    """The folders of the packs that a site has a record of, this run's and those of runs before."""
    return sorted(place.stem for place in (site / FOLDER).glob("*.json") if (site / place.stem / "pack.json").is_file())


def keep(record: RoomRecord, place: Path) -> None:
    """Writes a record, whole or not at all."""
    place.parent.mkdir(parents=True, exist_ok=True)
    beside = place.with_suffix(".new")
    beside.write_bytes(_RECORD.dump_json(record))
    os.replace(beside, place)


def kept(place: Path, pack: Path, made_from: str) -> RoomRecord | None:
    """The record of a pack that is whole and was made from the same; None if it has to be built."""
    try:
        record = _RECORD.validate_json(place.read_bytes())
        index = (pack / "pack.json").read_bytes()
    except (OSError, ValidationError):
        return None
    same = record.made_from == made_from and record.pack == hashlib.sha256(index).hexdigest()
    return record if same and _whole(pack, json.loads(index)) else None


def _whole(pack: Path, index: Mapping[str, list[Mapping[str, str]]]) -> bool:
    """True if every file that a pack lists is there as it was written."""
    try:
        return all(
            hashlib.sha256((pack / entry["path"]).read_bytes()).hexdigest() == entry["sha256"]
            for entry in index["files"]
        )
    except OSError:
        return False
