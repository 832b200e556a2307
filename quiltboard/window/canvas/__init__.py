"""The board canvas: one painted widget with the whole top on it."""

from quiltboard.window.canvas.canvas import FABRIC_MIME, BoardCanvas

__all__ = ["FABRIC_MIME", "BoardCanvas"]
