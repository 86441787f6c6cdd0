"""The `[light]` tables of a room file as they may be written: strip, driver, feed, and what surfaces send back."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from trimwright.scalars import Number, Whole
from trimwright.units import length

__all__ = ["ABOUT", "TABLES", "DriverTable", "LightTable", "ReflectanceTable", "StripTable"]

Span = Annotated[float, BeforeValidator(length), Field(ge=10, le=100_000)]
Distance = Annotated[float, BeforeValidator(length), Field(ge=0, le=100_000)]
Name = Annotated[str, Field(min_length=1, max_length=80)]
Part = Annotated[Number, Field(ge=0, le=0.95, allow_inf_nan=False)]
Celsius = Annotated[Number, Field(ge=-40, le=150, allow_inf_nan=False)]


SECTIONS = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0)
"""Standard sections of conductors, mm² (IEC 60228)."""


class Table(BaseModel):
    """A table of the file: unknown keys refused, never changed after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=False)


class StripTable(Table):
    """`strip`: a strip as its label has it. `copper` is the section of each of its two conductors, mm²."""

    voltage: Annotated[Number, Field(ge=3, le=60)] = 24.0
    power: Annotated[Number, Field(ge=0.1, le=100)]
    lumens: Annotated[Number, Field(ge=1, le=20_000)]
    kelvin: Annotated[Number, Field(ge=1800, le=10_000)] = 3000.0
    interval: Annotated[float, BeforeValidator(length), Field(ge=2, le=1000)]
    copper: Annotated[Number, Field(gt=0.01, le=10)] = 0.28
    load: Literal["resistive", "constant"] = "resistive"
    knee: Annotated[Number, Field(ge=0, lt=0.95)] = 0.72
    reel: Span = 5000.0

    @model_validator(mode="after")
    def _whole_intervals(self) -> StripTable:
        if self.interval > self.reel:
            raise ValueError("interval: no reel holds a strip that is cut so far apart; give mm between the cut marks")
        return self


class DriverTable(Table):
    """`driver`: one that can be had."""

    power: Annotated[Number, Field(ge=1, le=5000)]
    name: Name | None = None


class ReflectanceTable(Table):
    """`reflectance`: part of the light that each surface sends back; common practice, no source."""

    ceiling: Part = 0.80
    walls: Part = 0.60
    floor: Part = 0.25
    trim: Part = 0.75
    doors: Part = 0.50
    windows: Part = 0.12
    fittings: Part = 0.40
    diffuser: Part = 0.60


class LightTable(Table):
    """`[light]`."""

    trim: Name | None = None
    strip: StripTable
    driver: Annotated[list[DriverTable], Field(max_length=50)] = []
    corners: Literal["link", "connector", "bend"] = "link"
    feed: Literal["auto", "start", "end", "middle", "both"] | Annotated[Whole, Field(ge=1, le=12)] = "auto"
    feed_wall: Name | None = None
    feed_from_left: Distance = 0.0
    cable: Distance = 2000.0
    cable_section: Annotated[Number | None, Field(ge=0.5, le=4.0)] = None
    spare: Annotated[Number, Field(ge=0, le=200)] = 20.0
    drop: Annotated[Number, Field(ge=0.1, le=50)] = 5.0
    copper_temperature: Celsius = 50.0
    transmission: Annotated[Number, Field(ge=0.01, le=1)] = 0.75
    fixing: Literal["clips", "screws"] = "clips"
    fixing_spacing: Span = 500.0
    warming: Annotated[Number, Field(ge=0, le=100)] = 40.0
    reflectance: ReflectanceTable = ReflectanceTable()

    @model_validator(mode="after")
    def _standard_section(self) -> LightTable:
        if self.cable_section is not None and self.cable_section not in SECTIONS:
            raise ValueError(f"cable_section: standard sections are {', '.join(f'{s:g}' for s in SECTIONS)} mm²")
        return self


TABLES = {
    "LightTable": "The light: the strip that lies in a channel, and what feeds it.",
    "StripTable": "The strip as its label has it.",
    "DriverTable": "A driver that can be had; without any, generic sizes are taken.",
    "ReflectanceTable": "Part of the light that each surface sends back, 0 to 0.95.",
}

ABOUT: dict[str, dict[str, str]] = {
    "LightTable": {
        "trim": "Name of the trim the strip lies in; left out: the first channel.",
        "strip": "The strip as its label has it.",
        "driver": "Drivers that can be had.",
        "corners": "How the strip passes a corner: soldered wires, a connector, or bent round it.",
        "feed": "Where the strip is fed; auto: in as few places as keep the drop within its limit.",
        "feed_wall": "Name of the wall at which the cable comes; left out: the wall with the door.",
        "feed_from_left": "From that wall's left corner to the cable.",
        "cable": "Length of cable from the driver to where it comes.",
        "cable_section": "Section of the cable's conductors in mm²; left out: the thinnest that serves.",
        "spare": "Per cent that a driver is to have above the strip's power.",
        "drop": "Per cent of the voltage that may be lost up to the dimmest place.",
        "copper_temperature": "How warm the copper gets, in degrees Celsius.",
        "transmission": "Part of the strip's light that passes the diffuser.",
        "fixing": "How the channel is held.",
        "fixing_spacing": "From one clip or screw to the next, at most.",
        "warming": "How many degrees channel and diffuser get warmer than when they were cut.",
        "reflectance": "Part of the light that each surface sends back.",
    },
    "StripTable": {
        "voltage": "Nominal voltage.",
        "power": "Watts a metre.",
        "lumens": "Lumens a metre.",
        "kelvin": "Colour temperature: 2700 is warm, 4000 neutral, 6500 as daylight; for the picture.",
        "interval": "From one cut mark to the next.",
        "copper": "Section of each of its two conductors in mm²: width times thickness; 4 mm of 0.07 mm is 0.28.",
        "load": "resistive: dims with the voltage; constant: regulated on the strip.",
        "knee": "Of a resistive strip: part of the nominal voltage at which it begins to shine.",
        "reel": "Length of a reel.",
    },
    "DriverTable": {"power": "Rated watts.", "name": "What it is bought as."},
    "ReflectanceTable": {
        "ceiling": "Of the ceiling; matt white 0.8.",
        "walls": "Of the walls; pale paint 0.6.",
        "floor": "Of the floor; light wood 0.25.",
        "trim": "Of trims; painted white 0.75.",
        "doors": "Of doors.",
        "windows": "Of window panes at night.",
        "fittings": "Of boxes on the walls.",
        "diffuser": "Of the channel behind its diffuser.",
    },
}
