"""The section of a trim: its outline, the files that describe it, and its measures."""
