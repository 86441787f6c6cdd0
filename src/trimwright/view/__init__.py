"""The page of a room while its file is being written: served on this machine alone, made anew at every save."""
