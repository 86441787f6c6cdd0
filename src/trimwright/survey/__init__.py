"""Tape and angle-finder readings to adjusted corners, and what is wrong with the readings if they disagree."""
