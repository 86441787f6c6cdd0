"""A trim's part of one wall, before it is cut into pieces."""

from __future__ import annotations

from dataclasses import dataclass

from trimwright.room import Corner, Wall

__all__ = ["Stretch"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A trim's part of one wall, from station to station, and what stands at each end.

    `wall` is a wall of the room or, along a curve, one straight segment in its own frame; `at` is the station on the
    room's wall at which it begins. `left_corner` is set where the stretch reaches the corner, `left_joined` where the
    trim goes on round it; where a pipe cuts the trim `left_pipe` says what is done there and why. Without a corner the
    end is free: at an opening's casing, at a pipe, or at the end of an open run.
    """

    wall: Wall
    low: float
    high: float
    at: float
    left_corner: Corner | None
    right_corner: Corner | None
    left_joined: bool = False
    right_joined: bool = False
    left_pipe: str = ""
    right_pipe: str = ""
