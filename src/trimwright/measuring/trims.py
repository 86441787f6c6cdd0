"""The trims asked for: profile, size, where each hangs; what is usual follows from the kind and from what is there."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache

from trimwright.data import table
from trimwright.errors import ProfileError
from trimwright.measuring.conversation import Question, Script, ask
from trimwright.measuring.notes import FIRST_TRIM, Notes, TrimNote, Written
from trimwright.measuring.spoken import choice, line_of_text, place, several, written_length
from trimwright.profile.file import Profile, list_profiles
from trimwright.terminal import table_text
from trimwright.units import length

__all__ = ["trims"]

HANGS = {
    "cornice": ("top", "ceiling"),
    "batten": ("top", "ceiling"),
    "channel": ("top", "ceiling"),
    "rail": ("bottom", None),
    "dado": ("top", "900 mm"),
    "skirting": ("bottom", "floor"),
    "bead": ("bottom", "floor"),
}
"""Which edge a kind of trim is set by, and where it usually is; common practice."""

NAMES = {"rail": "picture rail", "channel": "light channel"}
"""What a trim of the kind is called, where that is not the kind's own name."""


def trims(notes: Notes, unit: str) -> Script[Notes]:
    """Trims until there are no more; at least one."""
    profiles = _profiles()
    while (name := (yield from ask(_which_profile(notes, profiles)))) is not None:
        trim = yield from _trim(notes, profiles[name], unit)
        notes = replace(notes, trims=(*notes.trims, trim))
    return notes


@cache
def _profiles() -> dict[str, Profile]:
    """The shipped profiles by name, read once: a conversation is replayed at every answer."""
    return {profile.name: profile for profile in list_profiles()}


def _which_profile(notes: Notes, profiles: Mapping[str, Profile]) -> Question[str | None]:
    first = not notes.trims
    pick = choice(list(profiles), "a profile: its number or one")
    listed = table_text(("", "profile", "kind"), [(k, p.name, p.kind) for k, p in enumerate(profiles.values(), 1)])
    return Question(
        text=f"Trim {len(notes.trims) + 1}: which profile?",
        read=lambda text: pick(text) if text else None,
        usual=FIRST_TRIM.profile if first else "",
        shown=None if first else "no more",
        help=f"{listed}\ntrimwright profile tells more. One of your own can be named in the file.",
        opens=True,
        before="Now the trims; ? lists the profiles." if first else "",
    )


def _trim(notes: Notes, profile: Profile, unit: str) -> Script[TrimNote]:
    """One trim."""
    taken = [t.name for t in notes.trims]
    name = yield from ask(Question(text="  call it", read=_free_name(taken), usual=_usual_name(profile, taken)))
    size = yield from _size(profile, unit)
    edge, usual = _usual_height(notes, profile)
    at = yield from ask(
        Question(
            text=f"  its {'upper' if edge == 'top' else 'lower'} edge at",
            read=place(edge, unit, taken),
            usual=usual,
            help=f"A height, ceiling, floor, ceiling - 20, or another trim's edge such as batten.{edge}.",
        )
    )
    back = yield from ask(
        Question(
            text="  its back against",
            read=place("back", unit, taken),
            usual=_usual_back(notes, profile),
            help="wall, a distance out from it, or another trim's edge such as batten.front.",
        )
    )
    on = yield from ask(_which_walls(notes))
    material = yield from ask(_material(profile))
    stock = yield from ask(_stock(unit))
    return TrimNote(
        name=name,
        profile=profile.name,
        edge=edge,
        at=at,
        back=back,
        size=size,
        walls=on,
        material=material,
        stock=stock,
    )


def _usual_name(profile: Profile, taken: list[str]) -> str:
    name = NAMES.get(profile.kind, profile.kind)
    return name if name not in taken else f"{name} {1 + sum(t.startswith(name) for t in taken)}"


def _free_name(taken: list[str]) -> Callable[[str], str]:
    read = line_of_text()

    def free(text: str) -> str:
        name = read(text)
        if name in taken:
            raise ValueError(f"another trim is called '{name}'")
        return name

    return free


def _size(profile: Profile, unit: str) -> Script[tuple[tuple[str, Written], ...]]:
    """Drop and projection, each within what the profile allows; a size left as it usually is is not written."""
    size: list[tuple[str, Written]] = []
    for key, about in (("drop", "height"), ("projection", "out from the wall")):
        limits = profile.parameters[key]
        value = yield from ask(
            Question(
                text=f"  {key}, {about}",
                read=_allowed(profile, key, dict(size), written_length(unit, limits.least, limits.most)),
                usual=f"{limits.default:g} mm",
                shown=f"{limits.default:g} mm",
                help=f"{limits.least:g} to {limits.most:g} mm.",
            )
        )
        size.append((key, value))
    return tuple(size)


def _allowed(
    profile: Profile, key: str, others: Mapping[str, Written], read: Callable[[str], Written]
) -> Callable[[str], Written]:
    """The reader, which also refuses a size at which the outline is no section."""

    def checked(text: str) -> Written:
        value = read(text)
        sizes = {name: length(v) for name, v in {**others, key: value}.items()}
        try:
            profile.section(sizes)
        except ProfileError as error:
            if key == "projection":
                raise ValueError(str(error)) from None
        return value

    return checked


def _usual_height(notes: Notes, profile: Profile) -> tuple[str, str | None]:
    """The edge it is set by and where that usually goes: on the casings, under a batten, on a cornice."""
    edge, usual = HANGS[profile.kind]
    kinds = {_kind(t): t.name for t in notes.trims}
    if profile.kind == "rail":
        heads = [length(o.head) + length(o.architrave) for o in notes.openings if o.kind == "door"]
        return edge, f"{max(heads):g} mm" if heads else None
    if profile.kind == "cornice" and "batten" in kinds:
        return "top", f"{kinds['batten']}.bottom"
    if profile.name == "channel-upright" and "cornice" in kinds:
        return "bottom", f"{kinds['cornice']}.top"
    return edge, usual


def _usual_back(notes: Notes, profile: Profile) -> str:
    battens = [t.name for t in notes.trims if _kind(t) == "batten"]
    return f"{battens[-1]}.front" if profile.kind == "channel" and battens else "wall"


def _kind(trim: TrimNote) -> str:
    return _profiles()[trim.profile].kind


def _which_walls(notes: Notes) -> Question[tuple[int, ...]]:
    names = [notes.wall_name(k) for k in range(len(notes.walls))]
    pick = choice(names, "a wall: its number or one")

    def read(text: str) -> tuple[int, ...]:
        if text.strip().lower() == "all":
            return ()
        return tuple(sorted({names.index(pick(part)) for part in text.split(",")}))

    return Question(
        text="  on which walls",
        read=read,
        usual="all",
        help="all, or numbers or names with commas: 1, 2, 4.",
        plan=None,
    )


def _material(profile: Profile) -> Question[str]:
    known = list(table("materials"))
    usual = "aluminium" if profile.kind == "channel" else "softwood"
    listed = table_text(("", "material"), list(enumerate(known, 1)))
    return Question(text="  made of", read=choice(known, "a material: its number or one"), usual=usual, help=listed)


def _stock(unit: str) -> Question[tuple[Written, ...]]:
    return Question(
        text="  lengths the shop sells, with commas",
        read=several(written_length(unit, least=100)),
        usual="",
        shown="not known",
        help="For the buying list: 2400, 3000. Prices can be written in the file.",
    )
