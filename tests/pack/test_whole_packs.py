"""Whole packs: every file is there, and pieces, meshes, solids, drawings and lists say the same."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import math
import re
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from stl import mesh as numpy_stl

from example_rooms import EXAMPLE_NAMES, EXAMPLES, example_set_out
from trimwright.cli import main
from trimwright.setout.piece import SetOut


@dataclass
class Built:
    folder: Path
    name: str

    @cached_property
    def data(self) -> dict[str, Any]:
        return json.loads((self.folder / "pack.json").read_text(encoding="utf-8"))

    @property
    def set_out(self) -> SetOut:
        return example_set_out(self.name)


@pytest.fixture(scope="module", params=EXAMPLE_NAMES)
def built(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Built:
    """Each example without pictures; the reading room with everything."""
    folder = tmp_path_factory.mktemp("packs") / request.param
    quick = [] if request.param == "reading-room" else ["--no-pictures"]
    assert main(["build", str(EXAMPLES / f"{request.param}.toml"), "--out", str(folder), *quick]) == 0
    return Built(folder, request.param)


def test_the_contract_of_pack_json(built: Built) -> None:
    data = built.data
    assert list(data) == [
        *("format", "room", "trims", "pieces", "cuts", "stock", "buying", "clearances", "light", "order", "files")
    ]
    assert list(data["room"]) == ["name", "closed", "walls", "survey"]
    assert list(data["room"]["walls"][0]) == ["name", "length", "start", "end", "corner"]
    assert list(data["trims"][0]) == ["name", "profile", "material", "size", "edges"]
    assert list(data["trims"][0]["size"]) == ["drop", "projection", "face_width", "girth", "area"]
    assert list(data["pieces"][0]) == [
        *(
            "id",
            "trim",
            "wall",
            "station_from",
            "station_to",
            "back_length",
            "front_length",
            "length",
            "volume",
            "mass",
        ),
        *("left", "right", "notches"),
    ]
    assert list(data["pieces"][0]["left"]) == ["joint", "corner", "mate"]
    assert list(data["cuts"][0]) == [
        *("piece", "end", "method", "mitre", "swing", "bevel", "tilt", "place", "on_bed", "against_fence")
    ]
    assert list(data["buying"][0]) == ["item", "quantity", "unit", "price", "cost"]


def test_numbers_are_rounded_to_a_ten_thousandth(built: Built) -> None:
    for number in re.findall(r"-?\d+\.\d+", (built.folder / "pack.json").read_text()):
        assert len(number.split(".")[1]) <= 4


def test_every_file_is_listed_with_its_sum(built: Built) -> None:
    listed = {f["path"]: f["sha256"] for f in built.data["files"]}
    there = {p.relative_to(built.folder).as_posix() for p in built.folder.rglob("*") if p.is_file()} - {"pack.json"}
    assert set(listed) == there
    for path, digest in listed.items():
        assert hashlib.sha256((built.folder / path).read_bytes()).hexdigest() == digest


CONTRACT = {
    "trims": "name profile material size edges",
    "pieces": "id trim wall station_from station_to back_length front_length length volume mass left right notches",
    "cuts": "piece end method mitre swing bevel tilt place on_bed against_fence",
    "stock": "trim length pieces waste",
    "buying": "item quantity unit price cost",
    "clearances": "trim piece obstacle wanted actual ok",
    "files": "path sha256",
}
"""The keys of every entry of a list in pack.json; `bend` is said of a bent piece besides."""


def test_entries_have_the_keys_of_the_contract(built: Built) -> None:
    for name, keys in CONTRACT.items():
        assert built.data[name] or (built.name == "box-room" and name in ("clearances", "stock"))
        for entry in built.data[name]:
            assert [k for k in entry if k != "bend"] == keys.split(), name
    for piece in built.data["pieces"]:
        assert all(list(piece[side]) == ["joint", "corner", "mate"] for side in ("left", "right"))
        assert all(list(n) == ["pipe", "station", "width", "depth", "open"] for n in piece["notches"])
        assert ("bend" in piece) == (built.set_out.piece(piece["id"]).bend is not None)


def test_the_files_of_the_contract_are_there(built: Built) -> None:
    there = {f["path"] for f in built.data["files"]}
    walls = len(built.data["room"]["walls"])
    expected = {
        *("index.html", "cutlist.csv", "buying.csv", "clearances.csv", "drawings/elevations.dxf", "model.step"),
        *("sheets/ceiling-plan.svg", "sheets/section.svg", "print/templates.pdf", "print/drawings.pdf"),
        *("meshes/room.glb", *(f"sheets/wall-{n}.svg" for n in range(1, walls + 1))),
    }
    assert expected <= there
    assert any(path.startswith("templates/") for path in there)


def test_lengths_follow_from_stations_and_corners(built: Built) -> None:
    """Along a ceiling that rises by t a trim that follows it is longer by sqrt(1 + t²). Stations of a curved wall run
    along its face: the chord or the tangent of an arc s differs from it by less than (s / r)² of itself.
    """
    room, following = built.set_out.room, {t.name for t in built.set_out.trims if t.follows}
    for piece in built.data["pieces"]:
        wall = next(w for w in room.walls if w.name == piece["wall"])
        left, right = room.ceiling_ends(wall.index)
        slope = (right - left) / wall.length if piece["trim"] in following else 0.0
        along = (piece["station_to"] - piece["station_from"]) * math.hypot(1, slope)
        curve = (along / wall.bend.radius) ** 2 if wall.bend is not None and "bend" not in piece else 0.0
        assert piece["back_length"] == pytest.approx(along, abs=2e-4 + curve * along)
        assert piece["length"] >= max(piece["back_length"], piece["front_length"]) - 2e-4


def test_mass_is_volume_times_density(built: Built) -> None:
    density = {t.name: t.material.density for t in built.set_out.trims}
    for piece in built.data["pieces"]:
        assert piece["mass"] == pytest.approx(piece["volume"] * 1e-9 * density[piece["trim"]], abs=1e-4)


def test_stl_volumes_are_those_of_the_pieces(built: Built) -> None:
    """An independent reader (numpy-stl) on every STL: its volume is the sum of the pieces of that trim."""
    for path in (built.folder / "meshes").glob("*.stl"):
        body = numpy_stl.Mesh.from_file(str(path))
        pieces = [p for p in built.data["pieces"] if p["trim"].replace(" ", "-") == path.stem]
        volume = body.get_mass_properties()[0]
        assert volume == pytest.approx(sum(p["volume"] for p in pieces), rel=2e-4)


def test_the_exact_solids_have_the_volumes_of_the_pieces(built: Built) -> None:
    import cadquery as cq

    solids = cq.importers.importStep(str(built.folder / "model.step")).solids().vals()
    volumes = sorted(s.Volume() for s in solids)
    assert volumes == pytest.approx(sorted(p["volume"] for p in built.data["pieces"]), rel=1e-4)


def test_every_piece_is_on_paper(built: Built) -> None:
    sheets = {p.stem: p.read_text(encoding="utf-8") for p in (built.folder / "sheets").glob("*.svg")}
    walls = [w["name"] for w in built.data["room"]["walls"]]
    for piece in built.data["pieces"]:
        label = re.compile(rf"\b{piece['id']}\b")
        assert label.search(sheets["ceiling-plan"])
        assert label.search(sheets[f"wall-{walls.index(piece['wall']) + 1}"])


def test_every_piece_is_in_the_elevations(built: Built) -> None:
    import ezdxf

    document = ezdxf.readfile(built.folder / "drawings" / "elevations.dxf")
    assert not document.audit().errors
    space = document.modelspace()
    texts = " ".join([*(e.dxf.text for e in space.query("TEXT")), *(e.plain_text() for e in space.query("MTEXT"))])
    for piece in built.data["pieces"]:
        assert re.search(rf"\b{piece['id']}\b", texts)


def test_the_cut_list_says_what_pack_json_says(built: Built) -> None:
    rows = list(csv.DictReader(io.StringIO((built.folder / "cutlist.csv").read_text(encoding="utf-8"))))
    assert len(rows) == len(built.data["cuts"]) == 2 * len(built.data["pieces"])
    lengths = {p["id"]: p["length"] for p in built.data["pieces"]}
    for row, cut in zip(rows, built.data["cuts"], strict=True):
        assert (row["piece"], row["end"], row["held"]) == (cut["piece"], cut["end"], cut["method"])
        assert float(row["mitre"]) == pytest.approx(cut["mitre"], abs=0.026)  # as read on the scale, to 0.05
        assert float(row["length"]) == pytest.approx(lengths[row["piece"]], abs=0.06)


def test_stock_holds_every_piece_once(built: Built) -> None:
    stocked = {t.name for t in built.set_out.trims if t.stock}
    in_stock = sorted(i for bar in built.data["stock"] for i in bar["pieces"])
    assert in_stock == sorted(p["id"] for p in built.data["pieces"] if p["trim"] in stocked)
    lengths = {p["id"]: p["length"] for p in built.data["pieces"]}
    for bar in built.data["stock"]:
        assert sum(lengths[i] for i in bar["pieces"]) <= bar["length"] + 1e-6


def test_every_corner_has_its_templates(built: Built) -> None:
    names = [p.stem for p in (built.folder / "templates").glob("corner-*.svg")]
    corners = len([c for c in built.set_out.room.corners if c is not None])
    for k in range(1, corners + 1):
        assert any(name.startswith((f"corner-{k}-", f"corner-{k + 1}-")) for name in names)


def test_files_on_the_page_are_counted_as_a_person_counts(built: Built) -> None:
    """The tenth after the ninth, not after the first; and every template is there."""
    page = (built.folder / "index.html").read_text(encoding="utf-8")
    linked = re.findall(r'href="templates/([^"]+)\.svg"', page)
    assert sorted(linked) == sorted(p.stem for p in (built.folder / "templates").glob("*.svg"))
    for kind in {re.sub(r"\d+$", "", name) for name in linked}:
        numbers = [int(m[1]) for name in linked if (m := re.fullmatch(rf"{re.escape(kind)}(\d+)", name))]
        assert numbers == sorted(numbers)


def test_volumes_follow_pappus(built: Built) -> None:
    """Pappus and Guldin: a mitred run has the volume of its section times the length of its centroid's path."""
    for trim in built.set_out.trims:
        pieces = built.set_out.of_trim(trim)
        if any(p.notches for p in pieces) or {"cope"} & {str(e.joint) for p in pieces for e in (p.left, p.right)}:
            continue
        path = sum(p.length_at(trim.outline.centroid[0]) for p in pieces)
        volume = sum(p["volume"] for p in built.data["pieces"] if p["trim"] == trim.name)
        assert volume == pytest.approx(trim.outline.area * path, rel=1e-9)


def test_the_room_itself_is_in_the_glb(built: Built) -> None:
    import trimesh

    scene = trimesh.load(built.folder / "meshes" / "room.glb")
    low, high = scene.bounds * 1000
    xs, ys = zip(*built.set_out.room.plan, strict=True)
    inside = np.array([min(xs), min(ys)]), np.array([max(xs), max(ys)])
    # glTF: metres, y up; plan y is -z.
    assert low[0] <= inside[0][0] + 1
    assert high[0] >= inside[1][0] - 1
    assert -high[2] <= inside[0][1] + 1
    assert -low[2] >= inside[1][1] - 1


def test_an_old_pack_stays_whole_when_the_new_one_cannot_be(tmp_path: Path) -> None:
    room = tmp_path / "den.toml"
    room.write_text((EXAMPLES / "box-room.toml").read_text())
    place = tmp_path / "pack"
    quick = ["--out", str(place), "--no-pictures", "--no-step"]
    assert main(["build", str(room), *quick]) == 0
    before = {p: p.read_bytes() for p in place.rglob("*") if p.is_file()}
    for wrong in ("length = 2710", 'profile = "cove"', "format = 1"):
        room.write_text((EXAMPLES / "box-room.toml").read_text().replace(wrong, "# gone"))
        assert main(["build", str(room), *quick]) == 2
        assert {p: p.read_bytes() for p in place.rglob("*") if p.is_file()} == before
