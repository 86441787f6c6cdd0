"""The exact model as a STEP file: the room, in it each trim, in it each piece, named and coloured."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

import cadquery as cq
from cadquery.occ_impl.assembly import toCAF
from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_StepModelType
from OCP.StepData import StepData_StepModel
from OCP.StepRepr import StepRepr_NextAssemblyUsageOccurrence
from OCP.TCollection import TCollection_HAsciiString
from OCP.XSControl import XSControl_WorkSession

from trimwright.errors import OutputError
from trimwright.setout.piece import SetOut

__all__ = ["assembly_of", "write_step"]


def write_step(path: Path, set_out: SetOut, solids: Mapping[str, cq.Solid], date: datetime) -> None:
    """Write the model in mm; the same set-out and `date` (it goes into the header) give the same bytes.

    Raises OutputError if the file cannot be written.
    """
    _, document = toCAF(assembly_of(set_out, solids), True)
    writer = STEPCAFControl_Writer(XSControl_WorkSession(), False)
    # The settings exist only once a writer does. Curves in surface coordinates double the file and are found again
    # by whoever reads it.
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    Interface_Static.SetIVal_s("write.surfacecurve.mode", 0)
    writer.SetColorMode(True)
    writer.SetNameMode(True)
    writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs)
    _number_parts(writer.ChangeWriter().Model())
    header = APIHeaderSection_MakeHeader(writer.ChangeWriter().Model())
    header.SetName(TCollection_HAsciiString(path.name))
    header.SetTimeStamp(TCollection_HAsciiString(date.strftime("%Y-%m-%dT%H:%M:%S")))
    if writer.Write(str(path)) != IFSelect_RetDone:
        raise OutputError(f"{path}: the model cannot be written there; is the folder there and writable?")


def assembly_of(set_out: SetOut, solids: Mapping[str, cq.Solid]) -> cq.Assembly:
    """The room as an assembly of trims, each an assembly of its pieces in the colour of its material."""
    room = cq.Assembly(name=set_out.room.name)
    for trim in set_out.trims:
        group = cq.Assembly(name=trim.name)
        red, green, blue = (int(trim.material.colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
        colour = cq.Color(red, green, blue, 1.0)
        for piece in set_out.of_trim(trim):
            group.add(solids[piece.id], name=piece.id, color=colour)
        room.add(group)
    return room


def _number_parts(model: StepData_StepModel) -> None:
    """Number the uses of parts from 1 on: the kernel counts through all files that a process writes."""
    entities = (model.Value(k) for k in range(1, model.NbEntities() + 1))
    uses = (entity for entity in entities if isinstance(entity, StepRepr_NextAssemblyUsageOccurrence))
    for number, use in enumerate(uses, start=1):
        use.SetId(TCollection_HAsciiString(str(number)))
