"""How each piece gets to its place past walls and what is up already, and the order that follows."""
