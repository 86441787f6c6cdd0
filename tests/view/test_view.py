"""The page that follows its file: in a real browser, and by plain requests."""

from __future__ import annotations

import http.client
import os
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from devtools import Browser
from trimwright.cli import main
from trimwright.errors import RoomFileError
from trimwright.mesh.piece import piece_meshes
from trimwright.view.rebuild import rebuilt
from trimwright.view.watch import folders_of, stamp

EXAMPLES = Path(__file__).parents[2] / "examples"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


@dataclass
class Run:
    room: Path
    process: subprocess.Popen[str]
    address: str

    def write(self, old: str, new: str) -> None:
        text = self.room.read_text(encoding="utf-8")
        assert old in text
        self.room.write_text(text.replace(old, new), encoding="utf-8")

    @property
    def port(self) -> int:
        return int(self.address.rpartition(":")[2].strip("/"))

    def end(self) -> tuple[int, str]:
        self.process.send_signal(signal.SIGINT)
        _, errors = self.process.communicate(timeout=20)
        return self.process.returncode, errors


@pytest.fixture
def run(tmp_path: Path) -> Iterator[Run]:
    room = tmp_path / "room.toml"
    shutil.copy(EXAMPLES / "box-room.toml", room)
    command = [sys.executable, "-m", "trimwright", "view", str(room), "--port", "0"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert process.stdout
    try:
        first, then = process.stdout.readline(), process.stdout.readline()
        assert then.startswith("made in "), then
        yield Run(room, process, next(word for word in first.split() if word.startswith("http")))
    finally:
        process.kill()
        process.communicate()


def ask(run: Run, path: str, host: str = "") -> tuple[int, str, str]:
    connection = http.client.HTTPConnection("127.0.0.1", run.port, timeout=20)
    connection.request("GET", path, headers={"Host": host} if host else {})
    answer = connection.getresponse()
    return answer.status, answer.headers.get("Content-Type", ""), answer.read().decode()


@pytest.mark.browser
def test_the_page_follows_the_file(run: Run, tmp_path: Path) -> None:
    if CHROMIUM is None:
        if os.environ.get("CI") == "true":
            pytest.fail("no Chromium on this machine")
        pytest.skip("no Chromium on this machine: apt-get install chromium")
    with Browser(CHROMIUM, tmp_path) as browser:
        browser.open(run.address)
        browser.until("document.querySelector('#viewer.ready')")
        browser.value("document.querySelector('input[data-trim]').click()")
        run.write("length = 2710", "length = 2706")
        browser.until("document.getElementById('table-pieces').innerText.includes('2706')", 10)
        # What was turned off stays off: the page is the one that the reader left.
        assert browser.value("document.querySelector('input[data-trim]').checked") is False

        run.write("length = 2706", "lenth = 2706")
        browser.until("!document.getElementById('live').hidden", 10)
        said = browser.value("document.getElementById('live').innerText")
        assert "lenth: unknown key; did you mean 'length'?" in said
        assert browser.value("document.getElementById('table-pieces').innerText.includes('2706')")

        run.write("lenth = 2706", "length = 2708")
        browser.until("document.getElementById('table-pieces').innerText.includes('2708')", 10)
        assert browser.value("document.getElementById('live').hidden")
        assert browser.complaints == []

        assert run.end() == (0, "")
        browser.until("document.getElementById('live').innerText.includes('has ended')", 10)


def test_ends_cleanly_while_a_page_is_open(run: Run) -> None:
    with socket.create_connection(("127.0.0.1", run.port)) as reader:
        reader.sendall(b"GET /news HTTP/1.0\r\nHost: 127.0.0.1:1\r\n\r\n")
        assert reader.recv(1000).startswith(b"HTTP/1.0 200")
        assert run.end() == (0, "")


def test_answers_this_machine_alone(run: Run) -> None:
    assert ask(run, "/")[:2] == (200, "text/html; charset=utf-8")
    assert ask(run, "/sheets/wall-1.svg")[:2] == (200, "image/svg+xml")
    assert ask(run, "/", host="rooms.example:80")[0] == 403
    for path in ("/room.toml", "/../room.toml", "/sheets/%2e%2e%2froom.toml", "/sheets/"):
        assert ask(run, path)[0] == 404
    # Every other address of this machine refuses: 127.0.0.2 is one on Linux.
    if sys.platform == "linux":
        with pytest.raises(ConnectionRefusedError):
            socket.create_connection(("127.0.0.2", run.port))


def test_a_file_that_is_wrong_from_the_start_is_explained(tmp_path: Path) -> None:
    room = tmp_path / "room.toml"
    room.write_text("format = 1\n", encoding="utf-8")
    command = [sys.executable, "-m", "trimwright", "view", str(room), "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout
        address = next(word for word in process.stdout.readline().split() if word.startswith("http"))
        assert process.stdout.readline().startswith("wrong: ")
        status, _, text = ask(Run(room, process, address), "/")
        process.send_signal(signal.SIGINT)
    assert status == 200
    assert "room is missing" in text


def test_no_file_and_a_port_that_is_taken(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["view", str(tmp_path / "none.toml")]) == 2
    assert "there is no such file" in capsys.readouterr().err
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert main(["view", str(EXAMPLES / "box-room.toml"), "--port", str(port)]) == 2
    assert f"port {port}: " in capsys.readouterr().err


def test_only_what_changed_is_made_again(tmp_path: Path) -> None:
    room = tmp_path / "room.toml"
    text = (EXAMPLES / "reading-room.toml").read_text(encoding="utf-8")
    room.write_text(text, encoding="utf-8")
    first = rebuilt(room)
    room.write_text(text.replace("bottom = 2102", "bottom = 2110"), encoding="utf-8")
    second = rebuilt(room, first)
    assert second.changed_since(first) == ("picture rail",)
    for piece in second.job.set_out.pieces:
        kept = second.job.meshes[piece.id] is first.job.meshes[piece.id]
        assert kept == (piece.trim.name != "picture rail")
    # What is kept is what would be made.
    for name, mesh in piece_meshes(second.job.set_out).items():
        assert (second.job.meshes[name].vertices == mesh.vertices).all()
    assert second.page == rebuilt(room).page
    assert second.texts["ceiling-plan"] is first.texts["ceiling-plan"]
    assert second.texts["wall-1"] is not first.texts["wall-1"]


def test_a_wrong_file_raises_and_the_made_page_stays(tmp_path: Path) -> None:
    room = tmp_path / "room.toml"
    room.write_text("format = 1\n[room]\n", encoding="utf-8")
    with pytest.raises(RoomFileError):
        rebuilt(room)


def test_files_are_watched_through_replacing_and_removal(tmp_path: Path) -> None:
    (tmp_path / "own").mkdir()
    room, profile = tmp_path / "room.toml", tmp_path / "own" / "lip.toml"
    room.write_text('[[trim]]\nprofile = "own/lip.toml"\n', encoding="utf-8")
    profile.write_text("a", encoding="utf-8")
    seen = stamp(folders_of(room))
    assert stamp(folders_of(room)) == seen
    beside = tmp_path / "new"
    beside.write_text('[[trim]]\nprofile = "own/lip.toml"\n', encoding="utf-8")
    beside.replace(room)
    replaced = stamp(folders_of(room))
    assert replaced != seen
    profile.write_text("ab", encoding="utf-8")
    assert stamp(folders_of(room)) != replaced
    room.unlink()
    assert folders_of(room) == {tmp_path}
