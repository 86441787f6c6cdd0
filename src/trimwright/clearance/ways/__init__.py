"""Ways out of a clash: each one computed, tried by setting the room out again, and only then offered."""
