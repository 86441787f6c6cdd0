"""Binary STL: one file a trim, millimetres, every piece a closed body of its own.

The form has no units and no parts, only triangles, so both are said in its header. Pieces that touch would share
edges among four faces and every program that checks for a solid would refuse the file: the two sides of each
joint stand `JOINT_GAP` apart, which is no more than the chords are from the arcs.

Layout: 80 bytes of header (must not begin with "solid", the mark of the text form), the number of triangles as
uint32, then 50 bytes each: unit normal and three corners as float32, and two bytes of nothing; little endian.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence

import numpy as np

from trimwright.mesh.piece import trim_meshes
from trimwright.mesh.shape import Mesh, joined
from trimwright.setout.piece import SetOut, Trim
from trimwright.tolerance import CHORD, JOINT_GAP

__all__ = ["stl_bytes", "trim_stl"]

HEADER = 80
TRIANGLE = np.dtype([("normal", "<f4", (3,)), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def trim_stl(set_out: SetOut, trim: Trim, chord: float = CHORD, gap: float = JOINT_GAP) -> bytes:
    """All pieces of one trim as they are fitted, `gap` mm apart at the joints."""
    title = f"trimwright; mm; {trim.name}; closed pieces, {gap:g} apart at joints"
    return stl_bytes(trim_meshes(set_out, trim, chord, gap), title)


def stl_bytes(bodies: Sequence[Mesh], title: str) -> bytes:
    """Bodies as one binary STL; `title` goes into the header as far as it fits.

    A face that has no area left once its corners are rounded to float32 is dropped; its neighbours then meet.
    """
    triangles = joined(bodies).triangles
    records = np.zeros(len(triangles), dtype=TRIANGLE)
    records["corners"] = triangles
    sides = triangles[:, 1:] - triangles[:, :1]
    cross = np.cross(sides[:, 0], sides[:, 1])
    records["normal"] = cross / np.maximum(np.linalg.norm(cross, axis=1, keepdims=True), np.finfo(float).tiny)
    corners = records["corners"]
    flat = (corners == np.roll(corners, 1, axis=1)).all(axis=2).any(axis=1)
    records = records[~flat]
    return b"".join((_header(title), struct.pack("<I", len(records)), records.tobytes()))


def _header(title: str) -> bytes:
    text = title.encode("ascii", "replace")
    if text.lower().startswith(b"solid"):
        text = b"binary " + text
    return text[:HEADER].ljust(HEADER, b" ")
