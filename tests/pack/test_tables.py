"""Lists in two units: millimetres stay numbers of their own, feet and inches stand beside them."""

from __future__ import annotations

import csv
import io

import pytest

from example_rooms import EXAMPLES, example_set_out
from trimwright.clearance.clearance import Clearance, Place
from trimwright.clearance.obstacles import Kind
from trimwright.cli import main
from trimwright.pack.lists import ceiling_table, clearance_table, piece_table, survey_table
from trimwright.pack.table import Lengths, Table, columns, csv_text, in_units, lengths_of
from trimwright.project.project import read_project
from trimwright.units import Units, length

HEADERS = ("piece", "length", "end")
ROWS = (("C1", 2400.3, "mitre"), ("C2", 304.8, "square"), ("C3", "", "cope"))
TABLE = Table("Cuts", HEADERS, ROWS, lengths_of(HEADERS, ROWS, ("length",)))


def test_inches_have_a_column_of_their_own() -> None:
    shown = in_units(TABLE, Units.INCHES)
    assert shown.headers == ("piece", "length", "length (ft in)", "end")
    assert [row[1] for row in shown.rows] == [2400.3, 304.8, ""]
    assert [row[2] for row in shown.rows] == ["7' 10 1/2\"", "1' 0\"", ""]
    assert in_units(TABLE, Units.MM) is TABLE


def test_lengths_go_with_their_columns() -> None:
    assert columns(TABLE, ("piece", "end")).lengths == ()
    kept = columns(TABLE, ("end", "length"))
    assert in_units(kept, Units.INCHES).headers == ("end", "length", "length (ft in)")


def test_inches_survive_the_csv() -> None:
    """Quoted as RFC 4180 has it; a negative one starts with a sign, which a spreadsheet would take for a formula."""
    table = Table("Gaps", ("gap",), ((-9.5,),), (Lengths("gap", (-9.525,)),))
    assert list(csv.reader(io.StringIO(csv_text(in_units(table, Units.INCHES))))) == [
        ["gap", "gap (ft in)"],
        ["-9.5", "'-3/8\""],
    ]


def test_the_loft_is_listed_in_both() -> None:
    done, project = example_set_out("loft"), read_project(EXAMPLES / "loft.toml")
    for table in (
        piece_table(done),
        ceiling_table(done),
        survey_table(project.survey, [w.name for w in done.room.walls]),
    ):
        shown = in_units(table, done.room.units)
        pairs = [(k, k + 1) for k, h in enumerate(shown.headers[:-1]) if shown.headers[k + 1] == f"{h} (ft in)"]
        assert len(pairs) >= 2
        for row in shown.rows:
            for mm, inches in pairs:
                if row[inches]:
                    number = row[mm] if isinstance(row[mm], int | float) else float(str(row[mm]).removesuffix(" mm"))
                    # Half a sixteenth, and half of the tenth that the millimetres are rounded to.
                    assert length(row[inches]) == pytest.approx(number, abs=25.4 / 32 + 0.051)


def test_nothing_lies_at_minus_nought() -> None:
    """A point a hair behind the wall or left of the corner lies at 0 in the list, not at -0."""
    place = Place(0, -0.001, -0.001, 2100.0)
    gap = Clearance(trim="c", piece="C1", obstacle="o", kind=Kind.CASING, wanted=0, actual=30, at=place, to=place)
    (row,) = clearance_table([gap], example_set_out("loft").room).rows
    assert "-0" not in " ".join(map(str, row))


def test_a_reading_that_was_moved_stands_in_the_list_as_it_was_read() -> None:
    project = read_project(EXAMPLES / "loft.toml")
    shown = in_units(survey_table(project.survey, [w.name for w in project.room.walls]), project.room.units)
    row = next(r for r in shown.rows if "gable wall" in str(r[0]) and "length" in str(r[0]))
    assert row[shown.headers.index("as read (ft in)")] == "13' 2\""


def test_what_becomes_of_each_gap() -> None:
    table = ceiling_table(example_set_out("loft"))
    purposes = {(row[0], row[-1]) for row in table.rows}
    assert purposes == {("cornice", "scribe"), ("cornice", "touches"), ("picture rail", "margin")}


@pytest.mark.parametrize(("command", "column"), [("cuts", "length (ft in)"), ("check", "as read (ft in)")])
def test_the_terminal_shows_both(command: str, column: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([command, str(EXAMPLES / "loft.toml")]) == 0
    assert column in capsys.readouterr().out
    assert main([command, str(EXAMPLES / "box-room.toml")]) == 0
    assert "ft in" not in capsys.readouterr().out
