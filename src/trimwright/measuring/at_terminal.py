"""Holds a conversation at a terminal, or with lines from a pipe. Everything but reading and printing lies elsewhere."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from textwrap import wrap

from trimwright.errors import TrimwrightError
from trimwright.measuring.conversation import Conversation, Script
from trimwright.measuring.notes import Notes
from trimwright.measuring.plan_text import ASCII, LINES, plan_text

__all__ = ["Stopped", "hold", "line", "yes"]

WIDEST, HIGHEST = 72, 15
"""The largest plan, in characters; a smaller terminal gets a smaller one."""


class Stopped(TrimwrightError):
    """The person, or the end of the answers, stopped before all was said."""


def hold(script: Callable[[], Script[Notes]]) -> Notes:
    """Ask until the script has its notes. Raises Stopped at the end of input or on the word stop."""
    conversation, told, drawn, asked = Conversation(script), "", "", ""
    print(_wrapped("Answer, or Enter for what stands in [brackets]. ? helps, back goes back, stop writes nothing."))
    while (notes := conversation.outcome()) is None:
        question = conversation.asked()[-1]
        if question.plan is not None and (plan := _drawn(question.plan)) != drawn:
            drawn = plan
            print(drawn)
        if question.opens and question.text != asked:
            print()
        asked = question.text
        if question.before not in ("", told):
            print(_wrapped(question.before))
        told = question.before
        turn = conversation.answer(line(question.prompt))
        if turn.stop:
            raise Stopped("stopped; nothing was written")
        if turn.draw:
            print(_drawn(question.plan or _latest(conversation)))
        if turn.remark:
            print(_wrapped(turn.remark, "  "))
        conversation = turn.conversation
    return notes


def yes(question: str) -> bool:
    """A question of yes or no beside the conversation; Enter is no."""
    return line(f"{question} [n]: ").strip().lower() in ("y", "yes")


def line(prompt: str) -> str:
    """One line typed. Raises Stopped at the end of input."""
    try:
        return input(prompt)
    except EOFError:
        print()
        raise Stopped("the answers ended before the room was complete; nothing was written") from None


def _wrapped(text: str, indent: str = "") -> str:
    """Lines broken between words where the terminal is too narrow for them."""
    width = max(30, shutil.get_terminal_size().columns - 1)
    lines = []
    for each in text.split("\n"):
        fits = len(indent + each) <= width
        lines += (
            [indent + each]
            if fits
            else wrap(each, width, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False)
        )
    return "\n".join(lines)


def _latest(conversation: Conversation) -> Notes:
    """The notes that were last drawn."""
    return next((q.plan for q in reversed(conversation.asked()) if q.plan), Notes())


def _drawn(notes: Notes) -> str:
    size = shutil.get_terminal_size()
    strokes = LINES if _can_write("─╌●") else ASCII
    plan = plan_text(notes, max(20, min(WIDEST, size.columns - 8)), max(6, min(HIGHEST, size.lines - 8)), strokes)
    return f"\n{plan}" if plan else "nothing to draw yet"


def _can_write(text: str) -> bool:
    try:
        text.encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True
