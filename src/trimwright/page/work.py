"""The order of work on the page: a step beside a small view of the room after it."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from trimwright.page.content import Stage, Work

__all__ = ["work_html"]

ROOM_FOR_VIEWS = 300_000
"""Bytes of small views kept inside the page; a job of hundreds of pieces has its steps in words and in the 3D view."""


def work_html(work: Work, turned: bool) -> str:
    """The list of steps; `turned`: there is a 3D view in which each can be shown."""
    left, up, items = ROOM_FOR_VIEWS, set[str](), []
    for number, stage in enumerate(work.stages, 1):
        view = _view(work, up, stage)
        left -= len(view)
        items.append(_step(number, stage, view if left >= 0 else "", turned))
        up |= set(stage.pieces)
    return f'{_shapes(work)}<ol class="work">{"".join(items)}</ol>'


def _shapes(work: Work) -> str:
    """The room and every piece once; the views refer to them."""
    faces = "".join(f'<path id="face-{escape(piece)}" d="{path}"/>' for piece, path in work.faces.items())
    return (
        '<svg class="shapes" width="0" height="0" aria-hidden="true"><defs>'
        f'<path id="room-lines" d="{work.room}"/>{faces}</defs></svg>'
    )


def _view(work: Work, up: set[str], stage: Stage) -> str:
    was = "".join(f'<use href="#face-{escape(piece)}"/>' for piece in work.faces if piece in up)
    new = "".join(f'<use href="#face-{escape(piece)}"/>' for piece in work.faces if piece in stage.pieces)
    return (
        f'<svg class="small" viewBox="0 0 {work.width} {work.height}" aria-hidden="true">'
        f'<use class="lines" href="#room-lines"/><g class="was">{was}</g><g class="new">{new}</g></svg>'
    )


def _step(number: int, stage: Stage, view: str, turned: bool) -> str:
    return (
        f'<li id="step-{number}" data-pieces="{escape(" ".join(stage.pieces))}"{" class=bad" if stage.bad else ""}>'
        f"{view}<div><h3>{number}: {escape(stage.title)}</h3>{''.join(_said(number, stage, turned))}</div></li>"
    )


def _said(number: int, stage: Stage, turned: bool) -> Iterator[str]:
    if stage.needs:
        yield f'<p class="needs">{"".join(f"<span>{escape(need)}</span> " for need in stage.needs)}</p>'
    if stage.words:
        yield "<ul>" + "".join(f"<li>{escape(word)}</li>" for word in stage.words) + "</ul>"
    if turned:
        yield f'<p class="shown"><button type="button" data-step="{number}">Show in the room</button></p>'
