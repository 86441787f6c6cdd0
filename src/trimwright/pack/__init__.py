"""The pack: everything computed once, then written as one folder, whole or not at all."""
