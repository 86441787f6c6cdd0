"""From the steps of a profile file and its parameters to an outline."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trimwright.errors import ProfileError
from trimwright.profile.elements import ELEMENTS, Form, Shape
from trimwright.profile.expression import evaluate
from trimwright.profile.outline import Line, Outline, Point, Segment
from trimwright.spelling import perhaps
from trimwright.tolerance import COINCIDENT

__all__ = ["Step", "Steps", "read_steps"]

Expression = str | float
Place = tuple[Expression, Expression]

OPTIONS: Mapping[str, tuple[str, ...]] = {
    "arc": ("through",),
    "quirk": ("depth",),
    "cyma_recta": ("form",),
    "cyma_reversa": ("form",),
}
"""What an element may or must be given besides its end point."""

REQUIRED = ("through", "depth")


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One element, its end point and its options, still as expressions."""

    element: str
    end: Place
    through: Place | None = None
    depth: Expression = 0.0
    form: Form = Form.FLAT


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """An outline as a file gives it: a start, elements end to end, and a straight edge back to the start."""

    start: Place
    steps: tuple[Step, ...]

    def outline(self, names: Mapping[str, float], source: str) -> Outline:
        """The outline at the given parameters. Raises ProfileError naming the file and the step."""
        start = _point(self.start, names, f"{source}: [outline] start")
        wheres = [_where(source, number, step.element) for number, step in enumerate(self.steps, 1)]
        ends = [_point(step.end, names, where) for step, where in zip(self.steps, wheres, strict=True)]
        material = _material([start, *ends])
        segments: list[Segment] = []
        here = start
        for step, end, where in zip(self.steps, ends, wheres, strict=True):
            through = _point(step.through, names, f"{where} through") if step.through else None
            depth = evaluate(step.depth, names, f"{where} depth")
            try:
                shape = Shape(material=material, through=through, depth=depth, form=step.form)
                segments += ELEMENTS[step.element](here, end, shape)
            except ValueError as fault:
                raise ProfileError(f"{where}: {fault}") from None
            here = end
        return Outline.of([*segments, Line(here, start)])


def read_steps(start: object, steps: Sequence[object], source: str) -> Steps:
    """The `[outline]` table of a file, checked but not yet evaluated. Raises ProfileError."""
    read = tuple(_read_step(step, number, source) for number, step in enumerate(steps, 1))
    return Steps(start=_place(start, f"{source}: [outline] start"), steps=read)


def _read_step(step: object, number: int, source: str) -> Step:
    where = f"{source}: [outline] step {number}"
    if not isinstance(step, Mapping):
        raise ProfileError(f'{where}: write a table such as {{ line = ["0", "-drop"] }}')
    elements = [key for key in step if key in ELEMENTS]
    if len(elements) != 1:
        unknown = next((key for key in step if key not in ELEMENTS), "")
        hint = f"'{unknown}' is unknown{perhaps(unknown, ELEMENTS)}; " if unknown and not elements else ""
        raise ProfileError(f"{where}: {hint}give one element of {', '.join(ELEMENTS)}")
    element = elements[0]
    where = _where(source, number, element)
    allowed = OPTIONS.get(element, ())
    for key in step:
        if key != element and key not in allowed:
            takes = f"takes {allowed[0]}" if allowed else "takes nothing"
            raise ProfileError(f"{where}: unknown key '{key}'{perhaps(key, allowed)}; {element} {takes} beside its end")
    for key in allowed:
        if key in REQUIRED and key not in step:
            raise ProfileError(f"{where}: '{key}' is missing")
    form = step.get("form", Form.FLAT)
    if form not in list(Form):
        raise ProfileError(f"{where}: form is 'flat' or 'thick', not {form!r}")
    return Step(
        element=element,
        end=_place(step[element], where),
        through=_place(step["through"], f"{where} through") if "through" in step else None,
        depth=_expression(step.get("depth", 0.0), f"{where} depth"),
        form=Form(form),
    )


def _place(value: object, where: str) -> Place:
    if not isinstance(value, list) or len(value) != 2:
        raise ProfileError(f'{where}: a point is two expressions, out and height, as ["projection", "-drop"]')
    return (_expression(value[0], where), _expression(value[1], where))


def _expression(value: object, where: str) -> Expression:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise ProfileError(f"{where}: {value!r} is neither a number nor an expression in quotes")
    return value


def _point(place: Place, names: Mapping[str, float], where: str) -> Point:
    return (evaluate(place[0], names, where), evaluate(place[1], names, where))


def _where(source: str, number: int, element: str) -> str:
    return f"{source}: [outline] step {number} ({element})"


def _material(points: Sequence[Point]) -> int:
    """+1 if the loop through the end points runs anticlockwise (material on the left), else -1.

    A loop with no area of its own, such as a half round on one straight edge, is taken to run anticlockwise.
    """
    twice = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, [*points[1:], points[0]], strict=True))
    return -1 if twice < -COINCIDENT else 1
