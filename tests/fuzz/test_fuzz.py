"""A minute of the fuzzer, the same cases every time; `run.py` beside this draws as many others as are wanted."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from fuzz.cases import KINDS, Kind, complaints


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_the_laws_hold(kind: Kind, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("TRIMWRIGHT_TRACEBACK", raising=False)

    @settings(
        max_examples=kind.few, derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck)
    )
    @given(kind.cases)
    def holds(case: Any) -> None:
        with tempfile.TemporaryDirectory() as folder:
            assert complaints(kind, case, Path(folder)) == []

    holds()
