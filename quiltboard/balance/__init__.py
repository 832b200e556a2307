"""Scrap balance: flags, figures, and dealing the pieces out."""
