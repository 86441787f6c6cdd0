"""What goes to an office printer: full-size templates nested and tiled on standard paper, and sheets of lists."""
