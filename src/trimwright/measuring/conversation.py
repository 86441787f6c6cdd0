"""A conversation as a value: a script that asks, and what was answered so far.

A script is a generator that yields questions and is sent the answers as they were typed; it returns what it was for.
The state is nothing but the accepted answers: the script is run again over them to find the next question, so going
back is leaving off the last one, and the whole can be driven without a terminal. The seventy answers of a room of eight
walls and three trims replay in a hundredth of a second.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import dataclass, replace
from typing import Any, Generic, TypeVar

from trimwright.measuring.notes import Notes

__all__ = ["KEYS", "Conversation", "Question", "Script", "Turn", "ask"]

T = TypeVar("T")
Script = Generator["Question[Any]", str, T]

KEYS = """\
back: the last question again     again: this wall or part from its start
plan: draw the walls              stop: leave, and write nothing"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question(Generic[T]):
    """One question. Enter answers `usual`, shown in brackets (or `shown` in its place); None: an answer is needed.

    `read` turns an answer into a value or raises ValueError. `opens` marks the first question of a part. `before` is
    told first; `plan` are the notes to draw, where there is something new to see.
    """

    text: str
    read: Callable[[str], T]
    usual: str | None = None
    shown: str | None = None
    help: str = ""
    opens: bool = False
    before: str = ""
    plan: Notes | None = None

    @property
    def prompt(self) -> str:
        """The question as it is put."""
        bracket = self.usual if self.shown is None else self.shown
        return f"{self.text} [{bracket}]: " if bracket else f"{self.text}{'' if self.text.endswith('?') else ':'} "


def ask(question: Question[T]) -> Script[T]:
    """Put one question; its value. Answers that cannot be read never reach the script."""
    return question.read((yield question))


@dataclass(frozen=True, slots=True)
class Turn:
    """What came of one answer: the conversation after it, what to tell, whether to draw the plan or to stop."""

    conversation: Conversation
    remark: str = ""
    draw: bool = False
    stop: bool = False


@dataclass(frozen=True, slots=True)
class Conversation:
    """A script and the answers it has been given."""

    script: Callable[[], Script[Notes]]
    said: tuple[str, ...] = ()

    def asked(self) -> list[Question[Any]]:
        """Every question so far; the last is the open one, unless all are answered."""
        return self._run()[0]

    def outcome(self) -> Notes | None:
        """What the script came to; None while it still asks."""
        return self._run()[1]

    def answer(self, line: str) -> Turn:
        """Take one line: an answer, nothing for the usual one, or a word of command."""
        questions = self.asked()
        question = questions[-1]
        match line.strip().lower():
            case "back" | "<":
                return (
                    Turn(replace(self, said=self.said[:-1])) if self.said else Turn(self, "this is the first question")
                )
            case "again":
                return Turn(replace(self, said=self.said[: _part(questions)]))
            case "?" | "help":
                return Turn(self, "\n".join(filter(None, (question.help, KEYS))))
            case "plan":
                return Turn(self, draw=True)
            case "stop":
                return Turn(self, stop=True)
            case "" if question.usual is None:
                return Turn(self, "an answer is needed here; ? for help")
        text = line.strip() or question.usual or ""
        try:
            question.read(text)
        except ValueError as error:
            return Turn(self, str(error))
        return Turn(replace(self, said=(*self.said, text)))

    def _run(self) -> tuple[list[Question[Any]], Notes | None]:
        script = self.script()
        questions = []
        try:
            questions.append(next(script))
            for text in self.said:
                questions.append(script.send(text))
        except StopIteration as end:
            return questions, end.value
        return questions, None


def _part(questions: list[Question[Any]]) -> int:
    """Number of the question that opened the part being asked; the one before, if it is being opened just now."""
    earlier = [k for k, q in enumerate(questions[:-1]) if q.opens]
    return earlier[-1] if earlier else 0
