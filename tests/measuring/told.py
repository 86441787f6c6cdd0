"""Conversations held without a terminal."""

from __future__ import annotations

from collections.abc import Iterable

from trimwright.measuring.conversation import Conversation
from trimwright.measuring.interview import Given, interview
from trimwright.measuring.notes import Notes

WHOLE = Given(notes=Notes())

SQUARE_ROOM = ("Den", "mm", "2400", "y", "4000 int 90", "3000 int 90", "4000 int 90", "3000 int 90", "y", "")
"""Answers up to the openings: four walls, all corners measured."""


def held(lines: Iterable[str], given: Given = WHOLE) -> Conversation:
    """The conversation after these lines; every one of them must be taken."""
    conversation = Conversation(lambda: interview(given))
    for line in lines:
        turn = conversation.answer(line)
        assert turn.remark == "", f"{conversation.asked()[-1].text}: {line!r}: {turn.remark}"
        conversation = turn.conversation
    return conversation


def noted(lines: Iterable[str], given: Given = WHOLE) -> Notes:
    """What a whole conversation came to, Enter being all that is said after these lines."""
    said = [*lines]
    while (notes := held(said, given).outcome()) is None:
        said.append("")
    return notes


def refused(lines: Iterable[str], line: str) -> str:
    """What is told about the last line, which must not be taken."""
    conversation = held(lines)
    turn = conversation.answer(line)
    assert turn.conversation == conversation
    assert turn.remark
    return turn.remark
