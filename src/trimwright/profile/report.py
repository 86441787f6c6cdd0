"""A profile drawn and measured for the terminal."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

from trimwright.errors import ProfileError
from trimwright.profile.file import list_profiles, read_profile
from trimwright.profile.library import find_profile
from trimwright.profile.measures import Measures, legs_from_label, measure
from trimwright.profile.section import Section
from trimwright.profile.sketch import section_text
from trimwright.terminal import table_text
from trimwright.units import length

__all__ = ["profile_list", "profile_report", "sized"]


def profile_list(as_json: bool) -> str:
    """The shipped profiles: name, kind, what they are."""
    profiles = list_profiles()
    if as_json:
        return json.dumps([{"name": p.name, "kind": p.kind, "about": p.about} for p in profiles], indent=1)
    return table_text(("name", "kind", "about"), [(p.name, p.kind, p.about) for p in profiles])


def sized(name: str, settings: Sequence[str]) -> Section:
    """The section of a profile with parameters given as NAME=MM."""
    return read_profile(find_profile(name, Path())).section(dict(_setting(s) for s in settings))


def profile_report(name: str, settings: Sequence[str], label: str | None, as_json: bool) -> str:
    """The section drawn, its sizes, and what a label of a given size can mean."""
    section = sized(name, settings)
    sizes = measure(section)
    legs = _label_meanings(sizes, _length("--face", label)) if label else {}
    if as_json:
        data = {"name": section.name, "kind": section.kind, **_sizes(sizes), "label": legs}
        return json.dumps(data, indent=1)
    parts = [
        f"{section.name} ({section.kind}): {section.about}",
        section_text(section.outline),
        table_text(("size", "mm"), [(k.replace("_", " "), v) for k, v in _sizes(sizes).items() if v is not None]),
        "Order by drop x projection "
        f"{sizes.drop:g} x {sizes.projection:g}; the same is sold by its face as {sizes.face_width:.1f}"
        f" and by its girth as {sizes.girth:.1f}.",
    ]
    if legs:
        rows = [(meaning, *values.values()) for meaning, values in legs.items()]
        parts.append(table_text((f"if the label's {label} is the", "drop", "projection"), rows))
    return "\n\n".join(parts)


def _sizes(sizes: Measures) -> dict[str, float | None]:
    return {
        "drop": round(sizes.drop, 2),
        "projection": round(sizes.projection, 2),
        "face_width": round(sizes.face_width, 2),
        "girth": round(sizes.girth, 2),
        "area": round(sizes.area, 2),
        "spring_angle": None if sizes.spring_angle is None else round(sizes.spring_angle, 2),
    }


def _label_meanings(sizes: Measures, size: float) -> dict[str, dict[str, float]]:
    return {
        meaning: {"drop": round(legs.drop, 1), "projection": round(legs.projection, 1)}
        for meaning, legs in legs_from_label(size, sizes).items()
    }


def _setting(text: str) -> tuple[str, float]:
    name, equals, value = text.partition("=")
    if not equals:
        raise ProfileError(f"--set {text}: write NAME=MM, for example --set drop=115")
    return name.strip(), _length(f"--set {name}", value)


def _length(entry: str, text: str) -> float:
    try:
        return length(text)
    except ValueError as error:
        raise ProfileError(f"{entry}: {error}") from None
