"""The page in a real browser, opened from disk: no errors, a room on the canvas, controls that act, no overflow."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from lxml import html
from page_parts import hostile_page, page_data

from trimwright.page.content import PageData
from trimwright.page.write import write_page

pytestmark = pytest.mark.browser

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
SOFTWARE_WEBGL = ("--disable-gpu", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader")

# Frames come by timer: the browser's virtual clock, which ends the run, waits for timers but not for frames.
TIMERS = "<head><script>window.requestAnimationFrame = (draw) => setTimeout(draw, 0);</script>"

# Acts on the page as a person would and writes what came of it into the page, where --dump-dom shows it.
PROBE = """
<script>
const shot = () => new Promise((done) => setTimeout(() => {
  const canvas = document.getElementById("room-view"), gl = canvas.getContext("webgl2");
  const pixels = new Uint8Array(canvas.width * canvas.height * 4);
  gl.readPixels(0, 0, canvas.width, canvas.height, gl.RGBA, gl.UNSIGNED_BYTE, pixels);
  let sum = 0; const colours = new Set();
  for (let k = 0; k < pixels.length; k += 4) {
    const colour = (pixels[k] << 16) | (pixels[k + 1] << 8) | pixels[k + 2];
    sum = (sum * 31 + colour) >>> 0; if (colours.size < 500) colours.add(colour);
  }
  done({ sum, colours: colours.size });
}, 50));
const press = (key, more) => document.getElementById("room-view")
  .dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true, ...more }));
const drag = (type, clientX, clientY) => document.getElementById("room-view")
  .dispatchEvent(new PointerEvent(type, { pointerId: 1, clientX, clientY, bubbles: true }));
document.getElementById("room-view").setPointerCapture = () => {};  // made-up pointers cannot be captured
addEventListener("load", async () => {
  const seen = { width: innerWidth, scroll: document.documentElement.scrollWidth, shots: {} };
  const act = async (name, deed) => { await deed(); seen.shots[name] = await shot(); };
  await act("start", () => {});
  await act("turned", () => press("ArrowLeft"));
  await act("zoomed", () => press("+"));
  await act("moved", () => press("ArrowUp", { shiftKey: true }));
  await act("below", () => document.getElementById("room-below").click());
  await act("inside", () => document.getElementById("room-inside").click());
  const apart = document.getElementById("room-apart");
  await act("apart", () => { apart.value = 0.8; apart.dispatchEvent(new Event("input")); });
  await act("together", () => { apart.value = 0; apart.dispatchEvent(new Event("input")); });
  await act("hidden", () => document.querySelectorAll("input[data-trim]").forEach((box) => box.click()));
  await act("shown", () => document.querySelectorAll("input[data-trim]").forEach((box) => box.click()));
  await act("a step", () => document.querySelector("button[data-step='2']").click());
  seen.stage = document.querySelector("#room-stage output").textContent;
  await act("the step after", () => document.querySelector("#room-stage [data-to='1']").click());
  seen.stageAfter = document.querySelector(".work .chosen h3").textContent;
  await act("whole", () => document.querySelector("#room-stage [data-to='0']").click());
  const row = document.querySelector("tr[data-piece^='P']");
  await act("chosen", () => row.querySelector("a").click());
  seen.rowChosen = row.classList.contains("chosen");
  seen.said = document.getElementById("room-picked").textContent;
  await act("let go", () => press("Escape"));
  seen.stillChosen = document.querySelectorAll("tr.chosen").length;
  // The view now faces that piece: a click in its middle picks it.
  const place = document.getElementById("room-view").getBoundingClientRect();
  const x = place.left + place.width / 2, y = place.top + place.height / 2;
  await act("picked", () => { drag("pointerdown", x, y); drag("pointerup", x, y); });
  seen.pickedRows = [...document.querySelectorAll("tr.chosen")].map((one) => one.dataset.piece);
  seen.facing = row.dataset.piece;
  await act("dragged", () => {
    drag("pointerdown", x, y);
    drag("pointermove", x + 60, y);
    drag("pointerup", x + 60, y);
  });
  parent.postMessage(JSON.stringify(seen), "*");
});
</script>
</body>"""

# A window cannot be as narrow as a telephone, a frame can.
FRAME = """<!DOCTYPE html><title>frame</title><body style="margin: 0">
<script>addEventListener("message", (event) => {
  const out = document.createElement("pre");
  out.id = "probe";
  out.textContent = event.data;
  document.body.append(out);
});</script>
<iframe src="index.html" style="border: 0; width: {width}px; height: 900px"></iframe>"""


@pytest.fixture(scope="module")
def chromium() -> str:
    if CHROMIUM is None:
        message = "no Chromium on this machine: apt-get install chromium"
        if os.environ.get("CI") == "true":
            pytest.fail(message)
        pytest.skip(message)
    return CHROMIUM


def browse(chromium: str, page: Path, width: int, *more: str) -> tuple[str, str]:
    """The page's DOM after its scripts have run, and what went to the console.

    Left out are the driver's remarks on its own speed, which come of reading back what a software renderer drew.
    """
    command = [chromium, "--headless=new", "--no-sandbox", "--hide-scrollbars", *more, f"--window-size={width},900"]
    command += [f"--user-data-dir={page.parent / f'profile-{width}'}", "--enable-logging=stderr", "--v=0"]
    command += ["--virtual-time-budget=60000", "--dump-dom", page.as_uri()]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    return done.stdout, "\n".join(
        line for line in done.stderr.splitlines() if ":CONSOLE" in line and "GL Driver Message" not in line
    )


def probe(chromium: str, folder: Path, data: PageData, width: int) -> tuple[dict[str, Any], str]:
    page = folder / "index.html"
    page.write_text(write_page(data).replace("<head>", TIMERS).replace("</body>", PROBE), encoding="utf-8")
    frame = folder / "frame.html"
    frame.write_text(FRAME.replace("{width}", str(width)), encoding="utf-8")
    text, console = browse(chromium, frame, max(width, 600), *SOFTWARE_WEBGL)
    found = html.document_fromstring(text).xpath("//pre[@id='probe']/text()")
    assert found, f"the page's own script did not come to its end; console: {console}"
    return json.loads(found[0]), console


@pytest.fixture(scope="module")
def desk(chromium: str, tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], str]:
    return probe(chromium, tmp_path_factory.mktemp("desk"), page_data(), 1440)


def test_no_console_errors(desk: tuple[dict[str, Any], str]) -> None:
    assert desk[1] == ""


def test_the_room_is_drawn(desk: tuple[dict[str, Any], str]) -> None:
    assert desk[0]["shots"]["start"]["colours"] > 40


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("start", "turned"),
        ("turned", "zoomed"),
        ("zoomed", "moved"),
        ("moved", "below"),
        ("below", "inside"),
        ("inside", "apart"),
        ("inside", "hidden"),
        ("shown", "a step"),
        ("a step", "the step after"),
        ("whole", "chosen"),
        ("chosen", "let go"),
        ("let go", "picked"),
        ("picked", "dragged"),
    ],
)
def test_each_control_changes_the_view(desk: tuple[dict[str, Any], str], before: str, after: str) -> None:
    shots = desk[0]["shots"]
    assert shots[before]["sum"] != shots[after]["sum"]


@pytest.mark.parametrize("back", ["together", "shown", "whole"])
def test_what_is_undone_looks_as_before(desk: tuple[dict[str, Any], str], back: str) -> None:
    shots = desk[0]["shots"]
    assert shots["inside"]["sum"] == shots[back]["sum"]


def test_a_step_is_named_where_it_is_shown(desk: tuple[dict[str, Any], str]) -> None:
    first, second = (page_data().cards[k].piece for k in (0, 1))
    assert desk[0]["stage"] == f"The room after step 2: Put up {first}"
    assert desk[0]["stageAfter"] == f"3: Put up {second}"


def test_a_row_and_its_piece_belong_together(desk: tuple[dict[str, Any], str]) -> None:
    seen = desk[0]
    first = next(card for card in page_data().cards if card.trim == "picture rail")
    assert seen["rowChosen"]
    assert seen["said"].startswith(f"{first.piece}, {first.trim}: ")
    assert seen["stillChosen"] == 0
    assert seen["pickedRows"] == [seen["facing"]]


@pytest.mark.parametrize("width", [390, 768])
def test_nothing_runs_out_of_the_page_sideways(chromium: str, tmp_path: Path, width: int) -> None:
    seen, console = probe(chromium, tmp_path, page_data(), width)
    assert seen["width"] == width
    assert seen["scroll"] <= width
    assert console == ""


def test_nor_on_a_desk(desk: tuple[dict[str, Any], str]) -> None:
    assert desk[0]["width"] == 1440
    assert desk[0]["scroll"] <= 1440


def test_hostile_words_do_nothing_and_do_not_overflow(chromium: str, tmp_path: Path) -> None:
    page = tmp_path / "index.html"
    report = "<script>document.title = document.documentElement.scrollWidth + ' of ' + innerWidth</script></body>"
    page.write_text(write_page(hostile_page()).replace("</body>", report), encoding="utf-8")
    text, console = browse(chromium, page, 768, *SOFTWARE_WEBGL)
    assert html.document_fromstring(text).findtext(".//title") == "768 of 768"
    assert console == ""


def test_without_webgl_the_page_says_so(chromium: str, tmp_path: Path) -> None:
    page = tmp_path / "index.html"
    report = (
        "<script>document.title = getComputedStyle(document.getElementById('room-fallback')).display + ' ' +"
        " getComputedStyle(document.getElementById('room-view')).display</script></body>"
    )
    page.write_text(write_page(page_data()).replace("</body>", report), encoding="utf-8")
    text, _ = browse(chromium, page, 768, "--disable-gpu", "--disable-3d-apis")
    assert html.document_fromstring(text).findtext(".//title") == "block none"
