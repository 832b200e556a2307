"""The quilt's label: a patch with a basted edge that names the board and opens the menu."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRectF, QSize, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QMenu, QToolTip, QWidget

from quiltboard.document.document import Document
from quiltboard.drawing.lettering import wrap
from quiltboard.project.project import Project
from quiltboard.window.icons import draw_icon
from quiltboard.window.lettering import draw_line, line_px, width_px
from quiltboard.window.theme import NOTE, PADDING_PX, RADIUS_PX, TEXT, Theme

NAME = TEXT + 2


class QuiltLabel(QAbstractButton):
    """Shows the board's name and whether it is saved; pressing it opens the menu."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._theme = theme
        self._menu: QMenu | None = None
        self._busy = False
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.clicked.connect(self._on_clicked)
        document.project_changed.connect(self._on_project_changed)
        document.place_changed.connect(self._on_changed)
        document.modified_changed.connect(self._on_changed)
        theme.changed.connect(self.update)
        self._on_changed()

    def set_menu(self, menu: QMenu) -> None:
        """Give the label its menu."""
        self._menu = menu

    def show_busy(self, busy: bool) -> None:
        """Say that a file is being read or written."""
        self._busy = busy
        self._on_changed()

    def state_text(self) -> str:
        """Say whether the board is kept."""
        if self._busy:
            return self.tr("One moment")
        if self._document.path is None:
            return self.tr("Not saved yet")
        if self._document.modified:
            return self.tr("Changed since it was saved")
        return self.tr("Saved")

    def sizeHint(self) -> QSize:
        """Give the label's room."""
        return QSize(260, 52)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the menu with Enter and Down as well."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Down}:
            self._on_clicked()
            return
        super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the patch, its basting, the name and the state."""
        theme = self._theme
        patch = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(theme.colour("edge" if self.underMouse() else "rule"), 1))
            painter.setBrush(theme.colour("raised"))
            painter.drawRoundedRect(patch, RADIUS_PX, RADIUS_PX)
            basting = QPen(theme.colour("graph"), 1.2)
            basting.setDashPattern([4, 2.6])
            basting.setCapStyle(Qt.PenCapStyle.FlatCap)
            painter.setPen(basting)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(patch.adjusted(4, 4, -4, -4), 3, 3)
            icon = theme.px(18)
            draw_icon(
                painter,
                "chevron",
                patch.right() - PADDING_PX - icon,
                patch.center().y() - icon / 2,
                icon,
                theme.colour("text"),
            )
            size, lines = self._name_lines()
            first, second = line_px(theme, size), line_px(theme, NOTE)
            room = self._room_px()
            y = patch.center().y() - (len(lines) * first + second) / 2
            for line in lines:
                name = QRectF(PADDING_PX, y, room, first)
                draw_line(painter, theme, name, line, size=size, weight=600)
                y += first
            state = QRectF(PADDING_PX, y, room, second)
            draw_line(painter, theme, state, self.state_text(), size=NOTE, colour="text_2")

    def enterEvent(self, event: object) -> None:
        """Tell a shortened name whole."""
        long = self._name_lines()[1] != (self._title(),)
        self.setToolTip(self._title() if long else self.tr("The quilt's menu"))
        super().enterEvent(event)  # type: ignore[arg-type]

    def leaveEvent(self, event: object) -> None:
        """Take the tip away."""
        QToolTip.hideText()
        super().leaveEvent(event)  # type: ignore[arg-type]

    def _room_px(self) -> float:
        return self.width() - 2 * PADDING_PX - self._theme.px(18) - 4

    def _name_lines(self) -> tuple[int, tuple[str, ...]]:
        """Give the size and the lines in which a long name is still read whole, if any are."""
        theme, room, title = self._theme, self._room_px(), self._title()
        if width_px(theme, title, NAME, 600) <= room:
            return NAME, (title,)
        if width_px(theme, title, TEXT, 600) <= room:
            return TEXT, (title,)
        lines = wrap(title, room, theme.px(TEXT), 600)
        two = 2 * line_px(theme, TEXT) + line_px(theme, NOTE) + 12 <= self.height()
        return TEXT, (lines[0], " ".join(lines[1:])) if two and len(lines) > 1 else (title,)

    def _title(self) -> str:
        return self._document.project.title

    def _on_clicked(self) -> None:
        if self._menu is not None:
            self._menu.popup(self.mapToGlobal(QPoint(0, self.height() + 2)))

    def _on_project_changed(self, before: Project, after: Project) -> None:
        if before.title != after.title:
            self._on_changed()

    def _on_changed(self) -> None:
        self.setAccessibleName(
            self.tr("{title}, {state}: menu").format(
                title=self._title(), state=self.state_text()
            )
        )
        self.update()
