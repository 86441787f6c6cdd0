"""Words beside the template of a notch and in the cut list: where it lies on the wall, and how far up it goes."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from trimwright.drawing.notch_template import notch_template
from trimwright.pack.lists import notch_words
from trimwright.setout.piece import SetOut

WALLS = "".join(f'[[wall]]\nname = "{name}"\nlength = {{{name}}}\n' for name in ("north", "east", "south", "west"))


def room(pipe: str, trim: str, north: str = "3000") -> str:
    walls = WALLS.format(north=north, east=2400, south=north[:4], west=2400)
    pipe = f'[[pipe]]\nwall = "north"\nname = "riser"\nout = 30\ndiameter = 22\n{pipe}\n'
    return f'format = 1\n[room]\nname = "Den"\nceiling = 2400\n{walls}{pipe}[[trim]]\nname = "board"\n{trim}'


BOARD = 'profile = "batten"\nsize = { drop = 120, projection = 60 }\nback = "wall"\nbottom = 2000\n'


@pytest.mark.parametrize(
    ("reaches", "levels", "laid"),
    [
        ("to = 2080", "from its lower edge to 83 above it", "turn it over for the lower edge"),
        ("from = 2040", "from 37 above its lower edge to its upper edge", "Lay it on the top edge"),
        ("", "", "Lay it on the top edge"),
    ],
)
def test_a_slot_for_a_pipe_that_ends_in_the_trim_goes_no_further(
    set_out_of: Callable[[str], SetOut], reaches: str, levels: str, laid: str
) -> None:
    """The gap of 3 is kept before the end of the pipe too."""
    done = set_out_of(room(f"from_left = 1000\n{reaches}", BOARD))
    piece = next(p for p in done.pieces if p.notches)
    beside = " ".join(notch_template(done, piece, piece.notches[0]).words)
    assert laid in beside
    assert (f"It goes {levels}, no further." in beside) is bool(levels)
    listed = notch_words(piece)
    assert listed.endswith(f"from the left, {levels}" if levels else "from the left")


def test_on_the_segments_of_a_curved_wall_it_lies_where_the_room_file_says(
    set_out_of: Callable[[str], SetOut],
) -> None:
    """The pipe stands near a seam: both segments tell the same place on the wall, one from beyond its end."""
    trim = 'profile = "cove"\nback = "wall"\ntop = "ceiling"\n'
    done = set_out_of(room("from_left = 1200", trim, north="2400\nradius = 1800"))
    halves = [(p, p.notches[0]) for p in done.pieces if p.notches]
    assert len(halves) == 2
    said = [" ".join(notch_template(done, piece, notch).words) for piece, notch in halves]
    assert all("Its middle is 1200 from the left corner of wall 1 (north)" in words for words in said)
    assert f" beyond the left end of {halves[1][0].id}" in said[1]
    assert "beyond the left end" in notch_words(halves[1][0])
    assert not any("-" in words for words in said)
