"""Drawings and sheets: one model of what is drawn, writers for SVG, PDF and DXF."""
