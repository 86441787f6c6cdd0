"""The JSON Schema of a site file, as that of a room file is made."""

from __future__ import annotations

from typing import Any

from trimwright.project.schema import file_schema
from trimwright.site.entries import ABOUT, TABLES
from trimwright.site.models import SiteFile

__all__ = ["site_schema"]


def site_schema() -> dict[str, Any]:
    """The schema (draft 2020-12) of a site file, format 1."""
    return file_schema(SiteFile, "trimwright site file, format 1", ABOUT, TABLES)
