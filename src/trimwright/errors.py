"""The family of errors that a person at the bench can act on; anything else is a fault of the program."""

from __future__ import annotations

__all__ = [
    "DoesNotFit",
    "GeometryError",
    "KernelError",
    "OutputError",
    "ProfileError",
    "RoomFileError",
    "SchedulerError",
    "Stopped",
    "TrimwrightError",
]


class TrimwrightError(Exception):
    """Base of everything raised on purpose: the message says where, what is wrong, and what would be right."""


class RoomFileError(TrimwrightError):
    """The room file says something that cannot be: a bad key, value, unit or a room that does not close."""


class ProfileError(TrimwrightError):
    """A profile file is missing, malformed, or its outline cannot be a section."""


class GeometryError(TrimwrightError):
    """A shape that should be valid by construction is not; the message names the piece."""


class KernelError(TrimwrightError):
    """The kernel that makes exact solids cannot be loaded: a library of the system is missing."""


class DoesNotFit(TrimwrightError):
    """The room and the trims are each right, but the trims cannot be fitted in it as asked."""


class OutputError(TrimwrightError):
    """The pack cannot be written where it was asked for; nothing was changed there."""


class SchedulerError(TrimwrightError):
    """A cluster cannot be reached, or cannot do the work; the rooms that are finished stay."""


class Stopped(TrimwrightError):
    """Ctrl-C in work of many parts; the message says which of them stay."""
