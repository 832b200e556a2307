"""The keyboard's cord: an unbroken line about whatever the keyboard is at."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QWidget

from quiltboard.window.rows import OWN_CORD, draw_cord
from quiltboard.window.theme import CORD_HALO_PX, CORD_PX, Theme

OUTSIDE_PX = CORD_PX + 2 * CORD_HALO_PX
_KEYS = {Qt.Key.Key_Tab, Qt.Key.Key_Backtab}
_MOVES = {QEvent.Type.Move, QEvent.Type.Resize, QEvent.Type.Hide, QEvent.Type.Show}


class FocusCord(QWidget):
    """Lies over a window, lets every press through, and draws the cord.

    It shows once the keyboard is used to move about, and steps aside when the pointer is.
    """

    # It hears every event of the application, even while Python lets go of it.
    _window: QWidget | None = None
    _at: QWidget | None = None
    _by_keys = False

    def __init__(self, theme: Theme, window: QWidget) -> None:
        super().__init__(window)
        self._theme = theme
        self._window = window
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_NoSystemBackground)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.hide()
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._on_focus_changed)
            application.installEventFilter(self)

    @property
    def widget(self) -> QWidget | None:
        """What the cord lies about now."""
        return self._at if self.isVisible() else None

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the widget as it moves; tell keyboard from pointer."""
        kind = event.type()
        if kind == QEvent.Type.KeyPress:
            if event.key() in _KEYS:  # type: ignore[attr-defined]
                self._by_keys = True
        elif kind == QEvent.Type.MouseButtonPress:
            if self._by_keys:
                self._by_keys = False
                self._follow()
        elif kind in _MOVES and self._carries(watched):
            self._follow()
        return False

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the cord."""
        with QPainter(self) as painter:
            draw_cord(painter, self._theme, QRectF(self.rect()))

    def _on_focus_changed(self, _old: QWidget | None, now: QWidget | None) -> None:
        if now is not None and now.window() is self._window and not now.property(OWN_CORD):
            self._at = now
        else:
            self._at = None
        self._follow()

    def _carries(self, watched: QObject) -> bool:
        """Tell whether what moves is the widget itself or something it lies in."""
        at = self._at
        if at is None or not isinstance(watched, QWidget):
            return False
        return watched is at or watched.isAncestorOf(at)

    def _follow(self) -> None:
        at = self._at
        window = self._window
        if window is None or at is None or not self._by_keys or not at.isVisible():
            self.hide()
            return
        corner = at.mapTo(window, QPoint(0, 0))
        box = QRect(corner, at.size()).adjusted(
            -OUTSIDE_PX, -OUTSIDE_PX, OUTSIDE_PX, OUTSIDE_PX
        )
        self.setGeometry(box & window.rect())
        self.raise_()
        self.show()
