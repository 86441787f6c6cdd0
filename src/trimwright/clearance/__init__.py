"""Gaps between the trim and everything else: how wide they are, where, and what to do about those too small."""
