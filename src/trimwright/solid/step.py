"""The exact model as a STEP file: the room, in it each trim, in it each piece, named and coloured."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from itertools import chain
from operator import itemgetter
from pathlib import Path

import cadquery as cq
from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_Color
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_StepModelType
from OCP.StepData import StepData_StepModel
from OCP.StepRepr import StepRepr_NextAssemblyUsageOccurrence
from OCP.TCollection import TCollection_ExtendedString, TCollection_HAsciiString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.XCAFApp import XCAFApp_Application
from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool
from OCP.XSControl import XSControl_WorkSession

from trimwright.errors import OutputError
from trimwright.setout.piece import SetOut

__all__ = ["write_step"]

STYLE = "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION"


def write_step(path: Path, set_out: SetOut, solids: Mapping[str, cq.Solid], date: datetime) -> None:
    """Write the model in mm; the same set-out and `date` (it goes into the header) give the same bytes.

    Each part lies in the frame of its piece or of the room, and is placed in the room by the assembly. Raises
    OutputError if the file cannot be written.
    """
    document = _document(set_out, solids)
    writer = STEPCAFControl_Writer(XSControl_WorkSession(), False)
    # The settings exist only once a writer does. Curves in surface coordinates double the file and are found again
    # by whoever reads it.
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    Interface_Static.SetIVal_s("write.surfacecurve.mode", 0)
    writer.SetColorMode(True)
    writer.SetNameMode(True)
    writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs)
    model = writer.ChangeWriter().Model()
    _number_parts(model)
    header = APIHeaderSection_MakeHeader(model)
    header.SetName(TCollection_HAsciiString(path.name))
    header.SetTimeStamp(TCollection_HAsciiString(date.strftime("%Y-%m-%dT%H:%M:%S")))
    if writer.Write(str(path)) != IFSelect_RetDone:
        raise OutputError(f"{path}: the model cannot be written; is there room for it, and may the folder be written?")
    path.write_bytes(_in_order_of_parts(path.read_bytes().decode("latin-1")).encode("latin-1"))


def _document(set_out: SetOut, solids: Mapping[str, cq.Solid]) -> TDocStd_Document:
    """The room as an assembly of trims, each an assembly of its pieces in the colour of its material.

    cadquery's own assembly is not used: it refuses a room and a trim of one name and spoils letters outside ASCII.
    """
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    XCAFApp_Application.GetApplication_s().InitDocument(document)
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    room = _named(shapes.NewShape(), set_out.room.name)
    for trim in (trim for trim in set_out.trims if set_out.of_trim(trim)):
        group = _named(shapes.NewShape(), trim.name)
        colour = _colour(trim.material.colour)
        for piece in set_out.of_trim(trim):
            shape = solids[piece.id].wrapped
            part = _named(shapes.AddShape(shape.Located(TopLoc_Location()), False), piece.id)
            colours.SetColor(part, colour, XCAFDoc_ColorType.XCAFDoc_ColorSurf)
            _named(shapes.AddComponent(group, part, shape.Location()), piece.id)
        _named(shapes.AddComponent(room, group, TopLoc_Location()), trim.name)
    shapes.UpdateAssemblies()
    return document


def _named(label: TDF_Label, name: str) -> TDF_Label:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name, True))
    return label


def _colour(code: str) -> Quantity_Color:
    """A colour of the screen (#rrggbb, sRGB)."""
    return cq.Color(*(int(code[k : k + 2], 16) / 255 for k in (1, 3, 5))).wrapped.GetRGB()


def _in_order_of_parts(text: str) -> str:
    """The file with its colours in the order of their parts: the kernel writes them in that of memory addresses.

    They are the last entities and nothing before refers to them. Each part has a row of them, begun by a
    presentation representation, in which one item names the part; the colours themselves are shared. Where lines break
    follows from the numbers that entities had before, so they are put together again.
    """
    start = text.find(STYLE)
    if start < 0:
        return text
    start, end = text.rfind("#", 0, start), text.rfind("ENDSEC;")
    rows: list[list[tuple[str, str]]] = []
    colours: list[tuple[str, str]] = []
    for number, body in re.findall(r"#(\d+) = (.*?);\n", re.sub(r"\n +", "", text[start:end]), re.DOTALL):
        if body.startswith(STYLE):
            rows.append([])
        (colours if body.startswith("COLOUR_RGB") else rows[-1]).append((number, body))
    rows.sort(key=lambda row: next(int(body[body.rfind("#") + 1 : -1]) for _, body in row if body.startswith("STYLED")))
    tail = [*chain.from_iterable(rows), *sorted(colours, key=itemgetter(1))]
    first = min(int(number) for number, _ in tail)
    renumbered = {number: str(k) for k, (number, _) in enumerate(tail, start=first)}
    lines = [
        f"#{renumbered[number]} = " + re.sub(r"#(\d+)", lambda m: "#" + renumbered.get(m[1], m[1]), body) + ";\n"
        for number, body in tail
    ]
    return text[:start] + "".join(lines) + text[end:]


def _number_parts(model: StepData_StepModel) -> None:
    """Number the uses of parts from 1 on: the kernel counts through all files that a process writes."""
    entities = (model.Value(k) for k in range(1, model.NbEntities() + 1))
    uses = (entity for entity in entities if isinstance(entity, StepRepr_NextAssemblyUsageOccurrence))
    for number, use in enumerate(uses, start=1):
        use.SetId(TCollection_HAsciiString(str(number)))
