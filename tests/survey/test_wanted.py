"""Which reading is asked for: never one that cannot be taken."""

from __future__ import annotations

from trimwright.survey.adjust import adjust
from trimwright.survey.reading import length
from trimwright.survey.report import sentences


def test_an_open_run_may_end_where_it_began():
    """Four walls of 1000 with square corners come back to their start: there is no line from there to there, which
    in a test that takes warnings for errors could not be weighed."""
    survey = adjust([length(i, 1000.0) for i in range(4)], closed=False)
    (weak,) = (s for s in sentences(survey) if s.startswith("Only the corners"))
    assert "the diagonal 1-5" not in weak
