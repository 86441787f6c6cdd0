"""A survey in words and rows: what was read, what the room makes of it, what to measure again. Prints nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trimwright.survey.adjust import Check, Survey
from trimwright.survey.blunder import Suspect
from trimwright.survey.closing import ClosingGap
from trimwright.survey.reading import Kind, Reading

__all__ = ["Row", "rows", "sentences"]

WELL_CHECKED = 0.5
"""Redundancy from which a reading counts as well checked: half its errors show."""

HARDLY_CHECKED = 0.1
"""Redundancy below which a slip would mostly go unnoticed."""

MOST_NAMED = 3
"""More readings than this that may as well be at fault are counted, not named; the table marks them."""

DOUBTFUL_CHANCE = 0.05
"""If chance alone explains the misfit less often than this, the readings as a whole are doubted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of the table: all cells are text, values in mm or degrees to one decimal."""

    reading: str
    measured: str
    adjusted: str
    difference: str
    checked: str
    verdict: str


def rows(survey: Survey, names: Sequence[str] = ()) -> tuple[Row, ...]:
    """The table of readings, in the order in which they were given; `names` are the walls' own."""
    return tuple(_row(check, survey, names) for check in survey.checks)


def sentences(survey: Survey, names: Sequence[str] = ()) -> tuple[str, ...]:
    """What a fitter should know, the most pressing first."""
    said = [_suspected(s, names) for s in survey.suspects]
    if survey.suspects:
        said.append(_left_out(survey))
    elif survey.freedom and survey.chance < DOUBTFUL_CHANCE:
        said.append(
            f"The readings disagree {survey.variance_factor**0.5:.1f} times as much as they should, "
            "and no single one stands out: measure the longest walls and the diagonals again."
        )
    if survey.gap is not None and survey.gap.size >= 0.05:
        said.append(_walked(survey, survey.gap))
    if survey.weak:
        said.append(_weakness(survey, names))
    said.append(_certainty(survey))
    return tuple(said)


def _row(check: Check, survey: Survey, names: Sequence[str]) -> Row:
    """One reading's line."""
    reading = check.reading
    taken = "as square" if reading.kind is Kind.ASSUMED and reading.value == 90 else _value(reading.value, reading)
    return Row(
        reading=_capital(reading.named(names)),
        measured="" if reading.kind is Kind.PARALLEL else taken,
        adjusted=_value(check.adjusted, reading),
        difference=_signed(check.difference, reading),
        checked=_checked(check),
        verdict=_verdict(check, survey),
    )


def _checked(check: Check) -> str:
    """How far the other readings check it, with the slip that would show."""
    if check.reading.kind is Kind.ASSUMED:
        return "not measured"
    if check.detectable is None or check.redundancy < HARDLY_CHECKED / 10:
        return "nothing checks it"
    shows = f"a slip of {_value(check.detectable, check.reading, fine=False)} would show"
    if check.redundancy >= WELL_CHECKED:
        return f"well: {shows}"
    return f"{'hardly' if check.redundancy < HARDLY_CHECKED else 'fairly'}: {shows}"


def _verdict(check: Check, survey: Survey) -> str:
    """In a word or two."""
    if any(check.reading == s.reading for s in survey.suspects):
        return "measure it" if check.reading.kind is Kind.ASSUMED else "measure again"
    if any(check.reading in s.others for s in survey.suspects):
        return "or this one"
    if check.reading.kind is Kind.ASSUMED:
        return "assumed"
    return "good" if check.redundancy >= HARDLY_CHECKED else "unchecked"


def _suspected(suspect: Suspect, names: Sequence[str]) -> str:
    """What is wrong with one reading, and which others it may have been instead."""
    said = f"{_capital(suspect.reading.named(names))} {_fault(suspect)}"
    if len(suspect.others) > MOST_NAMED:
        said += f"; {len(suspect.others)} others may as well be at fault, and one more diagonal would tell"
    elif suspect.others:
        said += f"; it may as well be {_listed([r.named(names) for r in suspect.others])}"
    return said + "."


def _fault(suspect: Suspect) -> str:
    """The fault, told of the reading."""
    reading, excess = suspect.reading, abs(suspect.excess)
    if reading.kind is Kind.PARALLEL:
        return f"cannot be: everything else makes them {_value(excess, reading)} out of parallel"
    if reading.kind is Kind.ASSUMED:
        taken, makes = _value(reading.value, reading), _value(suspect.expected, reading)
        return f"was taken as {taken}, yet everything else makes it {makes}: measure it"
    by, makes = (_value(v, reading, fine=not reading.in_mm) for v in (excess, suspect.expected))
    more, less = ("longer", "shorter") if reading.in_mm else ("more", "less")
    return f"is {by} {more if suspect.excess > 0 else less} than everything else allows ({makes}): measure it again"


def _left_out(survey: Survey) -> str:
    """How well the rest fits."""
    them = "it" if len(survey.suspects) == 1 else "these"
    return f"With {them} left out the room closes to {_mm(survey.suspects[0].closes_to)}."


def _weakness(survey: Survey, names: Sequence[str]) -> str:
    """What to measure so that the shape no longer hangs on corners taken as square."""
    said = "Only the corners taken as square hold the room's shape"
    return f"{said}: measure {survey.next_reading.named(names)} to fix it." if survey.next_reading else f"{said}."


def _walked(survey: Survey, gap: ClosingGap) -> str:
    """The gap of the readings as they are, and that it is nothing to worry about if it is not."""
    said = f"Walked round as read, the room misses its first corner by {_mm(gap.size)} ({gap.direction})"
    calm = not survey.suspects and survey.chance >= DOUBTFUL_CHANCE
    return f"{said}, no more than such readings leave." if calm else f"{said}."


def _certainty(survey: Survey) -> str:
    """How sure the corners are, by the accuracy that the readings are said to have."""
    worst = max(range(len(survey.points)), key=lambda k: survey.ellipses[k].major)
    return (
        f"Seen from wall 1, corner {worst + 1} is the least certain: within {_mm(survey.ellipses[worst].major)} "
        "with 95 % certainty, if the readings are as good as they are said to be."
    )


def _mm(value: float) -> str:
    """Whole millimetres from 10 up, tenths below."""
    return f"{value:.0f} mm" if value >= 9.95 else f"{value:.1f} mm"


def _value(value: float, reading: Reading, *, fine: bool = True) -> str:
    """A value in the reading's unit: tenths, no sign on nought, or what `_mm` says of it."""
    return _mm(value) if reading.in_mm and not fine else f"{round(value, 1) + 0.0:.1f}{reading.unit}"


def _signed(value: float, reading: Reading) -> str:
    """A difference with its sign, none on nought."""
    return f"{value:+.1f}{reading.unit}" if abs(value) >= 0.05 else f"0.0{reading.unit}"


def _capital(words: str) -> str:
    """The first letter large."""
    return words[:1].upper() + words[1:]


def _listed(words: Sequence[str]) -> str:
    """Alternatives: "a, b or c"."""
    *most, end = words
    return f"{', '.join(most)} or {end}" if most else end
