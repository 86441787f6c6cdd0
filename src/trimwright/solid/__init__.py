"""Exact solids of the pieces, by the kernel; the only package that imports cadquery."""
