"""Whole errands as plain functions, called by the window and the command line alike."""
