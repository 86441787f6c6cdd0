"""What a reader does on the page with mouse and keys, done in a real browser: sort, filter, pick, print."""

from __future__ import annotations

import base64
import io
import os
import shutil
from collections.abc import Iterator

import pikepdf
import pypdfium2
import pytest
from page_parts import page_data

from devtools import Browser
from trimwright.page.write import write_page

pytestmark = pytest.mark.browser

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")

LENGTHS = "[...document.querySelectorAll('#table-pieces tbody tr:not([hidden])')].map((row) => row.cells[2].innerText)"
A4 = (595.276, 841.89)


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    if CHROMIUM is None:
        if os.environ.get("CI") == "true":
            pytest.fail("no Chromium on this machine: apt-get install chromium")
        pytest.skip("no Chromium on this machine: apt-get install chromium")
    folder = tmp_path_factory.mktemp("controls")
    (folder / "index.html").write_text(write_page(page_data()), encoding="utf-8")
    with Browser(CHROMIUM, folder) as opened:
        yield opened


@pytest.fixture(autouse=True)
def fresh(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    folder = tmp_path_factory.getbasetemp() / "controls0"
    browser.open("about:blank")
    browser.open((folder / "index.html").as_uri())
    browser.value("sessionStorage.clear()")
    yield
    assert browser.complaints == []


def press(browser: Browser, key: str, code: int) -> None:
    text = "\r" if key == "Enter" else ""
    for kind in ("keyDown", "keyUp"):
        browser.ask("Input.dispatchKeyEvent", type=kind, key=key, windowsVirtualKeyCode=code, text=text)


def test_a_heading_sorts_up_then_down_then_as_it_was(browser: Browser) -> None:
    found = browser.value(LENGTHS)
    numbers = sorted(found, key=float)
    assert found not in (numbers, numbers[::-1])
    heading = "document.querySelectorAll('#table-pieces thead th')[2]"
    for order, expected in (("ascending", numbers), ("descending", numbers[::-1]), (None, found)):
        # By keyboard: a heading can be reached and pressed without a mouse.
        browser.value(f"{heading}.querySelector('button').focus()")
        press(browser, "Enter", 13)
        assert browser.value(f"{heading}.getAttribute('aria-sort')") == order
        assert browser.value(LENGTHS) == expected


def test_words_typed_leave_the_rows_that_have_them_all(browser: Browser) -> None:
    browser.value("document.querySelector('#table-pieces .filter input').focus()")
    browser.ask("Input.insertText", text="rail COPE")
    pieces = page_data().tables[0].rows
    wanted = [row.cells[2] for row in pieces if "rail" in row.cells[1] and "cope" in " ".join(row.cells)]
    assert 0 < len(wanted) < len(pieces)
    assert browser.value(LENGTHS) == wanted
    said = browser.value("document.querySelector('#table-pieces .filter output').innerText")
    assert said == f"{len(wanted)} of {len(pieces)} rows"


def test_a_short_table_needs_no_filter_and_sums_stay_below(browser: Browser) -> None:
    table = "document.querySelector('#table-clearances table')"
    assert browser.value("document.querySelector('#table-clearances .filter')") is None
    browser.value(f"{table}.tHead.rows[0].cells[2].querySelector('button').click()")
    cells = browser.value(f"[...{table}.rows].map((row) => row.cells[2].innerText)")
    assert [cell.split()[0] for cell in cells] == ["gap", "-4", "3", "-1"]


def test_a_piece_that_is_picked_shows_its_card(browser: Browser) -> None:
    browser.value("document.querySelector('tr[data-piece=P1] a').click()")
    assert browser.value("document.getElementById('room-picked').innerText").startswith("P1, picture rail")
    browser.until("document.querySelector('#room-cards img').complete")
    assert browser.value("document.querySelector('#room-cards img').alt") == "Card of P1"
    # The cut-out asked for is the lower half, in the middle of the height, of a sheet of 420 x 297.
    # Both at one moment: the page may still be scrolling.
    frame, image = browser.value(
        "['div', 'img'].map((kind) => document.querySelector(`#room-cards ${kind}`).getBoundingClientRect())"
        ".map(({x, y, width, height}) => [x, y, width, height])"
    )
    assert frame[2] / frame[3] == pytest.approx(420 / 297, rel=1e-3)
    assert image[2] == pytest.approx(2 * frame[2])
    assert (frame[0] - image[0]) / image[2] == pytest.approx(0.5, abs=1e-3)
    assert (frame[1] - image[1]) / image[3] == pytest.approx(0.25, abs=1e-3)
    browser.value("document.querySelector('#room-view').focus()")
    press(browser, "Escape", 27)
    assert browser.value("document.querySelectorAll('#room-cards img').length") == 0


def test_loaded_anew_it_shows_what_it_showed(browser: Browser) -> None:
    browser.value("document.querySelector('#room-below').click()")
    browser.value("document.querySelector('input[data-trim=cornice]').click()")
    browser.value("document.querySelector('tr[data-piece=P1] a').click()")
    browser.value("location.reload()")
    browser.until("performance.getEntriesByType('navigation')[0].type === 'reload'")
    assert browser.value("document.querySelector('input[data-trim=cornice]').checked") is False
    assert browser.value("document.querySelector('tr.chosen').dataset.piece") == "P1"


def test_it_prints(browser: Browser) -> None:
    browser.value("document.querySelector('#table-pieces .sort').click()")
    made = browser.ask("Page.printToPDF", paperWidth=A4[0] / 72, paperHeight=A4[1] / 72)["data"]
    data = base64.b64decode(made)
    with pikepdf.open(io.BytesIO(data)) as paper:
        assert len(paper.pages) >= 2
    words = "".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(data))
    for said in ("Reading room", "Detect pipes and cables", *(card.piece for card in page_data().cards)):
        assert said in words
    for control in ("Only rows with", "Draw apart", "↑"):
        assert control not in words


@pytest.mark.parametrize("width", [390, 768, 1440])
def test_nothing_runs_over_with_a_card_open(browser: Browser, width: int) -> None:
    browser.resize(width, 900)
    browser.value("document.querySelector('tr[data-piece=P1] a').click()")
    browser.until("document.querySelector('#room-cards img').complete")
    assert browser.value("innerWidth") == width
    assert browser.value("document.documentElement.scrollWidth") <= width
    browser.resize(1440, 900)


def test_a_slider_uncovers_the_one_picture_or_the_other(browser: Browser) -> None:
    over = "document.querySelector('.compare img + img')"
    first, second = (
        browser.value(f"(({{x, y, width, height}}) => [x, y, width, height])({place}.getBoundingClientRect())")
        for place in ("document.querySelector('.compare img')", over)
    )
    assert first == second
    assert browser.value(f"{over}.alt") == "In the evening"
    assert browser.value(f"getComputedStyle({over}).clipPath") == "inset(0px 0px 0px 50%)"
    browser.value("document.querySelector('.pair input').focus()")
    press(browser, "End", 35)
    assert browser.value(f"getComputedStyle({over}).clipPath") == "inset(0px 0px 0px 100%)"
    captions = browser.value("[...document.querySelectorAll('.pair figcaption')].map((one) => one.innerText)")
    assert captions == ["From the door", "In the evening"]
