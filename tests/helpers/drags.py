"""Drags from elsewhere, as Qt's own events."""

from __future__ import annotations

from typing import Any

import PySide6
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent

_PLACED_FINELY = tuple(PySide6.__version_info__[:2]) >= (6, 12)
"""From 6.12 on, Qt wants the place of a drag as a float point; before that it knows no such."""


def _of(mime: QMimeData, at: QPoint) -> tuple[Any, ...]:
    place = QPointF(at) if _PLACED_FINELY else at
    left, plain = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    return place, Qt.DropAction.CopyAction, mime, left, plain


def drag_enter(mime: QMimeData, at: QPoint) -> QDragEnterEvent:
    """Come in with something in the hand."""
    return QDragEnterEvent(*_of(mime, at))


def drag_move(mime: QMimeData, at: QPoint) -> QDragMoveEvent:
    """Move on with it."""
    return QDragMoveEvent(*_of(mime, at))


def drag_drop(mime: QMimeData, at: QPoint) -> QDropEvent:
    """Let it go."""
    _, *rest = _of(mime, at)
    return QDropEvent(QPointF(at), *rest)
