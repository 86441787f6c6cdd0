"""From a room and placed sections to runs, pieces, joints, notches and the fitting order."""
