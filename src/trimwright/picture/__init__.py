"""Pictures of the finished room by ray casting: no screen, no graphics driver, the same bytes every time."""
