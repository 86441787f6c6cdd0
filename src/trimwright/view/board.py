"""What the page shows at the moment, and a bell for those who wait for the next."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from threading import Condition

__all__ = ["Board", "Shown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """`page` is the last room that could be made, its `number` counts them; `wrong` says what is wrong since then."""

    number: int = 0
    page: str = ""
    sheets: Mapping[str, str] = field(default_factory=dict)
    wrong: str = ""

    @property
    def news(self) -> str:
        """What the open page is told: JSON on one line."""
        return json.dumps({"number": self.number, "wrong": self.wrong})


class Board:
    """One thread writes on it, one a page open in a browser reads."""

    def __init__(self) -> None:
        self._shown, self._changes, self._bell = Shown(), 0, Condition()

    @property
    def shown(self) -> Shown:
        """What it shows now."""
        return self._shown

    def show(self, page: str, sheets: Mapping[str, str]) -> None:
        """A room was made."""
        self._put(Shown(number=self._shown.number + 1, page=page, sheets=sheets))

    def complain(self, wrong: str) -> None:
        """The file is wrong: the last page stays, with these words above it."""
        self._put(replace(self._shown, wrong=wrong))

    def _put(self, shown: Shown) -> None:
        with self._bell:
            self._shown, self._changes = shown, self._changes + 1
            self._bell.notify_all()

    def after(self, seen: int, seconds: float) -> tuple[int, Shown]:
        """The count of changes and what is shown, at once if something changed since `seen`, else after a while."""
        with self._bell:
            self._bell.wait_for(lambda: self._changes > seen, seconds)
            return self._changes, self._shown
