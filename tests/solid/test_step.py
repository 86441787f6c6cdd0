"""The STEP file read back with the kernel's own reader: names, colours, volumes, and the same bytes each time."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import cadquery as cq
import pytest
from hand_rooms import bead, coped_pair, cove, mitred_pair, rectangle, trim_of

from trimwright.errors import OutputError
from trimwright.setout.piece import SetOut
from trimwright.solid.build import room_solids
from trimwright.solid.step import write_step

DATE = datetime(2026, 3, 4, 5, 6, 7)


def two_trims() -> SetOut:
    """A coped cove and, below it, a rail in another colour."""
    room = coped_pair(cove(90, 8), 90.0)
    rail = trim_of(bead(20).moved(0, -400), name="picture rail", letter="R", colour="#336699")
    rails = [
        replace(piece, id=f"R{k}", trim=rail)
        for k, piece in enumerate(mitred_pair(bead(20).moved(0, -400), 90.0).pieces, start=1)
    ]
    return replace(room, trims=(*room.trims, rail), pieces=(*room.pieces, *rails))


def test_parts_come_back_with_names_colours_and_volumes(tmp_path: Path) -> None:
    room = two_trims()
    solids = room_solids(room)
    write_step(tmp_path / "model.step", room, solids, DATE)
    back = cq.Assembly.importStep(str(tmp_path / "model.step"))
    parts = {
        node.name.split("/")[-1]: (node, node.parent.name.split("/")[-1])
        for _, node in back.traverse()
        if not node.children
    }
    assert back.name == room.room.name
    assert {name: trim for name, (_, trim) in parts.items()} == {p.id: p.trim.name for p in room.pieces}
    for piece in room.pieces:
        part, _ = parts[piece.id]
        shape = cq.Compound.makeCompound(part.shapes).moved(part.loc)
        assert shape.Volume() == pytest.approx(solids[piece.id].Volume(), rel=1e-8)
        assert shape.isValid()
        assert shape.Center().toTuple() == pytest.approx(solids[piece.id].Center().toTuple(), abs=1e-3)
        wanted = [int(piece.trim.material.colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
        assert part.color.toTuple()[:3] == pytest.approx(wanted, abs=1e-4)


def test_true_cylinders_are_written(tmp_path: Path) -> None:
    """Radius 82 of the cove as CYLINDRICAL_SURFACE, its mitre as an ELLIPSE 82 by 82 sqrt 2 (ISO 10303-42 names)."""
    room = mitred_pair(cove(90, 8), 90.0)
    write_step(tmp_path / "model.step", room, room_solids(room), DATE)
    text = (tmp_path / "model.step").read_text()
    assert text.count("CYLINDRICAL_SURFACE(") == 2
    assert "B_SPLINE" not in text
    ellipse = text.split("ELLIPSE(")[1].split(")")[0].split(",")
    assert [float(axis) for axis in ellipse[2:4]] == pytest.approx([82 * 2**0.5, 82])


def test_the_same_input_gives_the_same_bytes(tmp_path: Path) -> None:
    files = [tmp_path / folder / "model.step" for folder in ("one", "two")]
    for file in files:
        file.parent.mkdir()
        room = two_trims()
        write_step(file, room, room_solids(room), DATE)
    first, second = (file.read_bytes() for file in files)
    assert first == second
    assert b"'2026-03-04T05:06:07'" in first


def test_names_keep_their_letters(tmp_path: Path) -> None:
    room = mitred_pair(rectangle(30, 20), 90.0)
    room = replace(room, room=replace(room.room, name="Garderobe süd"))
    write_step(tmp_path / "model.step", room, room_solids(room), DATE)
    assert cq.Assembly.importStep(str(tmp_path / "model.step")).name == "Garderobe süd"


def test_a_room_may_be_called_like_its_trim(tmp_path: Path) -> None:
    room = mitred_pair(rectangle(30, 20), 90.0)
    room = replace(room, room=replace(room.room, name="cornice"))
    write_step(tmp_path / "model.step", room, room_solids(room), DATE)
    assert (tmp_path / "model.step").read_text().count("PRODUCT('cornice','cornice'") == 2


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    room = mitred_pair(rectangle(30, 20), 90.0)
    with pytest.raises(OutputError, match="cannot be written"):
        write_step(tmp_path / "nowhere" / "model.step", room, room_solids(room), DATE)


def test_a_trim_without_pieces_leaves_no_part(tmp_path: Path) -> None:
    room = mitred_pair(rectangle(30, 20), 90.0)
    room = replace(room, trims=(*room.trims, trim_of(bead(20), name="picture rail", letter="R")))
    write_step(tmp_path / "model.step", room, room_solids(room), DATE)
    assert "picture rail" not in (tmp_path / "model.step").read_text()
    assert len(cq.importers.importStep(str(tmp_path / "model.step")).solids().vals()) == 2
