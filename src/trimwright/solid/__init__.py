"""Exact solids of the pieces, by the kernel; the only package that imports cadquery."""

import sys
from types import ModuleType

from trimwright.errors import KernelError


def _load_kernel() -> None:
    """Loads cadquery without the whole of the viewers' toolkit, of which it takes the parts that it needs by name.

    One of its modules asks for all of it, to show solids on a screen: a third of the time that loading takes
    (`tests/benchmarks/bench_kernel.py`).
    """
    whole = sys.modules.get("vtk")
    sys.modules["vtk"] = whole or ModuleType("vtk")
    try:
        import cadquery as _  # noqa: F401
    except ImportError as fault:
        raise KernelError(
            f"the kernel for exact solids cannot be loaded: {fault}; install that library of the system"
            " (libGL on Debian and Ubuntu: apt-get install libgl1), or leave exact solids out with --no-step"
        ) from None
    finally:
        if whole is None:
            del sys.modules["vtk"]


_load_kernel()
