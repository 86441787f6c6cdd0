"""Developed templates: the cut at an end, unrolled onto paper that is wrapped round the face and marked along."""
