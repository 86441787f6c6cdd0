"""The site file as it may be written (format 1): its rooms, and tables of the room file that they share."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, model_validator

from trimwright.project.finish_tables import FinishTable
from trimwright.project.light_tables import LightTable
from trimwright.project.models import (
    ClearanceTable,
    Date,
    Name,
    OffcutTable,
    PaperTable,
    PricesTable,
    SawTable,
    SurveyTable,
    Table,
    TrimTable,
)
from trimwright.scalars import Format, Whole

__all__ = ["MOST_COPIES", "MOST_ROOMS", "RoomEntry", "SiteFile", "SiteTable"]

MOST_ROOMS, MOST_COPIES = 2000, 1000
"""A site has no more different rooms than this, and no room is built more often."""


def _plain(mark: str | None) -> str | None:
    """Marks stand before the ids of pieces on bars and labels, and must be told from them."""
    if mark is not None and not mark.isalnum():
        raise ValueError("a mark is of letters and digits only")
    return mark


class SiteTable(Table):
    """`[site]`."""

    name: Name
    units: Literal["mm", "in"] = "mm"
    date: Date = None


class RoomEntry(Table):
    """`[[room]]`: a room file, how often it is built, and which of the shared trims and tables it does without."""

    file: Annotated[str, Field(min_length=1, max_length=1000)]
    count: Annotated[Whole, Field(ge=1, le=MOST_COPIES)] = 1
    name: Name | None = None
    mark: Annotated[str | None, Field(min_length=1, max_length=6), AfterValidator(_plain)] = None
    without: Annotated[list[Name], Field(max_length=60)] = Field(default_factory=list)


class SiteFile(Table):
    """The whole file."""

    format: Format
    site: SiteTable
    room: Annotated[list[RoomEntry], Field(min_length=1, max_length=MOST_ROOMS)]
    trim: Annotated[list[TrimTable], Field(max_length=40)] = Field(default_factory=list)
    survey: SurveyTable = SurveyTable()
    saw: SawTable = SawTable()
    paper: PaperTable = PaperTable()
    prices: PricesTable = PricesTable()
    clearance: ClearanceTable = ClearanceTable()
    offcut: Annotated[list[OffcutTable], Field(max_length=500)] = Field(default_factory=list)
    rates: dict[str, dict[str, Any]] = Field(default_factory=dict)
    light: LightTable | None = None
    finish: FinishTable = FinishTable()

    @model_validator(mode="before")
    @classmethod
    def _format_first(cls, data: Any) -> Any:
        if isinstance(data, dict) and data.get("format") != 1:
            raise ValueError("the first line must be: format = 1")
        return data
