"""Files in TOML: what may stand for one, and what is given up in a few seconds and words."""

from __future__ import annotations

import os
import time
from pathlib import Path
from threading import Thread

import pytest

from trimwright import toml_file
from trimwright.toml_file import LARGEST_FILE, Unreadable, tables, text


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"\xef\xbb\xbfa = 1\n", {"a": 1}),  # the byte order mark that some editors write: RFC 3629, section 6
        (b"a = 1\r\nb = '''x\r\ny'''\r\n", {"a": 1, "b": "x\ny"}),  # TOML 1.0.0: a newline is LF or CRLF
        (b"a = 1\n#" + b"." * 2000 + b"\n", {"a": 1}),
        (b"a = '" + b"x" * 900_000 + b"'", {"a": "x" * 900_000}),
        (b'a = "' + b"." * 2000 + b'" # ' + b"." * 2000 + b"\n", {"a": "." * 2000}),
        (b'a."b.c".d = 1.5', {"a": {"b.c": {"d": 1.5}}}),
        (b"", {}),
    ],
)
def test_what_is_read(tmp_path: Path, data: bytes, found: object) -> None:
    path = tmp_path / "some.toml"
    path.write_bytes(data)
    assert tables(path) == found


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ("a = 1".encode("utf-16"), "not a text file in UTF-8; save it as that"),
        (b"a = 'B\xf6x'", "not a text file in UTF-8; save it as that"),
        (b"a = 1\n\0", "not valid TOML: Invalid statement (at line 2, column 1)"),
        (b"a = 1\rb = 2", "not valid TOML: "),
        (b"a = " + b"[" * 20_000 + b"]" * 20_000, "not valid TOML: nested too deeply"),
        (b"a = " + b"9" * 900_000, "not valid TOML: a number of too many digits"),
        (b".".join([b"a"] * 50_000) + b" = 1", "not valid TOML: a key of more than 100 parts"),
        (b"b = {c = 1, " + b".".join([b"a"] * 50_000) + b" = 1}", "not valid TOML: a key of more than 100 parts"),
        (b"[" + b".".join([b"a"] * 50_000) + b"]\nb = 1", "not valid TOML: a key of more than 100 parts"),
        (b"#" + b"x" * LARGEST_FILE, "larger than 1 MB; such a file is a few kilobytes of text"),
    ],
)
def test_what_is_refused_at_once(tmp_path: Path, data: bytes, said: str) -> None:
    path = tmp_path / "some.toml"
    path.write_bytes(data)
    begun = time.process_time()
    with pytest.raises(Unreadable) as caught:
        tables(path)
    assert time.process_time() - begun < 2
    assert str(caught.value).startswith(said)
    assert len(str(caught.value)) < 100


def test_what_is_no_file(tmp_path: Path) -> None:
    (tmp_path / "loop").symlink_to("loop")
    (tmp_path / "dangling").symlink_to("nowhere")
    for path, said in {
        tmp_path: "cannot be read: Is a directory",
        tmp_path / "loop": "cannot be read: Too many levels of symbolic links",
        tmp_path / "dangling": "no such file",
        tmp_path / "a\0b": "cannot be read: embedded null byte",
        Path("/dev/zero"): "larger than 1 MB; such a file is a few kilobytes of text",
    }.items():
        with pytest.raises(Unreadable) as caught:
            text(path)
        assert str(caught.value) == said


def test_a_pipe_is_read_until_it_is_closed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As of `<(...)` in a shell; one that nobody writes to is given up."""
    monkeypatch.setattr(toml_file, "PATIENCE", 0.2)
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(Unreadable, match=r"nothing comes from it within 0.2 s; give a file"):
        text(pipe)
    monkeypatch.setattr(toml_file, "PATIENCE", 20)

    def write() -> None:
        with pipe.open("w") as file:
            for _ in range(3):
                file.write("# a line\n")
                file.flush()
                time.sleep(0.05)

    writer = Thread(target=write)
    writer.start()
    assert text(pipe) == "# a line\n" * 3
    writer.join()


@pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="looks into /proc")
def test_a_folder_given_for_a_file_leaves_nothing_open(tmp_path: Path) -> None:
    before = len(os.listdir("/proc/self/fd"))
    for _ in range(5):
        with pytest.raises(Unreadable):
            tables(tmp_path)
    assert len(os.listdir("/proc/self/fd")) == before
