"""Tables on a terminal: folded to its width, clashes first, verdicts in colour and in words."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path

import pytest

from example_rooms import EXAMPLE_NAMES, EXAMPLES
from trimwright.cli import main
from trimwright.terminal import coloured, table_text

RULE = re.compile(r"^-[- ]*$", re.MULTILINE)
"""Between the headers of a table and its rows."""


def test_tables_fold_to_the_terminal(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """At 80 columns no table of an example is wider, and no word of it is lost; a pipe gets it unfolded.

    In the loft, measured in inches, feet and inches stand below the millimetres where they would not fit beside them.
    """
    for command, name in [*(("check", name) for name in EXAMPLE_NAMES), ("cuts", "loft"), ("buy", "loft")]:
        said = {}
        for width in ("0", "80"):
            monkeypatch.setenv("COLUMNS", width)
            assert main([command, str(EXAMPLES / f"{name}.toml")]) == 0
            said[width] = capsys.readouterr().out
        tables = [block for block in said["80"].split("\n\n") if RULE.search(block)]
        assert tables
        rows = [row for block in tables for row in block.splitlines() if not row.startswith("note")]
        assert max(map(len, rows)) <= 80, (command, name)
        folded, whole = (
            [word for block in said[width].split("\n\n") for word in RULE.split(block)[-1].split()]
            for width in ("80", "0")
        )
        assert sorted(folded) == sorted(whole)


def test_a_table_too_wide_even_so_goes_on_below_itself() -> None:
    """Two lines a row, as even as can be; numbers are not folded, and no column is lost."""
    headers = ("piece", "length", "back", "held", "arm", "kept piece")
    row = ("C1", (4008.25, "13' 1 13/16\""), 3996.0, "nested on the bed", "left", "right of the blade")
    assert table_text(headers, [row], 40).splitlines() == [
        "piece        length  back",
        "    held            arm   kept piece",
        "----------------------------------------",
        "C1          4008.25  3996",
        "       13' 1 13/16\"",
        "    nested on the   left  right of the",
        "    bed                   blade",
    ]


def test_the_worst_clash_comes_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (EXAMPLES / "box-room.toml").read_text()
    for number, out in enumerate((20, 60, 200)):
        text += f'[[fitting]]\nwall = "north"\nname = "box {number}"\nfrom_left = {700 * number + 300}\nwidth = 300\n'
        text += f"bottom = {2390 - out}\ntop = {2390 - out // 2}\nout = {out}\n"
    path = tmp_path / "clash.toml"
    path.write_text(text)
    main(["check", str(path), "--json"])
    found = json.loads(capsys.readouterr().out)["clearances"]
    main(["check", str(path)])
    said = capsys.readouterr().out.splitlines()
    rows = [row for row in said if row.endswith(("CLASH", "  ok"))]
    assert len(rows) == len(found)
    assert [row.endswith("CLASH") for row in rows] == sorted((not c["ok"] for c in found), reverse=True)
    assert sum(not c["ok"] for c in found) >= 2


def test_verdicts_are_coloured_and_said(monkeypatch: pytest.MonkeyPatch) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    text = table_text(("piece", "verdict"), [("C1", "CLASH"), ("C2", "ok")])
    shown = coloured(text, Terminal())
    assert "\x1b[1;31mCLASH\x1b[0m" in shown
    assert "\x1b[32mok\x1b[0m" in shown
    assert coloured(text, io.StringIO()) == text
    monkeypatch.setenv("NO_COLOR", "1")
    assert coloured(text, Terminal()) == text


def test_cells_with_nothing_in_them() -> None:
    assert table_text(["a", "b"], [["", None]]).split() == ["a", "b", "-", "-"]
    assert table_text(["gap"], [[-0.001], [0.25]]).split() == ["gap", "----", "0", "0.25"]
