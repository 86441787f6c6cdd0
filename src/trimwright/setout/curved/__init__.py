"""Trims along curved walls: bent, or as straight segments."""
