"""Every tolerance of the program, in one place, each with its meaning. Millimetres unless the name says otherwise."""

from __future__ import annotations

COINCIDENT = 1e-6
"""Two points of an outline nearer than this are one point."""

TOUCH = 1e-3
"""Two faces nearer than this touch: a rail on a casing rests on it and does not cross it."""

CHORD = 0.02
"""Largest distance between a true arc and the chord that stands for it in meshes and on paper."""

FOLLOWED = 0.04
"""Chords stand for a pipe or a fitting along a curved wall within this."""

CLOSING = 5.0
"""A room whose walls, walked round as read, miss their start by more than this is worth a word to the fitter."""

OVERLAP_AREA = 0.01
"""Two sections that share less than this area (mm²) are taken to touch."""

TRACE = 0.05
"""A traced outline is simplified to within this distance of what was drawn."""

JOINT_GAP = 0.02
"""Pieces that share an STL file stand this far apart at a joint, so that each is a closed body; not more than CHORD."""

SECTION_AREA = 0.01
"""An outline that encloses less than this area (mm²) is no section."""

WEB = 8.0
"""A slot that leaves less than this of a section is not cut; the piece is joined at the pipe. Common practice."""

FINGER = 3.0
"""Of two pieces joined at a pipe, what is left beside it is held by glue and by its neighbour; thinner than this it
breaks as it is cut. Common practice, no source."""

LABELLED = 2.0
"""A size on a label may differ by this from the section's own: labels are often rounded. Common practice, no source."""

SHORTEST = 1.0
"""A piece shorter than this at its back or its front cannot be made."""

OVERCUT = 1.0
"""A cutting body reaches this far past what it cuts, so that no face of it lies on a face of the piece."""

COMMON_VOLUME = 1.0
"""Two solids that share less than this volume (mm³) are taken to touch."""

VOLUME_PART = 1e-6
"""A solid's volume may differ by this part from the closed form; the kernel's own error is about 1e-11."""

BENT_VOLUME_PART = 1e-5
"""The same of a bent piece that is cut on the slant: the kernel's sum over a torus stops up to 3e-6 short there."""

JOINED = 1e-4
"""Ends in a traced drawing nearer than this part of the drawing's size are one point."""

OPEN_JOINT = 0.05
"""Pieces that should meet but stand nearer than this do meet: half of what a saw can be set to. Common practice."""

SQUARE_SLOPE = 1e-10
"""An end plane with less slope (mm along per mm out) is square: across a section it is out by less than COINCIDENT."""

SCALE_OFF = 0.1
"""The angles on a cutting card may leave the far edge of the section this far from the true plane by their rounding."""

PRINTED_CUT = 0.15
"""A cut made as the card is printed lies this near the true plane: SCALE_OFF, and half the 0.1 a length is read to."""

SAWN_VOLUME = 0.5
"""mm³ by which an end cut on the virtual saw at its exact setting may differ from the piece of the model."""

ADJUSTED = 2.0
"""A length that the survey made longer or shorter by more than this is shown with its reading beside it."""

SCRIBED = 3.0
"""A gap under a ceiling that nowhere reaches this is filled; a wider one is closed by a strip scribed to it. Common
practice, no source."""

EASED = 1.5
"""Faces that miss each other by less than this at a corner are eased with filler. Common practice, no source."""

SEGMENT_SAGITTA = 3.0
"""Straight segments of a trim stand off a curved wall by no more than this unless its room file says otherwise."""

DIVIDED = 0.5
"""Walls are taken to pass clear of each other if curves divided into chords within this of them do."""

MOST_PIECES = 10_000
"""One job, or one list, is of no more pieces than this; a house has hundreds."""

SHAVING = 0.05
"""What comes off a cut and is thinner than this (mm) is sawdust. Common practice, no source."""

BITE = 0.5
"""What lies in something else by less than this (mm) only touches it: it is eased when it is fitted. Common
practice, no source."""
