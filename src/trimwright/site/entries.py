"""What every entry of a site file means, in one line each: read by the schema, shown by editors."""

from __future__ import annotations

from trimwright.project.entries import ABOUT as OF_A_ROOM

__all__ = ["ABOUT", "TABLES"]

TABLES = {
    "SiteFile": "The rooms of a building site, and the trims and tables that they share.",
    "SiteTable": "The site as a whole.",
    "RoomEntry": "A room of the site.",
}

_SHARED = {
    key: f"{said} Every room takes it over; what a room says itself wins."
    for key, said in OF_A_ROOM["RoomFile"].items()
    if key in ("trim", "survey", "saw", "paper", "prices", "clearance", "light", "finish", "rates")
}

ABOUT: dict[str, dict[str, str]] = {
    "SiteFile": {
        "format": "Format of the file: 1.",
        "site": "The site as a whole.",
        "room": "The rooms, in the order in which they stand on the lists.",
        "offcut": "Lengths you own already, cut for the site before anything is bought.",
        **_SHARED,
    },
    "SiteTable": {
        "name": "Name of the site, shown on its page and sheets.",
        "units": 'How lengths are written in its lists: "mm", or "in" for feet, inches and sixteenths beside the mm.',
        "date": "Date on its sheets, as YYYY-MM-DD.",
    },
    "RoomEntry": {
        "file": "Its room file, from the folder of the site file.",
        "count": "How many rooms are built from it.",
        "name": "Name of the room and of the folder of its pack; left out: that of the file.",
        "mark": "Stands before its pieces on bars and labels, up to six letters and digits; left out: its number.",
        "without": "Shared trims, by name, and shared tables that it does not take over.",
    },
}
