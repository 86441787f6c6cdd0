"""The order of work: how each piece gets to its place past those that are up already, step by step."""
