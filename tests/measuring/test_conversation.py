from __future__ import annotations

from dataclasses import replace

from trimwright.measuring.conversation import Conversation, Question, Script, ask
from trimwright.measuring.notes import Notes, WallNote


def script() -> Script[Notes]:
    """Two parts of two numbers each; the second number of a part is usually the first."""
    notes = Notes()
    for part in ("a", "b"):
        first = yield from ask(Question(text=part, read=int, opens=True, help=f"help for {part}", plan=notes))
        second = yield from ask(Question(text=part * 2, read=int, usual=str(first)))
        notes = replace(notes, walls=(*notes.walls, WallNote(first), WallNote(second)))
    return notes


def after(*lines: str) -> Conversation:
    conversation = Conversation(script)
    for line in lines:
        conversation = conversation.answer(line).conversation
    return conversation


def asked(*lines: str) -> str:
    return after(*lines).asked()[-1].text


def lengths(*lines: str) -> list[object]:
    notes = after(*lines).outcome()
    assert notes is not None
    return [wall.length for wall in notes.walls]


def test_answers_lead_from_question_to_question() -> None:
    assert [asked(), asked("1"), asked("1", "2"), asked("1", "2", "3")] == ["a", "aa", "b", "bb"]
    assert after("1", "2", "3").outcome() is None
    assert lengths("1", "2", "3", "4") == [1, 2, 3, 4]


def test_enter_takes_what_stands_in_brackets() -> None:
    assert after("7").asked()[-1].prompt == "aa [7]: "
    assert lengths("7", "", "8", " ") == [7, 7, 8, 8]


def test_an_answer_that_cannot_be_read_changes_nothing() -> None:
    before = after("1")
    turn = before.answer("one")
    assert turn.conversation == before
    assert "one" in turn.remark


def test_enter_is_no_answer_where_nothing_is_usual() -> None:
    turn = after().answer("")
    assert turn.conversation == after()
    assert "needed" in turn.remark


def test_back_takes_answers_back_one_by_one() -> None:
    assert asked("1", "2", "back") == "aa"
    assert lengths("1", "2", "back", "back", "5", "6", "3", "<", "8", "4") == [5, 6, 8, 4]
    turn = after().answer("back")
    assert turn.conversation == after()
    assert "first question" in turn.remark


def test_again_begins_the_part_anew() -> None:
    assert asked("1", "2", "3", "again") == "b"
    assert lengths("1", "2", "3", "again", "4", "5") == [1, 2, 4, 5]
    assert asked("1", "2", "again") == "a"


def test_help_plan_and_stop_answer_nothing() -> None:
    before = after("1", "2")
    turns = {word: before.answer(word) for word in ("?", "help", "plan", "stop", "STOP")}
    assert {turn.conversation for turn in turns.values()} == {before}
    assert turns["?"].remark.startswith("help for b")
    assert turns["help"] == turns["?"]
    assert turns["plan"].draw
    assert turns["stop"].stop
    assert turns["STOP"].stop


def test_a_conversation_is_a_value() -> None:
    assert after("1", "2", "back", "2", "3") == after("1", "2", "3")
