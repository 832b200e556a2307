"""A button that stands for an action: its own words, the action's state."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QToolButton, QWidget

from quiltboard.window.icons import make_icon
from quiltboard.window.theme import ICON_PX, Theme


class ActionButton(QToolButton):
    """Does what an action does and is open when it is.

    Qt's own tie between a tool button and an action would overwrite the button's words and
    picture whenever the action opens or closes.
    """

    def __init__(
        self,
        theme: Theme,
        action: QAction,
        text: str = "",
        *,
        icon: str | None = None,
        filled: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._action = action
        self._icon = icon
        self._filled = filled
        self.setProperty("filled" if filled else "plain", True)
        self.name(text)
        self.clicked.connect(action.trigger)
        action.changed.connect(self._on_action_changed)
        theme.changed.connect(self._on_theme_changed)
        self._on_action_changed()
        self._on_theme_changed()

    def name(self, text: str) -> None:
        """Set the button's words; without any, its icon speaks and a tip names it."""
        self.setText(text)
        both = bool(text) and self._icon is not None
        self.setToolButtonStyle(
            Qt.ToolButtonStyle.ToolButtonTextBesideIcon
            if both
            else Qt.ToolButtonStyle.ToolButtonTextOnly
            if text
            else Qt.ToolButtonStyle.ToolButtonIconOnly
        )
        named = text or self._action.text()
        self.setAccessibleName(named)
        keys = self._action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        self.setToolTip(f"{named} ({keys})" if keys else named)

    def _on_action_changed(self) -> None:
        self.setEnabled(self._action.isEnabled())

    def _on_theme_changed(self) -> None:
        if self._icon is not None:
            colour = "button_text" if self._filled else "text"
            self.setIcon(make_icon(self._icon, self._theme, colour))  # type: ignore[arg-type]
            side = self._theme.px(ICON_PX)
            self.setIconSize(QSize(side, side))
        self.updateGeometry()
