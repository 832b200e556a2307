"""The board: blocks in a setting, and where everything on it lies."""
