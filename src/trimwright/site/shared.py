"""What a room takes over from its site: what the room says itself wins, entry by entry, and trims by their name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

__all__ = ["SHARED", "with_shared"]

SHARED = ("survey", "saw", "paper", "prices", "clearance", "rates", "light", "finish")
"""Tables that rooms take over entry by entry. Offcuts belong to the site: only its own plan cuts them."""


def with_shared(
    room: Mapping[str, Any], site: Mapping[str, Any], without: Sequence[str], folder: Path
) -> dict[str, Any]:
    """The tables of a room file over those of a site file that lies in `folder`; neither is changed."""
    made = dict(room)
    for name in SHARED:
        if name in site and name not in without:
            made[name] = _over(room.get(name, {}), site[name])
    shared = [_placed(trim, folder) for trim in site.get("trim", []) if trim["name"] not in without]
    if shared:
        made["trim"] = _trims(room.get("trim", []), shared)
    return made


def _over(own: Any, shared: Any) -> Any:
    """The room's value over the site's; tables are merged all the way down."""
    if not isinstance(own, Mapping) or not isinstance(shared, Mapping):
        return own
    return {**shared, **{key: _over(value, shared[key]) if key in shared else value for key, value in own.items()}}


def _trims(own: Any, shared: list[dict[str, Any]]) -> Any:
    """The shared trims in their order, each in the room's own words where it has one of that name, then the others."""
    if not isinstance(own, list) or not all(isinstance(trim, Mapping) for trim in own):
        return own  # no list of tables: the message about it comes when the room is read
    names = [trim["name"] for trim in shared]
    mine = {trim.get("name"): trim for trim in own if trim.get("name") in names}
    others = [trim for trim in own if not any(trim is taken for taken in mine.values())]
    return [*(mine.get(trim["name"], trim) for trim in shared), *others]


def _placed(trim: Mapping[str, Any], folder: Path) -> dict[str, Any]:
    """A shared trim whose profile file, if it is one, is found from every room's folder."""
    profile = trim["profile"]
    if profile.endswith(".toml") or "/" in profile or "\\" in profile:
        profile = str(folder / Path(profile).expanduser())
    return {**trim, "profile": profile}
