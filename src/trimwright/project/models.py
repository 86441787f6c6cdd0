"""The room file as it may be written (format 1): one frozen model a table, limits beside each entry."""

from __future__ import annotations

import unicodedata
from datetime import date
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from trimwright.project.finish_tables import FinishTable
from trimwright.project.light_tables import LightTable
from trimwright.scalars import Format, Number, Truth, Whole, number
from trimwright.tolerance import SEGMENT_SAGITTA
from trimwright.units import length

__all__ = [
    "ClearanceTable",
    "Date",
    "DiagonalTable",
    "FittingTable",
    "JointsTable",
    "LeaveOutTable",
    "OffcutTable",
    "OpeningTable",
    "PaperTable",
    "ParallelTable",
    "PipeTable",
    "PricesTable",
    "RoomFile",
    "RoomTable",
    "SawTable",
    "StockTable",
    "SurveyTable",
    "TrimTable",
    "WallTable",
]

FARTHEST = 100_000.0
"""No length in a room is taken to be more than this (mm): a slip of the decimal point."""

SHORTEST = 0.01
"""Nor is anything that has a length, a width or a height taken to have less than this (mm)."""

LONGEST_NAME = 80
"""Characters of a name, and of a place that is told by one."""

UNSEEN = {"Cc", "Cf", "Cn", "Cs", "Zl", "Zp", "Zs"}
"""Categories of characters that leave no mark on paper (Unicode Standard, table 4-4)."""


def _readable(name: str) -> str:
    """Names go on drawings and lists: something of them must be seen there."""
    if all(unicodedata.category(c) in UNSEEN for c in name):
        raise ValueError("a name needs a letter, a digit or a sign that can be read")
    return name


Length = Annotated[float, BeforeValidator(length), Field(ge=-FARTHEST, le=FARTHEST)]
Positive = Annotated[float, BeforeValidator(length), Field(ge=SHORTEST, le=FARTHEST)]
NotNegative = Annotated[float, BeforeValidator(length), Field(ge=0, le=FARTHEST)]
TapeError = Annotated[float, BeforeValidator(length), Field(ge=SHORTEST, le=100)]
TapeErrorPerMetre = Annotated[float, BeforeValidator(length), Field(ge=0, le=20)]
Name = Annotated[str, Field(min_length=1, max_length=LONGEST_NAME), AfterValidator(_readable)]
CornerAngle = Annotated[Number, Field(ge=30, le=330, allow_inf_nan=False)]
Price = Annotated[Decimal, Field(ge=0, le=1_000_000, allow_inf_nan=False)]
AngleError = Annotated[Number, Field(ge=0.001, le=20)]


def _place(value: object) -> object:
    """A place is a length like any other, or a text, which is read when the trims are known."""
    if isinstance(value, str):
        if len(value) > 2 * LONGEST_NAME:
            raise ValueError(f"no place is told in more than {2 * LONGEST_NAME} characters")
        return value
    if abs(number := length(value)) > FARTHEST:
        raise ValueError(f"no place is farther than {FARTHEST:g}")
    return number


Place = Annotated[float | str, BeforeValidator(_place)]


def _decimal(value: object) -> object:
    """A price is decimal: what is written, not the binary float next to it."""
    number(value)
    return Decimal(str(value)) if isinstance(value, int | float) else value


Money = Annotated[Price, BeforeValidator(_decimal)]
Percent = Annotated[Decimal, BeforeValidator(_decimal), Field(ge=0, le=100, allow_inf_nan=False)]


def _real_day(day: str | None) -> str | None:
    """Of the right shape is not enough: there is no 30th of February."""
    try:
        date.fromisoformat(day or "2000-01-01")
    except ValueError:
        raise ValueError("there is no such day; write it as YYYY-MM-DD") from None
    return day


Date = Annotated[str | None, Field(max_length=10, pattern=r"^\d{4}-\d{2}-\d{2}$"), AfterValidator(_real_day)]


class Table(BaseModel):
    """A table of the file: unknown keys refused, never changed after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=False)


class RoomTable(Table):
    """`[room]`."""

    name: Name
    ceiling: Positive | list[Positive]
    closed: Truth = True
    units: Literal["mm", "in"] = "mm"
    date: Date = None


class WallTable(Table):
    """`[[wall]]`: the corner is the one at its right-hand end; `ceiling` holds heights between, [from_left, height].

    With `radius` the wall is an arc over the straight `length` between its ends; corners are measured against that
    straight line.
    """

    name: Name
    length: Positive
    radius: Positive | None = None
    bow: Literal["out", "in"] = "out"
    sagitta: Annotated[float, BeforeValidator(length), Field(ge=0.1, le=50)] = SEGMENT_SAGITTA
    internal: CornerAngle | None = None
    external: CornerAngle | None = None
    ceiling: Annotated[list[tuple[NotNegative, Positive]], Field(max_length=100)] = []

    @model_validator(mode="after")
    def _one_corner(self) -> WallTable:
        if self.internal is not None and self.external is not None:
            raise ValueError("give the corner once, as internal or as external")
        return self

    @model_validator(mode="after")
    def _curve(self) -> WallTable:
        if self.radius is None and self.model_fields_set & {"bow", "sagitta"}:
            raise ValueError("bow and sagitta are those of a curved wall: give its radius too")
        return self

    @property
    def angle(self) -> float | None:
        """The corner at the right end measured in the room; None if it was not measured."""
        return self.internal if self.external is None else 360 - self.external


class DiagonalTable(Table):
    """`[[diagonal]]`: a check between two corners; corner k is the left end of wall k."""

    corners: tuple[Annotated[Whole, Field(ge=1)], Annotated[Whole, Field(ge=1)]]
    length: Positive


class ParallelTable(Table):
    """`[[parallel]]`: two walls found to be parallel, whichever way they run."""

    walls: tuple[Name, Name]


class SurveyTable(Table):
    """`[survey]`: how good the readings are, as standard deviations (two readings in three are better)."""

    length: TapeError = 1.5
    length_per_metre: TapeErrorPerMetre = 0.3
    angle: AngleError = 0.3
    square: AngleError = 1.5
    parallel: AngleError = 0.3


Hinge = Literal["left", "right", "both"]
Swing = Annotated[Number, Field(ge=1, le=180, allow_inf_nan=False)]


class OpeningTable(Table):
    """`[[opening]]`."""

    wall: Name
    kind: Literal["door", "window", "opening"]
    from_left: NotNegative
    width: Positive
    sill: NotNegative = 0
    head: Positive
    architrave: NotNegative = 0
    casing: NotNegative = 15
    hinge: Hinge | None = None
    swing: Swing = 90
    name: str = Field(default="", max_length=80)


class PipeTable(Table):
    """`[[pipe]]`: vertical unless `direction` says horizontal; then `from` and `to` are stations.

    With `points`, each [from_left, out, height], it bends from one to the next.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    wall: Name
    name: Name
    direction: Literal["vertical", "horizontal"] = "vertical"
    from_left: NotNegative | None = None
    height: NotNegative | None = None
    out: Positive | None = None
    points: Annotated[list[tuple[NotNegative, Positive, NotNegative]], Field(min_length=2, max_length=50)] | None = None
    diameter: Annotated[float, BeforeValidator(length), Field(ge=SHORTEST, le=1000)]
    start: NotNegative | None = Field(default=None, alias="from")
    end: Positive | None = Field(default=None, alias="to")
    temperature: Annotated[Number | None, Field(ge=-50, le=400, allow_inf_nan=False)] = None
    collar: Truth = False
    notch: Literal["back", "front", "hole", "joint", "stop"] | None = None

    @model_validator(mode="after")
    def _place(self) -> PipeTable:
        if self.points is not None:
            if self.model_fields_set & {"direction", "from_left", "height", "out", "start", "end"}:
                raise ValueError("a pipe given by its points needs no direction, from_left, height, out, from or to")
            return self
        if self.out is None:
            raise ValueError("out is missing: from the wall's face to the pipe's centre")
        if self.direction == "vertical" and (self.from_left is None or self.height is not None):
            raise ValueError("a vertical pipe needs from_left (and no height)")
        if self.direction == "horizontal" and (self.height is None or self.from_left is not None):
            raise ValueError("a horizontal pipe needs height (and no from_left; from and to are stations)")
        return self


def _let_in(value: object) -> object:
    if not isinstance(value, bool | list):
        raise ValueError("input should be true, false, or a list of trims")
    return value


class FittingTable(Table):
    """`[[fitting]]`: a box in the way, from `back` to `out` off the wall; `round` in plan as a detector is."""

    wall: Name
    name: Name
    from_left: NotNegative
    width: Positive
    bottom: NotNegative
    top: Positive
    out: Positive
    back: NotNegative = 0
    kind: Literal["box", "track", "detector", "grille", "light", "cupboard"] = "box"
    round: Truth = False
    free: NotNegative | None = None
    hinge: Hinge | None = None
    swing: Swing = 90
    let_in: Annotated[bool | Annotated[list[Name], Field(max_length=40)], BeforeValidator(_let_in)] = False

    @model_validator(mode="after")
    def _depth(self) -> FittingTable:
        if self.back >= self.out:
            raise ValueError(f"its back at {self.back:g} is not behind its front at {self.out:g} out")
        return self


class StockTable(Table):
    """One length the shop sells: how many it has, and the size on its label, one figure or two."""

    length: Positive
    price: Money | None = None
    quantity: Annotated[Whole | None, Field(ge=0, le=10_000)] = None
    size: Positive | tuple[Positive, Positive] | None = None


class LeaveOutTable(Table):
    """A stretch of wall that a trim leaves free."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    wall: Name
    start: NotNegative = Field(alias="from")
    end: Positive = Field(alias="to")


Corner = Literal["cope", "mitre", "square"]


class JointsTable(Table):
    """`joints`: what is wanted at each kind of end; what is left out follows from the kind and the material."""

    internal: Corner | None = None
    external: Literal["mitre", "square"] | None = None
    end: Literal["return", "square"] | None = None
    length: Literal["scarf", "square"] | None = None


class TrimTable(Table):
    """`[[trim]]`."""

    name: Name
    profile: Name
    size: dict[str, Positive | Number] = {}
    walls: Literal["all"] | list[Name] = "all"
    back: Place | None = None
    front: Place | None = None
    bottom: Place | None = None
    top: Place | None = None
    follow: Literal["ceiling", "level"] | None = None
    curve: Literal["segments", "bent"] = "segments"
    joints: JointsTable = JointsTable()
    material: Name | None = None
    colour: Annotated[str | None, Field(pattern=r"^#[0-9a-fA-F]{6}$")] = None
    leave_out: Annotated[list[LeaveOutTable], Field(max_length=100)] = []
    stock: list[StockTable] = []

    @model_validator(mode="after")
    def _two_constraints(self) -> TrimTable:
        if (self.back is None) == (self.front is None):
            raise ValueError("give exactly one of back and front")
        if (self.bottom is None) == (self.top is None):
            raise ValueError("give exactly one of bottom and top")
        return self


class SawTable(Table):
    """`[saw]`: what the saw can do; angles from square, each way."""

    kerf: Annotated[float, BeforeValidator(length), Field(ge=0, le=20)] = 3.0
    mitre_left: Annotated[Number, Field(ge=0, le=70)] = 50.0
    mitre_right: Annotated[Number, Field(ge=0, le=70)] = 50.0
    bevel_left: Annotated[Number, Field(ge=0, le=60)] = 47.0
    bevel_right: Annotated[Number, Field(ge=0, le=60)] = 47.0
    fence_height: NotNegative = 120.0
    bed_depth: NotNegative = 300.0
    end_trim: Annotated[float, BeforeValidator(length), Field(ge=0, le=500)] = 0.0
    least_offcut: NotNegative = 300.0


def _per_hundred(value: object) -> object:
    """A reading taken on the bar of 100 mm, such as 99.2, means the same as 0.992."""
    number(value)
    return value / 100 if isinstance(value, int | float) and 90 <= value <= 110 else value


class PaperTable(Table):
    """`[paper]`: `scale_x` and `scale_y` are what a true 1 comes out as on the user's printer."""

    size: Literal["A4", "A3", "A2", "Letter"] = "A3"
    margin: Annotated[float, BeforeValidator(length), Field(ge=5, le=40)] = 10.0
    scale_x: Annotated[Number, BeforeValidator(_per_hundred), Field(ge=0.9, le=1.1, allow_inf_nan=False)] = 1.0
    scale_y: Annotated[Number, BeforeValidator(_per_hundred), Field(ge=0.9, le=1.1, allow_inf_nan=False)] = 1.0


class PricesTable(Table):
    """`[prices]`: currency, tax in per cent, prices by the item's name, and what is bought to spare.

    `spare` is "none", "hardest" (one more length of the trim that is hardest to cut), or per cent of every trim.
    """

    currency: str = Field(default="", max_length=8)
    tax: Percent = Decimal(0)
    items: dict[str, Money] = {}
    spare: Literal["none", "hardest"] | Percent = "none"


class ClearanceTable(Table):
    """`[clearance]`: the gaps wanted."""

    pipe: NotNegative = 3.0
    fitting: NotNegative = 5.0
    opening: NotNegative = 0.0
    door: NotNegative = 3.0
    detector: NotNegative = 20.0


class OffcutTable(Table):
    """`[[offcut]]`: a length already owned."""

    trim: Name
    length: Positive
    count: Annotated[Whole, Field(ge=1, le=1000)] = 1


class RoomFile(Table):
    """The whole file."""

    format: Format
    room: RoomTable
    wall: Annotated[list[WallTable], Field(min_length=1, max_length=500)]
    diagonal: Annotated[list[DiagonalTable], Field(max_length=500)] = []
    parallel: Annotated[list[ParallelTable], Field(max_length=500)] = []
    survey: SurveyTable = SurveyTable()
    opening: Annotated[list[OpeningTable], Field(max_length=500)] = []
    pipe: Annotated[list[PipeTable], Field(max_length=500)] = []
    fitting: Annotated[list[FittingTable], Field(max_length=500)] = []
    trim: Annotated[list[TrimTable], Field(min_length=1, max_length=40)]
    saw: SawTable = SawTable()
    paper: PaperTable = PaperTable()
    prices: PricesTable = PricesTable()
    clearance: ClearanceTable = ClearanceTable()
    offcut: Annotated[list[OffcutTable], Field(max_length=500)] = []
    rates: dict[str, dict[str, Any]] = {}
    light: LightTable | None = None
    finish: FinishTable = FinishTable()

    @model_validator(mode="before")
    @classmethod
    def _format_first(cls, data: Any) -> Any:
        if isinstance(data, dict) and data.get("format") != 1:
            raise ValueError("the first line must be: format = 1")
        return data
