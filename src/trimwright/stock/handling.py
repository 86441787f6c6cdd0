"""How heavy trim is handled and held, by rules whose figures stand in the rates."""

from __future__ import annotations

from trimwright.setout.piece import Piece, Trim
from trimwright.stock.rates import Rates, kind_rates

__all__ = ["fixing", "mass_by_metre", "needs_two", "rule_words", "screw_rows"]


def needs_two(piece: Piece, mass: float, rates: Rates) -> str:
    """Why one person should not lift a piece alone, in a word or two; empty if one can. `mass` in kg."""
    rule = rates["handling"]
    brittle = piece.trim.material.name == "gypsum plaster"
    reasons = []
    if mass > rule["overhead"]:
        reasons.append("heavy")
    if piece.length > (rule["brittle"] if brittle else rule["length"]):
        reasons.append("brittle and long" if brittle else "long")
    return " and ".join(reasons)


def fixing(trim: Trim, rates: Rates) -> str:
    """How a trim is held, from its mass a metre (section area x density, kg/m)."""
    takes, rule = kind_rates(rates, trim.section.kind), rates["fixing"]
    screws = f"screws every {rates['screws']['spacing']:g} mm"
    if takes["screws"]:
        return f"adhesive and {screws}" if takes["adhesive"] else screws
    if screw_rows(trim, rates):
        return f"adhesive, pins while it sets, and {screws} into studs or joists, heads filled over"
    if mass_by_metre(trim) >= rule["light"]:
        return f"adhesive, and pins every {rates['pins']['spacing']:g} mm that stay"
    return f"adhesive; pins every {rates['pins']['spacing']:g} mm only while it sets"


def screw_rows(trim: Trim, rates: Rates) -> int:
    """Rows of screws along a trim: those of its kind, or one if it is too heavy for glue and pins."""
    takes = kind_rates(rates, trim.section.kind)
    heavy = mass_by_metre(trim) >= rates["fixing"]["heavy"]
    return int(takes["screws"]) or int(heavy)


def mass_by_metre(trim: Trim) -> float:
    """kg/m: mm² x kg/m³ x 1e-6."""
    return trim.outline.area * trim.material.density * 1e-6


def rule_words(rates: Rates) -> str:
    """The rules, as they are printed beside what follows from them."""
    lift, hold = rates["handling"], rates["fixing"]
    return (
        f"Two people for a piece over {lift['overhead']:g} kg, over {lift['length']:g} mm, or of plaster over"
        f" {lift['brittle']:g} mm. Glue alone holds up to {hold['light']:g} kg a metre;"
        f" from {hold['heavy']:g} it is also screwed."
    )
