"""Measuring up: a room asked for wall by wall, taken from a list or from a drawing, and written as a room file."""
