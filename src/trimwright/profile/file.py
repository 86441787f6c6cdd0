"""Profile files (format 1): a parametric outline, or a traced one, read into a `Profile`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from trimwright.errors import ProfileError
from trimwright.profile.flat_back import flat_back
from trimwright.profile.library import shipped_profiles, source_name
from trimwright.profile.outline import Outline
from trimwright.profile.section import Section
from trimwright.profile.steps import Steps, read_steps
from trimwright.profile.validity import fault
from trimwright.scalars import Format, Number
from trimwright.spelling import perhaps
from trimwright.tolerance import COINCIDENT, TRACE
from trimwright.toml_file import Unreadable, tables

__all__ = ["Parameter", "Profile", "list_profiles", "read_profile"]

Length = Annotated[Number, Field(allow_inf_nan=False, ge=-10_000, le=10_000)]
Size = Annotated[Number, Field(allow_inf_nan=False, gt=0, le=10_000)]
Kind = Literal["cornice", "rail", "dado", "skirting", "architrave", "channel", "batten", "bead"]


class Table(BaseModel):
    """A table of the file: unknown keys refused, never changed after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class ParameterTable(Table):
    """`lip = { default, least, most, about }`."""

    default: Length
    least: Length
    most: Length
    about: str = ""


class OutlineTable(Table):
    """`[outline]`; the steps are read by `steps.read_steps`."""

    start: list[Any]
    steps: Annotated[list[Any], Field(min_length=1, max_length=500)]


class ProfileFile(Table):
    """The whole file."""

    format: Format
    name: Annotated[str, Field(min_length=1, max_length=80)]
    kind: Kind
    about: str = ""
    parameters: dict[str, ParameterTable] = Field(default_factory=dict)
    outline: OutlineTable | str
    drop: Size | None = None
    projection: Size | None = None


TABLES: Mapping[str, type[Table]] = {"": ProfileFile, "parameters": ParameterTable, "outline": OutlineTable}
"""Which entries are known in the file itself and in its tables."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One measure of a profile that may be chosen, mm unless `about` says otherwise."""

    default: float
    least: float
    most: float
    about: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """A profile file, read: give it sizes to get a `Section`. `source` is how messages name the file."""

    name: str
    kind: str
    about: str
    source: str
    parameters: Mapping[str, Parameter]
    shape: Steps | Outline

    def section(self, size: Mapping[str, float] | None = None) -> Section:
        """The section at a size; what `size` leaves out keeps its default.

        Raises ProfileError for an unknown parameter, one out of range, or an outline that crosses itself or does
        not measure drop by projection.
        """
        names = self._sizes(size or {})
        outline = self.shape if isinstance(self.shape, Outline) else self.shape.outline(names, self.source)
        at = ", ".join(f"{name} {value:g}" for name, value in names.items())
        wrong = fault(outline)
        if wrong:
            raise ProfileError(f"{self.source}: [outline] at {at}: {wrong}")
        section = Section(
            name=self.name,
            kind=self.kind,
            outline=outline,
            parameters=names,
            about=self.about,
            flat_back=flat_back(outline) if self.kind == "cornice" else None,
        )
        if isinstance(self.shape, Steps):
            for what, measured in (("drop", section.drop), ("projection", section.projection)):
                if abs(measured - names[what]) > COINCIDENT:
                    raise ProfileError(
                        f"{self.source}: [outline] at {at}: measures {measured:.6g} in {what}, not {names[what]:.6g}"
                    )
        return section

    def _sizes(self, size: Mapping[str, float]) -> dict[str, float]:
        """Every parameter's value, in the file's order; ranges checked."""
        for name in size:
            if name not in self.parameters:
                known = ", ".join(self.parameters)
                raise ProfileError(
                    f"{self.source}: [parameters] '{name}' is unknown{perhaps(name, self.parameters)}; known: {known}"
                )
        # A traced section has one size; a person writes it with one decimal, the trace has six.
        slack = TRACE if isinstance(self.shape, Outline) else COINCIDENT
        for name, value in size.items():
            least, most = self.parameters[name].least, self.parameters[name].most
            where = f"{self.source}: [parameters] {name}: {value:g}"
            if not value <= most + slack:
                raise ProfileError(f"{where} is more than {most:g}, the most it may be")
            if not value >= least - slack:
                raise ProfileError(f"{where} is less than {least:g}, the least it may be")
        return {name: float(size.get(name, parameter.default)) for name, parameter in self.parameters.items()}


def read_profile(path: Path) -> Profile:
    """Read one profile file. Raises ProfileError with file, entry, fault and remedy."""
    source = source_name(path)
    table = _read_table(path, source)
    if isinstance(table.outline, str):
        shape: Steps | Outline = _traced(table, path, source)
        parameters = _fixed(shape) if isinstance(shape, Outline) else {}
    else:
        if table.drop is not None or table.projection is not None:
            raise ProfileError(f"{source}: drop and projection at the top belong to a traced outline; use [parameters]")
        shape = read_steps(table.outline.start, table.outline.steps, source)
        parameters = _parameters(table, source)
    return Profile(
        name=table.name,
        kind=table.kind,
        about=table.about,
        source=source,
        parameters=parameters,
        shape=shape,
    )


def list_profiles() -> list[Profile]:
    """All shipped profiles, read, in order of the alphabet."""
    return [read_profile(path) for path in shipped_profiles().values()]


def _read_table(path: Path, source: str) -> ProfileFile:
    try:
        return ProfileFile.model_validate(tables(path))
    except Unreadable as trouble:
        raise ProfileError(f"{source}: {trouble}") from None
    except ValidationError as trouble:
        raise ProfileError("\n".join(f"{source}: {line}" for line in _lines(trouble))) from None


def _lines(trouble: ValidationError) -> list[str]:
    """One line for each thing wrong, with the nearest known key where a key is unknown."""
    lines = []
    for error in trouble.errors():
        # A union puts the branch it tried into the path; a person sees the entry only.
        path = tuple(str(part) for part in error["loc"] if part not in ("OutlineTable", "str"))
        if "str" in error["loc"] and isinstance(error["input"], dict):
            continue
        if "OutlineTable" in error["loc"] and isinstance(error["input"], str) and len(path) == 1:
            continue
        where = (f"[{path[0]}] " if len(path) > 1 else "") + " ".join(path[1:] or path)
        if error["type"] == "extra_forbidden":
            known = TABLES[path[0] if len(path) > 1 else ""].model_fields
            lines.append(f"{where}: unknown key{perhaps(path[-1], known)}; known: {', '.join(known)}")
        elif error["type"] == "missing":
            lines.append(f"{where}: is missing")
        else:
            message = error["msg"].removeprefix("Value error, ")
            lines.append(f"{where}: {message[0].lower()}{message[1:]}, not {error['input']!r}"[:300])
    return lines


def _parameters(table: ProfileFile, source: str) -> dict[str, Parameter]:
    parameters = {}
    for name in ("drop", "projection"):
        if name not in table.parameters:
            raise ProfileError(f"{source}: [parameters] {name}: is missing; every profile has drop and projection")
    for name, given in table.parameters.items():
        where = f"{source}: [parameters] {name}"
        if not name.isidentifier():
            raise ProfileError(f"{where}: a parameter's name is letters, digits and _, as expressions use it")
        if name in ("drop", "projection") and given.least <= 0:
            raise ProfileError(f"{where}: least must be above 0")
        if not given.least <= given.default <= given.most:
            raise ProfileError(f"{where}: default {given.default:g} is not between {given.least:g} and {given.most:g}")
        parameters[name] = Parameter(default=given.default, least=given.least, most=given.most, about=given.about)
    return parameters


def _traced(table: ProfileFile, path: Path, source: str) -> Outline:
    """The drawn outline a file points to, scaled to the true drop or projection it states."""
    from trimwright.profile.trace import read_trace

    if table.parameters:
        raise ProfileError(f"{source}: a traced outline has no [parameters]; state its true drop or projection")
    if (table.drop is None) == (table.projection is None):
        raise ProfileError(f"{source}: state the traced outline's true drop or its true projection, one of them")
    return read_trace(path.parent / str(table.outline), drop=table.drop, projection=table.projection)


def _fixed(outline: Outline) -> dict[str, Parameter]:
    """Drop and projection of a traced section, which are what they are."""
    bounds = outline.bounds
    sizes = {"drop": bounds.top - bounds.bottom, "projection": bounds.front - bounds.back}
    return {name: Parameter(default=v, least=v, most=v, about="as traced") for name, v in sizes.items()}
