"""Sections at random sizes of the shipped profiles."""

from __future__ import annotations

from functools import cache

import hypothesis.strategies as st

from trimwright.profile.file import Profile, list_profiles
from trimwright.profile.section import Section


@cache
def shipped() -> tuple[Profile, ...]:
    return tuple(list_profiles())


@st.composite
def sections(draw: st.DrawFn) -> Section:
    """Any shipped profile, each parameter anywhere in its range, often at an end of it."""
    profile = draw(st.sampled_from(shipped()))
    size = {
        name: draw(st.one_of(st.sampled_from([p.least, p.most]), st.floats(p.least, p.most)))
        for name, p in profile.parameters.items()
    }
    return profile.section(size)
