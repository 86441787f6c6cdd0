"""How to set the saw for each end."""
