"""A page of the reading room with every part filled in, and hostile words where a person could write them."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

from PIL import Image

from example_rooms import example_set_out
from trimwright.mesh.piece import trim_bodies
from trimwright.mesh.surroundings import surroundings
from trimwright.page.content import (
    Cutout,
    Figure,
    Link,
    PageData,
    Picture,
    PieceCard,
    Row,
    SheetView,
    Stage,
    Table,
    Work,
)

HOSTILE = "\"'><script>alert(1)</script><img src=x onerror=alert(1)>&amp;${title}$title</style>"
SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 420 297"><text id="t" x="9" y="9">Wall</text></svg>'


def small_png() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (160, 100), "#c8c4ba").save(out, "PNG")
    return out.getvalue()


@cache
def page_data(name: str = "reading-room") -> PageData:
    done = example_set_out(name)
    pieces = tuple(
        Row(cells=(p.id, p.trim.name, f"{p.length:.1f}", p.left.joint, p.right.joint), piece=p.id) for p in done.pieces
    )
    gaps = (
        Row(cells=("cornice", "flow", "3")),
        Row(cells=("cornice", "curtain track", "-4"), bad=True),
        Row(cells=("2 gaps", "", "-1"), sum=True),
    )
    return PageData(
        title=done.room.name,
        summary="Eight walls.",
        figures=(
            Figure(label="cornice", value="14.2 m", note="12 pieces"),
            Figure(label="clashes", value="1", bad=True),
        ),
        notes=("The channel stops at the pipes.",),
        pictures=(
            Picture(title="From the door", href="pictures/room.png", data=small_png()),
            Picture(title="In the evening", href="pictures/evening.png", data=small_png(), over=True),
        ),
        bodies=(*surroundings(done.room), *trim_bodies(done)),
        cards=tuple(
            PieceCard(
                piece=p.id,
                trim=p.trim.name,
                text=f"{p.length:.1f}",
                inward=p.frame.outward,
                cuts=(Cutout(title=f"Card of {p.id}", sheet=0, box=(0.5, 0.25, 0.5, 0.5)),),
            )
            for p in done.pieces
        ),
        card_sheets=(SheetView(title="Cards", href="sheets/cards.svg", svg=SVG),),
        cautions=("Detect pipes and cables before pinning.",),
        work=Work(
            stages=(
                Stage(title="Mark the lines", words=("lower edge 2102",)),
                *(Stage(title=f"Put up {p.id}", words=("straight in",), pieces=(p.id,)) for p in done.pieces[:3]),
                Stage(title="The rest", needs=("two people: long",), pieces=tuple(p.id for p in done.pieces[3:])),
            ),
            room="M0 0L320 0",
            faces={p.id: f"M0 {k}L9 {k}L9 {k + 1}Z" for k, p in enumerate(done.pieces)},
            width=320,
            height=200,
        ),
        tables=(
            Table(
                name="pieces",
                title="Pieces",
                columns=("piece", "trim", "length", "left", "right"),
                rows=pieces,
                numbers=frozenset({2}),
                about="Lengths in mm.",
            ),
            Table(name="clearances", title="Clearances", columns=("trim", "obstacle", "gap"), rows=gaps),
        ),
        sheets=(SheetView(title="Wall 1", href="sheets/wall-1.svg", svg=SVG),),
        links=(Link(label="Elevations", href="drawings/elevations.dxf", about="1:1"),),
        foot="trimwright",
    )


def hostile_page() -> PageData:
    """The same page with `HOSTILE` for every word that comes from a person's file."""
    data = page_data()
    renamed = {body.trim: HOSTILE for body in data.bodies if body.trim}
    return replace(
        data,
        title=HOSTILE,
        summary=HOSTILE,
        figures=(Figure(label=HOSTILE, value=HOSTILE, note=HOSTILE),),
        notes=(HOSTILE,),
        pictures=(Picture(title=HOSTILE, href=f"pictures/{HOSTILE}.png", data=small_png()),),
        bodies=tuple(
            replace(body, name=HOSTILE, trim=renamed.get(body.trim, ""), piece=body.piece and HOSTILE)
            for body in data.bodies
        ),
        cards=(
            PieceCard(
                piece=HOSTILE,
                trim=HOSTILE,
                text=HOSTILE,
                cuts=(Cutout(title=HOSTILE, sheet=0, box=(0, 0, 1, 1)),),
            ),
        ),
        card_sheets=(SheetView(title=HOSTILE, href=f"sheets/{HOSTILE}.svg", svg=f"{SVG}{HOSTILE}"),),
        cautions=(HOSTILE,),
        work=Work(
            stages=(Stage(title=HOSTILE, words=(HOSTILE,), needs=(HOSTILE,), pieces=(HOSTILE,), bad=True),),
            room="M0 0",
            faces={HOSTILE: "M0 0"},
            width=320,
            height=200,
        ),
        tables=(Table(name="pieces", title=HOSTILE, columns=(HOSTILE,), rows=(Row(cells=(HOSTILE,), piece=HOSTILE),)),),
        sheets=(SheetView(title=HOSTILE, href=f"sheets/{HOSTILE}.svg", svg=SVG),),
        links=(Link(label=HOSTILE, href="javascript:alert(1)", about=HOSTILE),),
        foot=HOSTILE,
    )
