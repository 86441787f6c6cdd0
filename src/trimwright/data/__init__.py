"""Facts as tables: materials and rates, each with its source beside it."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

__all__ = ["table"]


@cache
def table(name: str) -> dict[str, Any]:
    """The table `name` of this folder (`materials`, ...), as written."""
    return tomllib.loads((files(__name__) / f"{name}.toml").read_text(encoding="utf-8"))
