from __future__ import annotations

from itertools import pairwise, permutations

import pytest

from example_rooms import example_set_out
from trimwright.project.models import SawTable
from trimwright.saw.order import Visit, visits
from trimwright.saw.settings import settings
from trimwright.setout.piece import Joint, SetOut, Side


def round_trip(done: SetOut, saw: SawTable | None = None) -> tuple[Visit, ...]:
    return visits(done.pieces, settings(done.pieces, saw or SawTable()))


def test_every_end_once_and_each_setting_once(example: SetOut) -> None:
    made = round_trip(example)
    cuts = [(c.piece.id, c.setting.end) for v in made for c in v.cuts]
    assert sorted(cuts) == sorted((p.id, s) for p in example.pieces for s in Side)
    places = [(v.angles, v.by_hand, v.freeing) for v in made]
    assert len(set(places)) == len(places)
    for visit in made:
        for c in visit.cuts:
            assert (c.setting.printed.swing, c.setting.printed.lean) == visit.angles


def test_each_piece_has_one_first_cut(example: SetOut) -> None:
    firsts = [c.piece.id for v in round_trip(example) for c in v.cuts if c.first]
    assert sorted(firsts) == sorted(p.id for p in example.pieces)


def test_one_square_end_is_where_a_piece_starts(example: SetOut) -> None:
    """Square to the saw, that is: an end that is plumb on a slope leans a little and has its turn among the others."""
    made = round_trip(example)
    square = {(c.piece.id, c.setting.end) for visit in made if visit.angles == (0.0, 0.0) for c in visit.cuts}
    for c in (c for visit in made for c in visit.cuts):
        own = [s for s in Side if (c.piece.id, s) in square]
        if c.first and len(own) == 1 and not c.piece.is_return:
            assert c.setting.end is own[0]


def test_returns_are_mitred_first_and_freed_last(example: SetOut) -> None:
    made = round_trip(example)
    for k, visit in enumerate(made):
        for c in visit.cuts:
            if c.piece.is_return:
                assert c.first is (c.piece.end(c.setting.end).joint is Joint.RETURN)
                assert visit.freeing is not c.first
        assert not visit.freeing or k == len(made) - 1


def test_long_pieces_of_a_trim_first(example: SetOut) -> None:
    for visit in round_trip(example):
        for letter in {c.piece.trim.letter for c in visit.cuts}:
            lengths = [round(c.piece.length, 1) for c in visit.cuts if c.piece.trim.letter == letter]
            assert lengths == sorted(lengths, reverse=True)


@pytest.mark.parametrize("name", ["bay", "alcove", "hall"])
def test_the_saw_is_moved_least(name: str) -> None:
    """Against every order of the settings."""
    stops = [v.angles for v in round_trip(example_set_out(name)) if not v.freeing]

    def travel(order: tuple[tuple[float, float], ...]) -> float:
        route = [(0.0, 0.0), *order]
        return sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(route))

    assert travel(tuple(stops)) == pytest.approx(min(travel(o) for o in permutations(stops)))


def test_by_hand_before_the_returns_are_freed() -> None:
    made = round_trip(example_set_out("bay"), SawTable(mitre_left=30, mitre_right=30, bevel_left=0, bevel_right=0))
    kinds = [(v.by_hand, v.freeing) for v in made]
    assert (True, False) in kinds
    assert kinds == sorted(kinds, key=lambda k: (k[1], k[0]))
