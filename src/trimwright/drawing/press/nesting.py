"""Small templates several to a page: rectangles on shelves, the highest first, each on the first shelf with room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

__all__ = ["Nested", "nested"]


@dataclass(frozen=True, slots=True)
class Nested:
    """Rectangle `index` with its upper left corner `across` and `down` from that of the page's window."""

    index: int
    across: float
    down: float


@dataclass(slots=True)
class _Shelf:
    """A row on a page: where it hangs, its height, and how much of its width is taken."""

    down: float
    height: float
    taken: float = 0.0
    items: list[Nested] = field(default_factory=list)


def nested(sizes: Sequence[tuple[float, float]], room: tuple[float, float], gap: float) -> list[list[Nested]]:
    """Rectangles (width, height) that each fit in `room`, page by page; the pages in the order of what is on them.

    First fit, decreasing height: never more than 1.7 times the least paper, and one more page (Coffman, Garey, Johnson
    and Tarjan 1980, from memory).
    """
    pages: list[list[_Shelf]] = []
    for index in sorted(range(len(sizes)), key=lambda k: -sizes[k][1]):
        width, height = sizes[index]
        shelf = _with_room(pages, width, height, room, gap)
        shelf.items.append(Nested(index, shelf.taken, shelf.down))
        shelf.taken += width + gap
    found = [sorted((item for shelf in page for item in shelf.items), key=lambda n: n.index) for page in pages]
    return sorted(found, key=lambda page: page[0].index)


def _with_room(pages: list[list[_Shelf]], width: float, height: float, room: tuple[float, float], gap: float) -> _Shelf:
    """The first shelf with room, or a new one under the last of the first page that has room for it."""
    for page in pages:
        for shelf in page:
            if shelf.taken + width <= room[0] and height <= shelf.height:
                return shelf
        last = page[-1]
        if last.down + last.height + gap + height <= room[1]:
            page.append(_Shelf(last.down + last.height + gap, height))
            return page[-1]
    pages.append([_Shelf(0.0, height)])
    return pages[-1][-1]
