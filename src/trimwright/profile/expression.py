"""Arithmetic in profile files: numbers, parameters, + - * / **, parentheses and a few functions. Never `eval`."""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping
from typing import Any

from simpleeval import SimpleEval

from trimwright.errors import ProfileError
from trimwright.spelling import perhaps

__all__ = ["FUNCTIONS", "evaluate"]

MOST_CHARACTERS = 200
"""Longest expression: a section's edge is a line of arithmetic; anything longer is a mistake or an attack."""

MOST_EXPONENT = 8.0
"""Greatest power: nothing in a section is raised further, and the limit keeps every evaluation instant."""


def _of_degrees(function: Callable[[float], float]) -> Callable[[float], float]:
    return lambda angle: function(math.radians(angle))


FUNCTIONS: Mapping[str, Callable[..., float]] = {
    "sqrt": math.sqrt,
    "hypot": math.hypot,
    "sin": _of_degrees(math.sin),
    "cos": _of_degrees(math.cos),
    "tan": _of_degrees(math.tan),
    "min": min,
    "max": max,
    "abs": abs,
}
"""What an expression may call; angles are in degrees."""


def _power(base: float, exponent: float) -> float:
    if abs(exponent) > MOST_EXPONENT:
        raise ValueError(f"a power above {MOST_EXPONENT:g} is not allowed")
    return math.pow(base, exponent)


OPERATORS: Mapping[type[ast.AST], Callable[..., float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: _power,
    ast.USub: operator.neg,
    ast.UAdd: operator.pos,
}
GRAMMAR = (ast.Expression, ast.Constant, ast.Name, ast.Load, ast.BinOp, ast.UnaryOp, ast.Call, *OPERATORS)


def evaluate(expression: str | float, names: Mapping[str, float], where: str) -> float:
    """The value of an expression in the given names.

    `where` says file and entry, for the message. Raises ProfileError with the expression, what is wrong with it
    and, for an unknown word, the words that are known.
    """
    if isinstance(expression, int | float):
        return float(expression)
    try:
        _check(expression, names)
        evaluator = SimpleEval(operators=dict(OPERATORS), functions=dict(FUNCTIONS), names=dict(names))
        value: Any = evaluator.eval(expression.strip())
        if not math.isfinite(value):
            raise ValueError("the result is not a finite number")
    except ZeroDivisionError:
        raise ProfileError(f"{where}: in '{expression}': division by zero") from None
    except OverflowError:
        raise ProfileError(f"{where}: in '{expression}': the result is too large") from None
    except (ValueError, TypeError) as fault:
        if str(fault).startswith("math domain error"):
            fault = ValueError("a root of a negative number has no real value")
        raise ProfileError(f"{where}: in '{_shortened(expression)}': {fault}") from None
    return float(value)


def _check(expression: str, names: Mapping[str, float]) -> None:
    """Refuse whatever is not plain arithmetic before it is evaluated. Raises ValueError."""
    if len(expression) > MOST_CHARACTERS:
        raise ValueError(f"longer than {MOST_CHARACTERS} characters")
    try:
        tree = ast.parse(expression.strip(), mode="eval")
    except (SyntaxError, MemoryError, RecursionError):
        raise ValueError("this is not arithmetic; write for example drop - 2 * lip") from None
    called = {node.func for node in ast.walk(tree) if isinstance(node, ast.Call)}
    for node in ast.walk(tree):
        if not isinstance(node, GRAMMAR):
            raise ValueError("only numbers, names, + - * / ** ( ) and functions are allowed")
        if isinstance(node, ast.Constant) and type(node.value) not in (int, float):
            raise ValueError(f"{node.value!r} is not a number")
        if isinstance(node, ast.Call) and (node.keywords or not isinstance(node.func, ast.Name)):
            raise ValueError("a function is called by its name, with values in parentheses")
        if isinstance(node, ast.Name):
            known: Mapping[str, object] = FUNCTIONS if node in called else names
            if node.id not in known:
                what = "function" if node in called else "parameter"
                raise ValueError(f"unknown {what} '{node.id}'{perhaps(node.id, known)}; known: {', '.join(known)}")


def _shortened(expression: str) -> str:
    return expression if len(expression) <= 60 else expression[:57] + "..."
