"""All printed aids of a job."""

from __future__ import annotations

from functools import partial

from trimwright.mesh.gauges.bed import on_bed
from trimwright.mesh.gauges.collar import collar_halves
from trimwright.mesh.gauges.cope import THICKNESS, cope_gauge
from trimwright.mesh.gauges.cradle import FLOOR, can_be_slotted, cradle, slot_angles
from trimwright.mesh.gauges.sample import can_be_printed, corner_sample, sample_corner
from trimwright.mesh.shape import Mesh
from trimwright.setout.cutouts.notches import part_at
from trimwright.setout.piece import Joint, Notch, Piece, SetOut, Side

__all__ = ["gauges"]


def gauges(set_out: SetOut, kerf: float) -> list[tuple[str, Mesh]]:
    """Name and mesh of each aid, trim by trim: a cradle for each common angle of a cornice, a corner sample where the
    section can be printed, and a gauge where it is coped. What is larger than the bed comes in numbered parts.

    `kerf` is the width of the saw's cut in mm.
    """
    made: list[tuple[str, Mesh]] = []
    for trim in set_out.trims:
        pieces = set_out.of_trim(trim)
        if trim.section.kind == "cornice":
            for angle in filter(partial(can_be_slotted, trim), slot_angles(pieces)):
                made += on_bed(f"cradle {trim.name} {round(angle, 1):g}", cradle(trim, angle, kerf), FLOOR)
        corner = sample_corner(set_out.room, trim)
        if corner is not None and pieces and trim.section.kind != "batten" and can_be_printed(trim.outline):
            made += on_bed(f"sample {trim.name}", corner_sample(trim, corner.angle))
        if any(end.joint is Joint.COPE for piece in pieces for end in (piece.left, piece.right)):
            made += on_bed(f"cope gauge {trim.name}", cope_gauge(trim), THICKNESS)
    return [*made, *_collars(set_out)]


def _collars(set_out: SetOut) -> list[tuple[str, Mesh]]:
    """Both halves of a collar for each slot of a pipe that asks for one; slots that pipes share have none."""
    wanted = {pipe.name: pipe.radius for pipe in set_out.room.pipes if pipe.collar}
    return [
        part
        for piece in set_out.pieces
        for notch in piece.notches
        if notch.pipe in wanted and _collared(piece, notch)
        for half, body in zip(("right", "left"), collar_halves(notch, wanted[notch.pipe]), strict=True)
        for part in on_bed(f"collar {piece.id} {notch.pipe} {half}", body)
    ]


def _collared(piece: Piece, notch: Notch) -> bool:
    """True for a slot that a collar covers: of two pieces joined at the pipe the left one has it, in a mitre none.

    There the edges that it would have to meet run to two walls.
    """
    side = part_at(piece, notch)
    return side is None or (side is Side.RIGHT and piece.right.corner is None)
