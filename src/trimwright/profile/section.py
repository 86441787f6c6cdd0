"""A profile with its parameters given: one fixed section."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from trimwright.profile.outline import Line, Outline

__all__ = ["Section"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One section in the profile frame, as its file draws it (the file chooses the origin).

    `kind` is the trade's word (rail, cornice, channel, batten, dado). `flat_back` is the straight edge on which
    a sprung section lies when put back down on the saw bed, from its wall edge to its ceiling edge, or None.
    """

    name: str
    kind: str
    outline: Outline
    parameters: Mapping[str, float] = field(default_factory=dict)
    about: str = ""
    flat_back: Line | None = None

    @property
    def drop(self) -> float:
        """Whole height, mm."""
        bounds = self.outline.bounds
        return bounds.top - bounds.bottom

    @property
    def projection(self) -> float:
        """Whole width out from the wall, mm."""
        bounds = self.outline.bounds
        return bounds.front - bounds.back
