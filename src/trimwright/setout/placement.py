"""Where each section sits: one horizontal and one vertical constraint a trim, resolved in order of dependence."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from trimwright.errors import DoesNotFit, RoomFileError
from trimwright.profile.outline import Bounds, Outline
from trimwright.setout.piece import Trim
from trimwright.tolerance import OVERLAP_AREA, TOUCH
from trimwright.trim import HORIZONTAL, TrimRequest

__all__ = ["place"]


def place(requests: Sequence[TrimRequest], ceiling: float) -> tuple[Trim, ...]:
    """All trims placed, each after those it hangs on, otherwise in the order asked for.

    Raises RoomFileError for a loop or an unknown name, DoesNotFit where sections overlap or leave the room.
    """
    letters = _letters([r.name for r in requests])
    placed: dict[str, Trim] = {}
    for request in _in_order(requests):
        edges = {name: trim.edges for name, trim in placed.items()}
        outline = _placed_outline(request, edges, ceiling)
        placed[request.name] = Trim(
            name=request.name,
            letter=letters[request.name],
            section=request.section,
            outline=outline,
            material=request.material,
            walls=request.walls,
            joints=request.joints,
            stock=request.stock,
            follows=_follows(request, placed),
            bent=request.bent,
            left_out=request.left_out,
        )
        _check_inside(placed[request.name], ceiling)
    trims = tuple(placed.values())
    _check_apart(trims)
    return tuple(replace(t, grounds=_grounds(t, trims)) for t in trims)


def _in_order(requests: Sequence[TrimRequest]) -> list[TrimRequest]:
    """Dependence first (Kahn), file order otherwise."""
    names = {r.name for r in requests}
    waiting, done = list(requests), dict[str, TrimRequest]()
    for request in requests:
        for constraint in (request.horizontal, request.vertical):
            if constraint.trim and constraint.trim not in names:
                raise RoomFileError(
                    f"[[trim]] '{request.name}', {constraint.edge}: there is no trim '{constraint.trim}';"
                    f" known are {', '.join(sorted(names))}"
                )
    while waiting:
        ready = next((r for r in waiting if _needs(r) <= done.keys()), None)
        if ready is None:
            loop = ", ".join(f"'{r.name}'" for r in waiting)
            raise RoomFileError(f"[[trim]]: {loop} are placed by each other in a loop; give one of them a number")
        done[ready.name] = ready
        waiting.remove(ready)
    return list(done.values())


def _follows(request: TrimRequest, placed: Mapping[str, Trim]) -> bool:
    """Along the ceiling or level: as asked, else as the trim it hangs on; the two may not part."""
    base = request.vertical.trim
    carrier = placed[base].follows if base else None
    if request.follows is not None and carrier is not None and request.follows is not carrier:
        raise RoomFileError(
            f"[[trim]] '{request.name}', follow: it hangs on '{base}', which {_way(carrier)};"
            f" a trim that {_way(request.follows)} cannot stay on it"
        )
    return bool(carrier) if request.follows is None else request.follows


def _way(follows: bool) -> str:
    return "follows the ceiling" if follows else "runs level"


def _needs(request: TrimRequest) -> set[str]:
    return {c.trim for c in (request.horizontal, request.vertical) if c.trim}


def _placed_outline(request: TrimRequest, placed: Mapping[str, Bounds], ceiling: float) -> Outline:
    """The section's outline moved so that both its constraints hold."""
    own = request.section.outline.bounds
    shift = {}
    for constraint in (request.horizontal, request.vertical):
        surface = {"": 0.0, "wall": 0.0, "floor": 0.0, "ceiling": ceiling}
        trim, _, edge = constraint.base.rpartition(".")
        base = getattr(placed[trim], edge) if trim else surface[constraint.base]
        shift[constraint.edge in HORIZONTAL] = base + constraint.offset - getattr(own, constraint.edge)
    return request.section.outline.moved(shift[True], shift[False])


def _check_inside(trim: Trim, ceiling: float) -> None:
    back, bottom, _, top = trim.edges
    if back < -TOUCH:
        raise DoesNotFit(f"trim '{trim.name}': its back would be {-back:.1f} mm inside the wall")
    if bottom < -TOUCH:
        raise DoesNotFit(f"trim '{trim.name}': its bottom would be {-bottom:.1f} mm below the floor")
    if top > ceiling + TOUCH:
        raise DoesNotFit(
            f"trim '{trim.name}': its top at {top:.1f} would be {top - ceiling:.1f} mm above the ceiling"
            f" at {ceiling:.1f}"
        )


def _check_apart(trims: Sequence[Trim]) -> None:
    """No two sections on the same wall share area."""
    for i, first in enumerate(trims):
        for second in trims[i + 1 :]:
            if set(first.walls) & set(second.walls) and _boxes_meet(first.edges, second.edges):
                area = _shared_area(first.outline, second.outline)
                if area > OVERLAP_AREA:
                    raise DoesNotFit(
                        f"trims '{first.name}' and '{second.name}' overlap: their sections share {area:.1f} mm²;"
                        f" '{first.name}' is {_box(first.edges)}, '{second.name}' is {_box(second.edges)}"
                    )


def _grounds(trim: Trim, trims: Sequence[Trim]) -> tuple[tuple[int, float], ...]:
    """What lies before each wall at the heights of a trim: behind it where it runs along that wall too, else anything.

    Of two trims that come to a corner on a wall each, the one that ends there gives way, or else the later one.
    """
    _, bottom, _, top = trim.edges
    found: dict[int, float] = {}
    for k, other in enumerate(trims):
        if other.edges.bottom < top - TOUCH and bottom < other.edges.top - TOUCH:
            behind = other.edges.front < trim.edges.back + TOUCH
            gives_way = k < trims.index(trim) or bool(set(other.walls) & set(trim.walls))
            for wall in other.walls:
                if behind if wall in trim.walls else gives_way:
                    found[wall] = max(found.get(wall, 0.0), other.edges.front)
    return tuple(sorted(found.items()))


def _boxes_meet(a: Bounds, b: Bounds) -> bool:
    return (
        a.back < b.front - TOUCH and b.back < a.front - TOUCH and a.bottom < b.top - TOUCH and b.bottom < a.top - TOUCH
    )


def _shared_area(a: Outline, b: Outline) -> float:
    from shapely import Polygon  # imported only when boxes meet: it costs 0.15 s

    return float(Polygon(a.points()).intersection(Polygon(b.points())).area)


def _box(edges: Bounds) -> str:
    return f"{edges.back:g} to {edges.front:g} out, {edges.bottom:g} to {edges.top:g} high"


def _letters(names: Sequence[str]) -> dict[str, str]:
    """A letter a trim: the first of its name that is free, else the next free of the alphabet."""
    letters: dict[str, str] = {}
    for name in names:
        own = [c for c in name.upper() if "A" <= c <= "Z" and c not in "IO"]
        alphabet = list("ABCDEFGHJKLMNPQRSTUVWXYZ")
        doubles = [a + b for a in alphabet for b in alphabet]
        letters[name] = next(c for c in (*own, *alphabet, *doubles) if c not in letters.values())
    return letters
