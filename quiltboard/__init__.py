"""Quiltboard: arrange ring quilts from photographs of your own fabrics, before you cut."""

__version__ = "0.1.0"
