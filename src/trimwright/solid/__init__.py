"""Exact solids of the pieces, by the kernel; the only package that imports cadquery."""

from trimwright.errors import KernelError

try:
    import cadquery as _  # noqa: F401
except ImportError as fault:
    raise KernelError(
        f"the kernel for exact solids cannot be loaded: {fault}; install that library of the system"
        " (libGL on Debian and Ubuntu: apt-get install libgl1), or leave exact solids out with --no-step"
    ) from None
