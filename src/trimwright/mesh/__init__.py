"""Triangles of the pieces and of the room, without the kernel."""
