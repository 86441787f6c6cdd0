"""Quantities by hand from lengths, areas and published rates; rates a room file gives anew; holes; weights."""

from __future__ import annotations

import math
from decimal import Decimal
from itertools import pairwise

import pytest

from example_rooms import EXAMPLES
from trimwright.data import table
from trimwright.errors import RoomFileError
from trimwright.project.project import read_project
from trimwright.setout.piece import Joint
from trimwright.setout.set_out import set_out
from trimwright.setout.volume import swept_volume
from trimwright.stock.buying import buying
from trimwright.stock.handling import fixing, mass_by_metre, needs_two
from trimwright.stock.holes import all_holes
from trimwright.stock.rates import rates_of

# 4000 x 3000, mitred all round: 14 m of trim by its back edge, four corners.
ROOM = 'format = 1\n[room]\nname = "Store"\nceiling = 2400\n' + "".join(
    f'[[wall]]\nname = "{name}"\nlength = {length}\n' for name, length in zip("abcd", (4000, 3000) * 2, strict=True)
)

COVE = """
[[trim]]
name = "cove"
profile = "cove"
size = { drop = 100, projection = 100 }
back = "wall"
top = "ceiling"
material = "gypsum plaster"
joints = { internal = "mitre" }
"""

BATTEN = """
[[trim]]
name = "batten"
profile = "batten"
size = { drop = 40, projection = 20 }
back = "wall"
top = "ceiling"
material = "softwood"
joints = { internal = "mitre" }
"""

CHANNEL = """
[[trim]]
name = "channel"
profile = "channel-upright"
size = { drop = 15, projection = 20 }
back = 22
bottom = 2300
stock = [ { length = 3000 } ]
"""


def bill(project):
    return buying(set_out(project), project)


def row(project, item):
    (found,) = [r for r in bill(project).rows if r.item == item]
    return found


def test_two_beads_by_hand(project_of) -> None:
    """Adhesive: beads of 6 mm, pi 3² = 28.27 mm², two along 14 m: 792 ml, with a tenth 871 ml: three of 310 ml.

    Filler: fillets of 4 x 4 / 2 = 8 mm², two along 14 m: 224 ml, with a tenth 246 ml: one.
    """
    project = project_of(ROOM + COVE)
    assert table("rates")["adhesive"]["bead"] == pytest.approx(math.pi * 3**2, abs=0.05)
    assert row(project, "adhesive").quantity == math.ceil(2 * 14 * 28.27 * 1.1 / 310) == 3
    assert "872 ml" in row(project, "adhesive").note
    assert row(project, "filler").quantity == math.ceil(2 * 14 * 8 * 1.1 / 310) == 1
    assert "246 ml" in row(project, "filler").note


def test_corner_glue_covers_each_mitre_once(project_of) -> None:
    """A mitre at 45 degrees cuts a section of 40 x 20 over 800 sqrt 2 mm²; four of them in a film of 0.3 mm."""
    project = project_of(ROOM + BATTEN + "[rates.kind.batten]\nglue = true\n")
    found = row(project, "corner glue")
    area = 4 * 800 * math.sqrt(2)
    assert found.quantity == math.ceil(area * 0.3 / 1000 * 1.1 / 50) == 1
    assert found.note.startswith(f"film x cut face: 0.3 mm x {area / 100:.0f} cm² in 4 joints")


def test_paint_spreads_as_the_ecolabel_asks(project_of) -> None:
    """Commission Decision 2014/312/EU: at least 8 m² a litre.

    The girth of a cove with lips of 8 is two lips and a quarter hollow.
    """
    rates = table("rates")
    assert rates["paint"]["spread"] == rates["primer"]["spread"] == 8
    project = project_of(ROOM + COVE)
    girth = 2 * 8 + math.pi / 2 * (100 - 8)
    area = girth * 14_000 / 1e6
    assert f"{area:.2f} m²" in row(project, "paint").note
    assert row(project, "paint").quantity == Decimal(math.ceil(area * 2 * 1.1 / 8 * 10)) / 10
    assert row(project, "primer").quantity == Decimal(math.ceil(area * 1.1 / 8 * 10)) / 10
    assert row(project, "abrasive").quantity == math.ceil(area * 2 / 1.5)


def test_channel_fittings_are_counted_by_its_ends(project_of) -> None:
    """Four corners; each wall of 4000 needs two lengths of 3000: one joint; all round, so nothing is open."""
    project = project_of(ROOM + CHANNEL)
    run = sum(p.length for p in set_out(project).pieces)
    assert row(project, "channel corner connector").quantity == 4
    assert row(project, "channel joint connector").quantity == 2
    assert row(project, "channel diffuser").quantity == Decimal(math.ceil(run / 100)) / 10
    assert not [r for r in bill(project).rows if r.item == "channel end cap"]
    opened = project_of(ROOM + CHANNEL.replace("back = 22", 'back = 22\nwalls = ["a", "b"]'))
    assert row(opened, "channel end cap").quantity == 2
    assert row(opened, "channel corner connector").quantity == 1


def test_rates_given_anew(project_of) -> None:
    project = project_of(
        ROOM + COVE + '[rates]\nadhesive = { pack = 600, unit = "bag" }\n[rates.kind.cornice]\nadhesive = 1\n'
    )
    found = row(project, "adhesive")
    assert (found.quantity, found.unit) == (math.ceil(14 * 28.27 * 1.1 / 600), "bag")
    assert row(project, "filler").quantity == 1


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[rates.adhesiv]\npack = 1\n", r"\[rates\]: there is no rate 'adhesiv'; did you mean 'adhesive'"),
        ("[rates.pins]\nspaces = 1\n", r"\[rates\], pins: there is no rate 'spaces'"),
        ("[rates.pins]\nspacing = 0\n", r"pins, spacing: write a number from 0.001 to 1000000 \(it is 0\)"),
        ("[rates.paint]\ncoats = 'two'\n", r"paint, coats: write a number"),
        ("[rates.kind.cornice]\npins = 1.5\n", r"kind, cornice, pins: write a whole number"),
        ("[rates.kind]\ncornice = 1\n", r"kind, cornice: give the rates by name"),
        ("[rates.kind.cornice]\npaint = 1\n", r"kind, cornice, paint: write true or false"),
    ],
)
def test_a_rate_that_cannot_be_is_refused(project_of, text, said) -> None:
    with pytest.raises(RoomFileError, match=said):
        bill(project_of(ROOM + COVE + text))


def test_every_rate_and_density_has_a_source() -> None:
    rates = table("rates")
    for name, entries in [*rates.items(), *rates["kind"].items(), *table("materials").items()]:
        assert name == "kind" or entries["source"], name


def test_densities_are_those_published() -> None:
    """TRADA, Timber frame construction, table A2.1: gypsum plaster 1200, EPS 28, XPS 35, softwood 350 to 550.

    CIBSE Guide A, tables 3.36 and 3.37: aluminium 2700, rigid PU foam 45. MDF mouldings 700 to 800: from memory.
    """
    density = {name: entry["density"] for name, entry in table("materials").items()}
    published = {"gypsum plaster": 1200, "eps foam": 28, "xps foam": 35, "aluminium": 2700, "pu foam": 45}
    assert {name: density[name] for name in published} == published
    assert 350 <= density["softwood"] <= 550
    assert 700 <= density["mdf"] <= 800


def test_mass_of_a_mitred_batten_by_hand(project_of) -> None:
    """40 x 20, centroid 10 out: 4000 less 10 at each 45 degree mitre; softwood of 460 kg/m³."""
    piece = set_out(project_of(ROOM + BATTEN)).pieces[0]
    by_hand = 40 * 20 * (4000 - 2 * 10) * 1e-9 * 460
    assert swept_volume(piece) * 1e-9 * piece.trim.material.density == pytest.approx(by_hand)
    assert mass_by_metre(piece.trim) == pytest.approx(0.04 * 0.02 * 460)


def test_two_people_for_what_is_heavy_long_or_brittle(project_of) -> None:
    project = project_of(ROOM + BATTEN.replace('top = "ceiling"', "top = 2000") + COVE)
    rates = rates_of(project)
    done = set_out(project)
    batten = next(p for p in done.pieces if p.trim.name == "batten")
    cove = next(p for p in done.pieces if p.trim.name == "cove")
    assert needs_two(batten, 1.5, rates) == "long"
    assert needs_two(batten, 5.1, rates) == "heavy and long"
    assert needs_two(cove, 1.0, rates) == "brittle and long"
    assert "screws" in fixing(cove.trim, rates)
    assert fixing(batten.trim, rates) == "adhesive and screws every 450 mm"


def test_screws_are_even_and_counted(project_of) -> None:
    """4000 less 20 at each mitre at the back... the back runs 0 to 4000: 60, then 3880 in nine parts of 431.1."""
    project = project_of(ROOM + BATTEN)
    found = all_holes(set_out(project), rates_of(project))
    parts = math.ceil(3880 / 450)
    assert found[0].along == pytest.approx([60 + k * 3880 / parts for k in range(parts + 1)], abs=0.06)
    assert found[0].stations == pytest.approx(found[0].along)
    screws = 2 * (math.ceil(3880 / 450) + 1) + 2 * (math.ceil(2880 / 450) + 1)
    assert sum(len(h.along) for h in found) == screws
    assert row(project, "screws").quantity == math.ceil(screws / 50)
    assert row(project, "screws").note.endswith(f"{screws} screws")


@pytest.mark.parametrize("name", ["reading-room", "alcove", "hall", "bay", "bow"])
def test_no_hole_falls_in_a_slot_over_a_joint_or_off_the_piece(name) -> None:
    """25 mm clear of slots and of joints in the trim behind, and inside the back edge of its own piece."""
    project = read_project(EXAMPLES / f"{name}.toml")
    done = set_out(project)
    for found in all_holes(done, rates_of(project)):
        piece, back = found.piece, found.piece.trim.edges.back
        long = (piece.right.at(back) - piece.left.at(back)) * piece.stretch * piece.frame.scale(back)
        assert all(0 < a < long for a in found.along)
        for notch in piece.notches:
            middle = (notch.station - piece.left.at(back)) * piece.stretch * piece.frame.scale(back)
            assert all(abs(a - middle) >= notch.radius + 25 - 0.1 for a in found.along)
    battens = [p for p in done.pieces if p.trim.section.kind == "batten" and p.right.corner is None and p.right.mate]
    for piece in battens:
        for found in all_holes(done, rates_of(project)):
            if found.piece.trim.section.kind == "channel" and found.piece.wall == piece.wall:
                assert all(abs(s - piece.right.station) >= 25 - 0.1 for s in found.stations)


def test_no_screw_goes_through_a_pipe_or_a_box_behind_the_trim(project_of) -> None:
    """The middle of a batten of 90 is where a pipe of 22 lies: the row runs higher or lower, past its groove of 28 by
    10 at the least; a box as high as the batten is passed on both sides by 25."""
    batten = COVE.replace('"cove"', '"batten"').replace('top = "ceiling"', "bottom = 2000")
    batten = batten.replace("drop = 100, projection = 100", "drop = 90, projection = 60")
    pipe = '[[pipe]]\nwall = "a"\nname = "gas"\ndiameter = 22\npoints = [[500, 25, 2045], [1500, 25, 2045]]\n'
    box = '[[fitting]]\nwall = "a"\nname = "box"\nfrom_left = 1700\nwidth = 100\nbottom = 1990\ntop = 2100\nout = 30\n'
    project = project_of(f"{ROOM}{batten}{pipe}{box}let_in = true\n")
    found = all_holes(set_out(project), rates_of(project))[0]
    assert found.piece.grooves
    assert found.piece.housings
    assert all(abs(level - 2045) >= 14 + 10 for level in found.levels)
    assert not [s for s in found.own if 1695 - 25 < s < 1805 + 25]
    assert max(b - a for a, b in pairwise(found.own)) < 700


def test_a_cope_is_glued_on_one_face_only(project_of) -> None:
    rail = COVE.replace('"cove"', '"rail"', 1).replace('profile = "cove"', 'profile = "rail-plain"')
    rail = rail.replace("size = { drop = 100, projection = 100 }\n", "").replace("gypsum plaster", "softwood")
    project = project_of(ROOM + rail.replace('"mitre"', '"cope"'))
    copes = [end for p in set_out(project).pieces for end in (p.left, p.right) if end.joint is Joint.COPE]
    assert f"in {len(copes)} joints" in row(project, "corner glue").note
