"""What is asked of a trim: its section, where it hangs, its joints, its material and the lengths it is sold in."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from trimwright.profile.section import Section

__all__ = [
    "HORIZONTAL",
    "VERTICAL",
    "Constraint",
    "Joint",
    "JointPolicy",
    "Material",
    "Stock",
    "TrimRequest",
    "read_constraint",
]

HORIZONTAL = ("back", "front")
VERTICAL = ("bottom", "top")
REFERENCE = re.compile(r"^(?P<what>.*?)\s*(?:(?<=\s)(?P<sign>[+-])\s*(?P<offset>[^+-]+))?$")


class Joint(StrEnum):
    """How a piece ends."""

    SQUARE = "square"
    MITRE = "mitre"
    COPE = "cope"
    RETURN = "return"
    SCARF = "scarf"


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """What a trim is made of: density in kg/m³ and the colour it is shown in (#rrggbb).

    `bends` is the least radius it is bent to, as a multiple of the width that is bent; None: it is not bent.
    """

    name: str
    density: float
    colour: str
    bends: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A length the shop sells, its price if known, how many it has (None: enough), and the size on its label."""

    length: float
    price: Decimal | None = None
    quantity: int | None = None
    size: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class JointPolicy:
    """The joint wanted at internal corners, external corners, free ends, and along a wall."""

    internal: Joint
    external: Joint
    end: Joint
    length: Joint


@dataclass(frozen=True, slots=True)
class Constraint:
    """One edge of a trim held at `base` + `offset`; base is "" (a plain number), a surface, or "trim.edge"."""

    edge: str
    base: str
    offset: float

    @property
    def trim(self) -> str | None:
        """The trim it hangs on, if any."""
        return self.base.rpartition(".")[0] or None


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimRequest:
    """A trim as asked for, before it is placed.

    `follows`: it runs along a ceiling that is not level; None: as the trim it hangs on does. `bent`: along a curved
    wall it is bent to the radius, not divided into straight segments. `left_out`: stretches that it leaves free, each
    a wall and two stations.
    """

    name: str
    section: Section
    horizontal: Constraint
    vertical: Constraint
    walls: tuple[int, ...]
    joints: JointPolicy
    material: Material
    stock: tuple[Stock, ...]
    follows: bool | None = None
    bent: bool = False
    left_out: tuple[tuple[int, float, float], ...] = ()


def read_constraint(edge: str, value: object, length: Callable[[object], float]) -> Constraint:
    """A constraint as written: a number, "wall", "ceiling - 150", "batten.bottom + 2".

    `length` turns a written length into mm. Raises ValueError with what would be right.
    """
    if not isinstance(value, str):
        return Constraint(edge, "", length(value))
    match = REFERENCE.match(value.strip())
    base = match["what"].strip() if match else ""
    offset = length(match["offset"]) * (-1 if match["sign"] == "-" else 1) if match and match["sign"] else 0.0
    surfaces = ("wall",) if edge in HORIZONTAL else ("ceiling", "floor")
    edges = HORIZONTAL if edge in HORIZONTAL else VERTICAL
    trim, _, other = base.rpartition(".")
    if base in surfaces or (trim and other in edges):
        return Constraint(edge, base, offset)
    try:
        return Constraint(edge, "", length(value))
    except ValueError:
        known = ", ".join(f"'{s}'" for s in surfaces)
        raise ValueError(
            f"'{value}' is not a place for {edge}: write a length, {known},"
            f" or another trim's edge such as 'batten.{edges[0]} + 2' ({edges[0]} or {edges[1]})"
        ) from None
