"""What goes on paper: the board, its fabric key, templates at true scale, tables."""
