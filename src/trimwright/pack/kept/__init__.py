"""The slow parts of a pack as bytes that are kept: the exact model, the pictures, the light in the room.

Both what is made now and what was kept goes through the same bytes, so that a pack is the same either way. All is
looked for by the process that writes the pack: where it is kept, no kernel is loaded. Each kind has a module of its
own, since the process that makes it loads no more than that.
"""
