"""What can hurt, said briefly where it applies; local codes and licensed trades come first."""

from __future__ import annotations

from trimwright.setout.piece import SetOut

__all__ = ["cautions"]

LONG_PLASTER = 2000.0
"""A plaster length longer than this (mm) breaks if one person lifts it alone. Common practice, no source."""

HEIGHT = 2000.0
"""Trim fitted above this (mm) is not reached from the floor."""

HOT = 60.0
"""A pipe hotter than this (°C) burns the hand and softens foam and its glue. Common practice, no source."""

METALS = {"aluminium"}
"""Materials that are cut to chips, not to dust."""


def cautions(set_out: SetOut) -> tuple[str, ...]:
    """One sentence a danger that this job has."""
    materials = {trim.material.name for trim in set_out.trims}
    kinds = {trim.section.kind for trim in set_out.trims}
    foam = any("foam" in name for name in materials)
    said = [
        "Local building codes and licensed trades come before anything written here.",
        "Pipes and cables may be hidden in walls and ceilings: find them with a detector before you pin or drill.",
        "Old coatings may hold lead, old boards and textured ceilings asbestos: have them tested first.",
        "Saw: guards on, eyes and ears covered, hands clear of the blade, small returns held with a block or cut from a"
        " longer length.",
    ]
    if materials - METALS:
        said.append("Dust of wood, board, plaster and foam is not to be breathed: extraction at the saw, and a mask.")
    if materials & METALS:
        said.append("Metal: a blade made for it, the length clamped, and burrs taken off before it is handled.")
    if any(trim.edges.top > HEIGHT for trim in set_out.trims):
        said.append("Work at height from a platform, not from a ladder: a length takes both hands.")
    if any(p.trim.material.name == "gypsum plaster" and p.length > LONG_PLASTER for p in set_out.pieces):
        said.append("Long plaster needs two people, on edge when it is carried.")
    hot = [pipe.name for pipe in set_out.room.pipes if (pipe.temperature or 0) > HOT]
    if hot:
        said.append(f"Hot pipes burn: work beside {' and '.join(hot)} only when cold.")
    if foam and hot:
        said.append("Foam and its glue soften near hot pipes: keep them off, and check the maker's limit.")
    if "channel" in kinds:
        said.append(
            "Lights: everything on the mains side belongs to a licensed electrician and the local wiring rules;"
            " leave drivers air and access."
        )
        said.append("Never switch a light strip on while it lies on its reel: it overheats.")
    return tuple(said)
