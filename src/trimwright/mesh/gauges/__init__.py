"""Aids for the bench as meshes that a small printer can make: cradles, corner samples, cope gauges."""
