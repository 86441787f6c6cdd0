"""The page as HTML: well formed, self-contained, and safe with any words in it."""

from __future__ import annotations

import base64
import json
import re
from collections import Counter
from dataclasses import replace
from urllib.parse import urlsplit

import pytest
from lxml import html
from page_parts import HOSTILE, SVG, hostile_page, page_data

from trimwright.page.content import PageData, SheetView
from trimwright.page.work import ROOM_FOR_VIEWS
from trimwright.page.write import ROOM_FOR_CARDS, ROOM_FOR_SHEETS, write_page

WRITTEN = {"plain": page_data, "hostile": hostile_page}


@pytest.fixture(scope="module", params=WRITTEN)
def page(request: pytest.FixtureRequest) -> str:
    return write_page(WRITTEN[request.param]())


@pytest.fixture(scope="module")
def tree(page: str) -> html.HtmlElement:
    return html.document_fromstring(page)


def test_the_parts_stand_on_the_page() -> None:
    tree = html.document_fromstring(write_page(page_data()))
    assert tree.findtext(".//h1") == "Reading room"
    assert [h.text for h in tree.iterfind(".//h2")] == [
        "What it will look like",
        "The room to turn round",
        "Before you start",
        "Order of work",
        "Pieces",
        "Clearances",
        "Sheets",
        "Files",
    ]
    assert len(tree.xpath("//tr[@data-piece]")) == len(page_data().cards)
    assert tree.xpath("string(//tr[@class='bad'])") == "cornicecurtain track-4"
    assert {box.get("data-trim") for box in tree.iterfind(".//input[@data-trim]")} == {
        c.trim for c in page_data().cards
    }


def test_each_step_shows_what_is_up_and_what_goes_up() -> None:
    """Pieces are drawn once; a step refers to all those of the steps before it, and to its own."""
    work = page_data().work
    assert work is not None
    tree = html.document_fromstring(write_page(page_data()))
    steps = tree.xpath("//ol[@class='work']/li")
    assert len(steps) == len(work.stages)
    assert len(tree.xpath("//*[starts-with(@id, 'face-')]")) == len(work.faces)
    up: set[str] = set()
    for step, stage in zip(steps, work.stages, strict=True):
        shown = {kind: set(step.xpath(f".//*[@class='{kind}']/use/@href")) for kind in ("was", "new")}
        assert shown == {
            "was": {f"#face-{piece}" for piece in up},
            "new": {f"#face-{piece}" for piece in stage.pieces},
        }
        assert step.get("data-pieces").split() == list(stage.pieces)
        assert [need.text for need in step.xpath(".//p[@class='needs']/span")] == list(stage.needs)
        up |= set(stage.pieces)


def test_views_of_steps_stop_where_the_page_would_swell() -> None:
    work = page_data().work
    assert work is not None
    many = replace(work, stages=work.stages * 200)
    page = write_page(replace(page_data(), work=many))
    assert page.count('<li id="step-') == 5 * 200
    assert 0 < page.count('class="small"') < 5 * 200
    assert len(page) - len(write_page(page_data())) < ROOM_FOR_VIEWS + 1000 * 500


def test_an_empty_page_is_a_page() -> None:
    tree = html.document_fromstring(write_page(PageData(title="Nothing yet")))
    assert tree.findtext(".//title") == "Nothing yet"
    assert not tree.findall(".//section")
    assert not tree.findall(".//script")


def test_ids_are_unique_and_links_on_the_page_lead_somewhere(tree: html.HtmlElement) -> None:
    counts = Counter(tree.xpath("//@id"))
    assert max(counts.values()) == 1
    assert {link[1:] for link in tree.xpath("//@href") if link.startswith("#")} <= set(counts)
    assert set(tree.xpath("//@aria-labelledby | //@aria-describedby")) <= set(counts)


def test_nothing_comes_from_outside(page: str, tree: html.HtmlElement) -> None:
    addresses = tree.xpath("//@src | //@href")
    assert addresses
    for address in addresses:
        parts = urlsplit(address)
        assert parts.scheme in ("", "data"), address
        assert not parts.netloc
        assert ".." not in parts.path
    assert not tree.xpath("//link | //iframe | //object | //base | //script[@src]")
    assert not re.search(r"url\(|@import|fetch\(|XMLHttpRequest|import\(", page)
    text = re.sub(r"data:[^\"]+", "", page)
    assert "http" not in text.replace("http://www.w3.org/2000/svg", "")


def test_words_from_a_file_stay_words() -> None:
    page = write_page(hostile_page())
    tree = html.document_fromstring(page)
    assert tree.findtext(".//h1") == HOSTILE
    assert not [name for element in tree.iter() for name in element.attrib if name.startswith("on")]
    assert not tree.xpath("//img[@src='x']")
    scripts = tree.findall(".//script")
    assert len(scripts) == 5  # the bodies, the cards, the tables', the viewer's and that of the work
    assert tree.xpath("//tr/@data-piece") == [HOSTILE]
    assert tree.xpath("//input/@data-trim") == [HOSTILE]
    data = json.loads(scripts[0].text)
    assert {body["name"] for body in data["bodies"]} == {HOSTILE}


def test_the_page_is_light(page: str) -> None:
    assert len(page.encode("utf-8")) < 6_000_000


def test_semantics_for_those_who_do_not_see_it(tree: html.HtmlElement) -> None:
    assert tree.get("lang") == "en"
    assert len(tree.findall(".//h1")) == 1
    assert tree.find(".//main") is not None
    assert all(image.get("alt") for image in tree.iterfind(".//img"))
    assert all(cell.get("scope") for cell in tree.iterfind(".//th"))
    assert all(button.get("type") == "button" for button in tree.iterfind(".//button"))
    assert all(area.get("tabindex") == "0" and area.get("aria-label") for area in tree.xpath("//*[@class='scroll']"))
    for field in tree.iterfind(".//input"):
        assert field.xpath("ancestor::label")


def test_sheets_are_kept_inside_until_the_room_for_them_is_used_up() -> None:
    big = SVG.replace("Wall", "W" * (ROOM_FOR_SHEETS * 3 // 4))
    sheets = (
        SheetView(title="small", href="sheets/a.svg", svg=SVG),
        SheetView(title="big", href="sheets/b.svg", svg=big),
        SheetView(title="none", href="sheets/c d.svg", svg=""),
    )
    tree = html.document_fromstring(write_page(replace(page_data(), sheets=sheets)))
    small, large, none = tree.xpath("//figure[@class='sheet']/img/@src")
    assert base64.b64decode(small.removeprefix("data:image/svg+xml;base64,")).decode() == SVG
    assert large == "sheets/b.svg"
    assert none == "sheets/c%20d.svg"


def test_cards_are_kept_inside_until_the_room_for_them_is_used_up() -> None:
    big = SVG.replace("Wall", "W" * ROOM_FOR_CARDS)
    sheets = (
        SheetView(title="small", href="sheets/a.svg", svg=SVG),
        SheetView(title="big", href="sheets/b c.svg", svg=big),
    )
    tree = html.document_fromstring(write_page(replace(page_data(), card_sheets=sheets)))
    kept = json.loads(tree.xpath("//script[@id='room-card-sheets']")[0].text)
    assert kept == [{"svg": SVG}, {"href": "sheets/b%20c.svg"}]


def test_sums_stand_below_the_rows_that_they_add_up() -> None:
    tree = html.document_fromstring(write_page(page_data()))
    (foot,) = tree.xpath("//tfoot/tr")
    assert foot.findtext("th") == "2 gaps"
    assert foot.xpath("count(ancestor::table/tbody/tr)") == 2
