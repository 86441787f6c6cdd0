"""The page as one string of HTML with its style, its script and its data inside."""

from __future__ import annotations

import base64
from collections.abc import Iterable, Iterator
from html import escape
from importlib.resources import files
from string import Template
from urllib.parse import quote

from trimwright.mesh.body import Body, Kind
from trimwright.page.content import Figure, Link, PageData, Picture, Row, SheetView, Table
from trimwright.page.scene import scene_json, script_json, trims_by_height
from trimwright.page.work import work_html

__all__ = ["write_page"]

ROOM_FOR_SHEETS = 3_000_000
"""Bytes of drawings kept inside the page; those beyond are shown from their own files."""

ROOM_FOR_PICTURES = 1_500_000
"""Bytes of pictures kept inside the page; those beyond are shown from their own files."""

ROOM_FOR_CARDS = 1_500_000
"""Bytes of cutting cards kept inside the page; sheets beyond are shown from their own files."""

ONE_LINE = 30
"""Cells of a table up to this many characters are kept on one line."""


def write_page(data: PageData) -> str:
    """The whole page. It needs no network and no other file for its text, pictures and 3D view."""
    sections = list(_sections(data))
    return Template(_asset("page.html")).substitute(
        title=escape(data.title),
        style=_asset("page.css"),
        summary=_paragraph(data.summary, "summary"),
        figures=_figures(data.figures),
        notes=_notes(data.notes),
        contents="".join(f'<li><a href="#{name}">{escape(title)}</a></li>' for name, title, _ in sections),
        main="".join(_section(*section) for section in sections),
        foot=_paragraph(data.foot, "foot"),
        script="".join(f"<script>{_asset(name)}</script>" for name in _scripts(data)),
    )


def _scripts(data: PageData) -> Iterator[str]:
    if any(picture.over for picture in data.pictures):
        yield "pair.js"
    if data.tables:
        yield "tables.js"
    if data.bodies:
        yield "viewer.js"
    if data.bodies and data.work:
        yield "work.js"


def _asset(name: str) -> str:
    return (files("trimwright.page") / "assets" / name).read_text("utf-8")


def _sections(data: PageData) -> Iterator[tuple[str, str, str]]:
    """(place, title, HTML) of each part that has something in it."""
    if data.pictures:
        yield (
            "look",
            "What it will look like",
            f'<div class="pictures">{"".join(_pictures(data.pictures))}</div>',
        )
    if data.bodies:
        yield "turn", "The room to turn round", _viewer(data)
    if data.cautions:
        yield "first", "Before you start", _bullets(data.cautions)
    if data.work:
        yield "work", "Order of work", work_html(data.work, bool(data.bodies))
    for table in data.tables:
        yield f"table-{table.name}", table.title, _table(table)
    if data.sheets:
        yield "sheets", "Sheets", "".join(_sheets(data.sheets))
    if data.links:
        yield "files", "Files", _links(data.links)


def _section(name: str, title: str, body: str) -> str:
    heading = f'<h2 id="{name}-title">{escape(title)}</h2>'
    return f'<section id="{name}" aria-labelledby="{name}-title">{heading}{body}</section>'


def _paragraph(text: str, kind: str) -> str:
    return f'<p class="{kind}">{escape(text)}</p>' if text else ""


def _bullets(lines: Iterable[str]) -> str:
    return "<ul>" + "".join(f"<li>{escape(line)}</li>" for line in lines) + "</ul>"


def _figures(figures: Iterable[Figure]) -> str:
    parts = []
    for figure in figures:
        note = f'<dd class="note">{escape(figure.note)}</dd>' if figure.note else ""
        kind = ' class="bad"' if figure.bad else ""
        parts.append(f"<div{kind}><dt>{escape(figure.label)}</dt><dd>{escape(figure.value)}</dd>{note}</div>")
    return f'<dl class="figures">{"".join(parts)}</dl>' if parts else ""


def _notes(notes: tuple[str, ...]) -> str:
    return f'<aside class="notes" aria-label="Notes">{_bullets(notes)}</aside>' if notes else ""


def _pictures(pictures: Iterable[Picture]) -> Iterator[str]:
    room = ROOM_FOR_PICTURES
    for picture in pictures:
        source = _address(picture.href)
        if len(picture.data) <= room:
            room -= len(picture.data)
            source = "data:image/png;base64," + base64.b64encode(picture.data).decode("ascii")
        title = escape(picture.title)
        kind = "picture over" if picture.over else "picture"
        yield (
            f'<figure class="{kind}"><img src="{source}" alt="{title}" loading="lazy">'
            f'<figcaption><a href="{_address(picture.href)}">{title}</a></figcaption></figure>'
        )


def _sheets(sheets: Iterable[SheetView]) -> Iterator[str]:
    room = ROOM_FOR_SHEETS
    for sheet in sheets:
        source = _address(sheet.href)
        data = base64.b64encode(sheet.svg.encode("utf-8")).decode("ascii")
        if sheet.svg and len(data) <= room:
            room -= len(data)
            source = "data:image/svg+xml;base64," + data
        title = escape(sheet.title)
        yield (
            f'<figure class="sheet"><figcaption><a href="{_address(sheet.href)}">{title}</a></figcaption>'
            f'<img src="{source}" alt="{title}" loading="lazy"></figure>'
        )


def _table(table: Table) -> str:
    head = "".join(f'<th scope="col"{_right(k, table)}>{escape(c)}</th>' for k, c in enumerate(table.columns))
    body = "".join(_row(row, table) for row in table.rows if not row.sum)
    foot = "".join(_row(row, table) for row in table.rows if row.sum)
    return (
        f"{_paragraph(table.about, 'about')}"
        f'<div class="scroll" role="region" tabindex="0" aria-label="{escape(table.title)}">'
        f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody>{foot and f'<tfoot>{foot}</tfoot>'}</table></div>"
    )


def _row(row: Row, table: Table) -> str:
    kind = ' class="bad"' if row.bad else ""
    piece = f' data-piece="{escape(row.piece)}"' if row.piece else ""
    first, *rest = (escape(cell) for cell in row.cells)
    if row.piece:
        first = f'<a href="#turn">{first}</a>'
    if row.href:
        first = f'<a href="{_address(row.href)}">{first}</a>'
    cells = "".join(f"<td{_right(k, table) or _wrapped(cell)}>{cell}</td>" for k, cell in enumerate(rest, start=1))
    return f'<tr{kind}{piece}><th scope="row"{_right(0, table)}>{first}</th>{cells}</tr>'


def _right(column: int, table: Table) -> str:
    return ' class="number"' if column in table.numbers else ""


def _wrapped(cell: str) -> str:
    """Short cells keep to one line; long ones may wrap."""
    return ' class="long"' if len(cell) > ONE_LINE else ""


def _links(links: Iterable[Link]) -> str:
    lines = (
        f'<li><a href="{_address(link.href)}">{escape(link.label)}</a> {escape(link.about)}'.rstrip() + "</li>"
        for link in links
    )
    return f'<ul class="files">{"".join(lines)}</ul>'


def _address(href: str) -> str:
    """A relative address as an attribute: whatever would make it lead out of the pack is spelled out."""
    return escape(quote(href, safe="/._-~"))


def _viewer(data: PageData) -> str:
    return Template(_asset("viewer.html")).substitute(
        switches="".join(_switch(name, data.bodies) for name in trims_by_height(data.bodies)),
        scene=scene_json(data.bodies, data.cards),
        cards=script_json(list(_card_sheets(data.card_sheets))),
    )


def _card_sheets(sheets: Iterable[SheetView]) -> Iterator[dict[str, str]]:
    """Each as the text of its drawing, or as the address of its file once the room for drawings is used up."""
    room = ROOM_FOR_CARDS
    for sheet in sheets:
        size = len(sheet.svg.encode("utf-8"))
        inside = size <= room
        room -= size if inside else 0
        yield {"svg": sheet.svg} if inside else {"href": quote(sheet.href, safe="/._-~")}


def _switch(trim: str, bodies: Iterable[Body]) -> str:
    colour = next(b.colour for b in bodies if b.kind is Kind.TRIM and b.trim == trim)
    return (
        f'<label><input type="checkbox" checked data-trim="{escape(trim)}">'
        f'<span class="swatch" style="background:{escape(colour)}"></span>{escape(trim)}</label>'
    )
