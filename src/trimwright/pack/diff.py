"""What a change of the room file means at the bench: pieces longer, shorter, new, gone."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

from trimwright.errors import RoomFileError

__all__ = ["Change", "Kind", "changes", "difference", "read_side"]

SEEN = 0.05
"""Lengths (mm) and angles that differ by less are the same on a tape and a saw."""

ENDS = 5.0
"""An end that is cut otherwise counts as so much of length (mm) when old and new pieces are paired."""

WAYS = (("bottom", "lower", "higher"), ("back", "nearer to the wall", "further from the wall"))
"""What a trim does whose edge lies at less, or at more, than before."""

Row = Mapping[str, Any]
"""A piece or a trim as pack.json has it."""

Pair = tuple[Row | None, Row | None]
"""A piece as it was and as it is."""


class Kind(StrEnum):
    """What becomes of a piece."""

    LONGER = "longer"
    SHORTER = "shorter"
    OTHERWISE = "cut otherwise"
    NEW = "new"
    GONE = "gone"
    SAME = "as it was"


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One piece, as it was and as it is; `said` are the sentences for it."""

    kind: Kind
    old: Row | None
    new: Row | None
    said: tuple[str, ...] = ()

    @property
    def piece(self) -> Row:
        """The piece as it is, or as it was if it is gone."""
        row = self.new or self.old
        if row is None:
            raise ValueError("a change of nothing")
        return row


def difference(old: Path, new: Path, as_json: bool = False) -> str:
    """What changed from one pack or room file to another, in words for a fitter or as data."""
    before, after = read_side(old), read_side(new)
    found = changes(before, after)
    if as_json:
        return json.dumps(_data(found), indent=1, ensure_ascii=False)
    shown = [c for c in found if c.kind is not Kind.SAME or c.said]
    return "\n".join([*_trim_words(before, after), *map(_words, shown), _summary(found)])


def read_side(path: Path) -> dict[str, Any]:
    """The data of a pack (its folder or its pack.json), or of a room file set out now. Raises RoomFileError."""
    if path.suffix == ".toml" and not path.is_dir():
        from trimwright.pack.data import pack_data
        from trimwright.pack.job import job_of
        from trimwright.project.project import read_project

        return pack_data(job_of(read_project(path)), ())
    file = path / "pack.json" if path.is_dir() else path
    if file.exists() and not file.is_file():
        raise RoomFileError(f"{file}: is not a file; give a pack's folder or a room file")
    try:
        data = json.loads(file.read_text(encoding="utf-8"))
        for piece in data["pieces"]:
            _told(piece)
        for trim in data["trims"]:
            _hung(trim)
        return {"trims": data["trims"], "pieces": data["pieces"]}
    except OSError as error:
        raise RoomFileError(f"{file}: cannot be read: {error.strerror}; give a pack's folder or a room file") from None
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise RoomFileError(f"{file}: is not the data of a pack; give a pack's folder or a room file") from None


def changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[Change, ...]:
    """Every piece of both, in the order of the new ones, those that are gone where they were."""
    was, now = _by_place(before["pieces"]), _by_place(after["pieces"])
    places = dict.fromkeys([*now, *was])
    return tuple(_change(old, new) for place in places for old, new in _paired(was.get(place, []), now.get(place, [])))


def _by_place(pieces: Sequence[Row]) -> dict[tuple[str, str], list[Row]]:
    """The pieces of each trim on each wall, in their order."""
    found: dict[tuple[str, str], list[Row]] = {}
    for piece in pieces:
        found.setdefault((piece["trim"], piece["wall"]), []).append(piece)
    return found


def _paired(old: Sequence[Row], new: Sequence[Row]) -> list[Pair]:
    """Old and new pieces of one trim on one wall, from left to right, paired so that least is cut anew.

    The alignment of least cost (edit distance): a pair costs what its lengths and ends differ, a piece that is new or
    gone its length.
    """
    best: dict[tuple[int, int], tuple[float, list[Pair]]] = {(0, 0): (0.0, [])}
    for i in range(len(old) + 1):
        for j in range(len(new) + 1):
            options: list[tuple[tuple[float, list[Pair]], float, Pair]] = []
            if i and j:
                options.append((best[i - 1, j - 1], _cost(old[i - 1], new[j - 1]), (old[i - 1], new[j - 1])))
            if i:
                options.append((best[i - 1, j], old[i - 1]["length"], (old[i - 1], None)))
            if j:
                options.append((best[i, j - 1], new[j - 1]["length"], (None, new[j - 1])))
            if options:
                (cost, pairs), more, pair = min(options, key=lambda option: option[0][0] + option[1])
                best[i, j] = (cost + more, [*pairs, pair])
    return best[len(old), len(new)][1]


def _cost(old: Row, new: Row) -> float:
    ends = sum(old[side]["joint"] != new[side]["joint"] for side in ("left", "right"))
    return float(abs(old["length"] - new["length"]) + ENDS * ends)


def _change(old: Row | None, new: Row | None) -> Change:
    if old is None or new is None:
        return Change(kind=Kind.NEW if old is None else Kind.GONE, old=old, new=new)
    cuts = (*_end_words(old, new), *_notch_words(old, new))
    kind, by = Kind.OTHERWISE if cuts else Kind.SAME, new["length"] - old["length"]
    if abs(by) >= SEEN:
        kind = Kind.LONGER if by > 0 else Kind.SHORTER
    return Change(kind=kind, old=old, new=new, said=(*cuts, *_place_words(old, new)))


def _end_words(old: Row, new: Row) -> Iterator[str]:
    """Ends that are cut otherwise: another joint, or another corner."""
    for side in ("left", "right"):
        was, now = old[side], new[side]
        turned = abs((was["corner"] or 0.0) - (now["corner"] or 0.0)) >= SEEN
        if was["joint"] != now["joint"] or turned:
            yield f"{side} end: {_end(was)} becomes {_end(now)}"


def _end(end: Row) -> str:
    plain = end["corner"] is None or end["joint"] == "return"
    return str(end["joint"]) if plain else f"{end['joint']} at a corner of {end['corner']:.1f}°"


def _notch_words(old: Row, new: Row) -> Iterator[str]:
    was, now = ({n["pipe"]: n for n in piece["notches"]} for piece in (old, new))
    for pipe in (p for p in now if p not in was):
        yield f"a slot for {pipe}, {now[pipe]['station'] - new['station_from']:.1f} from the left end"
    yield from (f"no slot for {pipe} any more" for pipe in was if pipe not in now)
    for pipe in (p for p in now if p in was):
        a, b = was[pipe], now[pipe]
        if any(abs(a[key] - b[key]) >= SEEN for key in ("width", "depth")) or a["open"] != b["open"]:
            yield f"the slot for {pipe} is {b['width']:.1f} wide and {b['depth']:.1f} deep"
        elif abs((b["station"] - new["station_from"]) - (a["station"] - old["station_from"])) >= SEEN:
            yield f"the slot for {pipe} is {b['station'] - new['station_from']:.1f} from the left end"


def _place_words(old: Row, new: Row) -> Iterator[str]:
    """What changes without a cut: its name, its place along the wall."""
    moved = new["station_from"] - old["station_from"]
    if abs(moved) >= SEEN and abs(new["station_to"] - old["station_to"] - moved) < SEEN:
        yield f"moves {abs(moved):.1f} to the {'right' if moved > 0 else 'left'}"
    if old["id"] != new["id"]:
        yield f"was called {old['id']}"


def _words(change: Change) -> str:
    """'C3 (cornice, east): 12.0 longer, 2400.0 becomes 2412.0: a new piece; left end: ...'."""
    piece = change.piece
    parts = [f"{change.kind}, {piece['length']:.1f} long"] if change.kind in (Kind.NEW, Kind.GONE) else []
    if change.old is not None and change.new is not None and change.kind in (Kind.LONGER, Kind.SHORTER):
        was, now = change.old["length"], change.new["length"]
        do = "cut a new one" if change.kind is Kind.LONGER else "it can be cut down"
        parts.append(f"{abs(now - was):.1f} {change.kind}, {was:.1f} becomes {now:.1f}: {do}")
    return f"{piece['id']} ({piece['trim']}, {piece['wall']}): " + "; ".join([*parts, *change.said])


def _trim_words(before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[str]:
    """Trims that changed as a whole: all their pieces are other ones, or hang elsewhere."""
    was = {trim["name"]: trim for trim in before["trims"]}
    for trim in (t for t in after["trims"] if t["name"] in was):
        old, name = was[trim["name"]], trim["name"]
        for key in ("profile", "material"):
            if old[key] != trim[key]:
                yield f"{name}: its {key} was {old[key]} and is {trim[key]}: every piece is a new one"
        for key in ("drop", "projection"):
            a, b = old["size"][key], trim["size"][key]
            if abs(a - b) >= SEEN:
                yield f"{name}: its {key} was {a:g} and is {b:g}: every piece is a new one"
        for edge, less, more in WAYS:
            by = trim["edges"][edge] - old["edges"][edge]
            if abs(by) >= SEEN:
                yield f"{name}: hangs {abs(by):.1f} {more if by > 0 else less}"


def _summary(found: Sequence[Change]) -> str:
    counts = {kind: sum(change.kind is kind for change in found) for kind in Kind}
    if counts[Kind.SAME] == len(found):
        return f"All {len(found)} pieces are cut as they were."
    return ", ".join(f"{count} {kind}" for kind, count in counts.items() if count)


def _data(found: Sequence[Change]) -> dict[str, Any]:
    return {
        "changes": [
            {
                "piece": change.piece["id"],
                "was": None if change.old is None else change.old["id"],
                "trim": change.piece["trim"],
                "wall": change.piece["wall"],
                "change": str(change.kind),
                "old_length": None if change.old is None else round(change.old["length"], 4),
                "new_length": None if change.new is None else round(change.new["length"], 4),
                "said": list(change.said),
            }
            for change in found
        ],
        "counts": {str(kind): sum(change.kind is kind for change in found) for kind in Kind},
    }


def _hung(trim: Row) -> None:
    """Raises KeyError, TypeError or ValueError unless a trim has all that is compared."""
    for table, key in (("size", "drop"), ("size", "projection"), ("edges", "bottom"), ("edges", "back")):
        float(trim[table][key])
    for key in ("name", "profile", "material"):
        if not isinstance(trim[key], str):
            raise TypeError(key)


def _told(piece: Row) -> None:
    """Raises KeyError, TypeError or ValueError unless a piece has all that is compared."""
    for key in ("length", "station_from", "station_to"):
        float(piece[key])
    for key in ("id", "trim", "wall"):
        if not isinstance(piece[key], str):
            raise TypeError(key)
    for side in ("left", "right"):
        float(piece[side]["corner"] or 0.0)
        str(piece[side]["joint"])
    for notch in piece["notches"]:
        for key in ("station", "width", "depth"):
            float(notch[key])
        notch["pipe"], notch["open"]
