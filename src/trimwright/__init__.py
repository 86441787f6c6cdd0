"""trimwright: from a measured room and parametric profiles to solids, drawings, templates and a cut list."""

__version__ = "0.1.0"
