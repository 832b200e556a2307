"""A drawing on the screen, in a PNG or in a PDF."""
