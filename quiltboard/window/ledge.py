"""The ledge: a tray floating over the board's lower edge with the tools most in the hand."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QMenu, QToolButton, QWidget

from quiltboard.window.actions import Actions
from quiltboard.window.buttons import ActionButton
from quiltboard.window.icons import make_icon
from quiltboard.window.lettering import Words
from quiltboard.window.theme import BUTTON_PX, ICON_PX, LEDGE_RADIUS_PX, TEXT, Theme

PADDING_PX: Final = 8
GAP_PX: Final = 4
GROUP_GAP_PX: Final = 5
WIDE_GAP_PX: Final = 13
WORD_GAP_PX: Final = 14
SHADOW_PX: Final = 14
"""Room about the ledge for its shadow."""


class Ledge(QWidget):
    """Tools with their words, in one row where there is room and in several where not."""

    def __init__(
        self,
        actions: Actions,
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._actions = actions
        self._theme = theme
        self._rules: list[tuple[float, float]] = []
        self._room = 1000
        self._dealing = False
        self.setAccessibleName(self.tr("Tools of the board"))
        self.undo = self._make("edit.undo", "", "undo")
        self.redo = self._make("edit.redo", "", "redo")
        self.deal = self._make("board.deal", self.tr("Deal"), "deal", filled=True)
        self.stop = self._make("board.stop_deal", self.tr("Stop"), "stop", filled=True)
        self.style_name = Words(
            theme,
            self.tr("Scrappy"),
            size=TEXT,
            colour="text_2",
            align=Qt.AlignmentFlag.AlignHCenter,
            parent=self,
        )
        self.style_name.setToolTip(
            self.tr("How it deals: no print beside itself, no clump, every print spread")
        )
        self.turn = self._make("board.turn_ring_right", self.tr("Turn ring"), "turn_ring_right")
        self.turn.setToolTip(
            self.tr(
                "Turn the chosen ring clockwise by one wedge (Ctrl+]); Ctrl+[ turns it back"
            )
        )
        self.pin = self._make("board.pin", self.tr("Pin"), "pin")
        self.copy = self._make_menu_button(
            self.tr("Copy order"), ("board.copy_order", "board.copy_order_chosen")
        )
        self.take_off = self._make("board.clear_wedge", self.tr("Take off"), "clear_wedge")
        self.more = self._make_menu_button(
            self.tr("Tools"),
            (
                "board.turn_ring_right",
                "board.turn_ring_left",
                "board.pin",
                "",
                "board.copy_order",
                "board.copy_order_chosen",
                "",
                "board.clear_wedge",
                "board.clear_plate",
            ),
        )
        actions["board.copy_order"].changed.connect(self._on_copy_changed)
        self._on_copy_changed()
        theme.changed.connect(self._on_theme_changed)
        self._on_theme_changed()

    def show_dealing(self, dealing: bool) -> None:
        """Offer Stop in place of Deal while a deal is at work."""
        self._dealing = dealing
        self.arrange(self._room)

    def say_pinned(self, pinned: bool) -> None:
        """Name the pin for what it would do."""
        text = self.tr("Take pin out") if pinned else self.tr("Pin")
        if text != self.pin.text():
            self.pin.name(text)
            self.arrange(self._room)

    def arrange(self, room_px: int) -> QSize:
        """Set the tools in a row no wider than there is room, and take that size.

        Where they do not fit, first the gaps shrink and the name of the style steps aside, then
        they stand in two rows, then the lesser ones go behind one button with a menu.

        Returns
        -------
        QSize
            The ledge with its shadow.
        """
        self._room = room_px
        inner = room_px - 2 * PADDING_PX - SHADOW_PX // 2
        deal: list[QWidget] = [self.stop if self._dealing else self.deal]
        history: list[QWidget] = [self.undo, self.redo]
        tools: list[list[QWidget]] = [[self.turn, self.pin], [self.copy, self.take_off]]
        named = [history, [*deal, self.style_name], *tools]
        plain = [history, deal, *tools]
        few = [history, [*deal, self.more]]
        for groups, gap, most_rows in (
            (named, WIDE_GAP_PX, 1),
            (named, GROUP_GAP_PX, 1),
            (plain, GROUP_GAP_PX, 1),
            (named, GROUP_GAP_PX, 2),
            (few, GROUP_GAP_PX, 99),
        ):
            rows = self._break(groups, inner, gap)
            if len(rows) <= most_rows:
                return self._set(rows, gap)
        raise AssertionError("a ledge of any number of rows always fits")

    def _set(self, rows: list[list[list[QWidget]]], gap: int) -> QSize:
        shown = {id(widget) for row in rows for group in row for widget in group}
        for widget in self._all():
            widget.setVisible(id(widget) in shown)
        high = self._theme.px(BUTTON_PX)
        y = SHADOW_PX + PADDING_PX
        widest = 0
        self._rules = []
        for row in rows:
            x = SHADOW_PX + PADDING_PX
            for k, group in enumerate(row):
                if k:
                    self._rules.append((x - GAP_PX + gap, y))
                    x += 2 * gap - GAP_PX
                for widget in group:
                    wide = self._wide(widget)
                    widget.setGeometry(x, y, wide, high)
                    x += wide + GAP_PX
            widest = max(widest, x - GAP_PX)
            y += high + GAP_PX
        size = QSize(widest + PADDING_PX + SHADOW_PX, y - GAP_PX + PADDING_PX + SHADOW_PX)
        self.resize(size)
        self.update()
        return size

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the tray on its shadow, and rules between groups."""
        body = QRectF(self.rect()).adjusted(SHADOW_PX, SHADOW_PX, -SHADOW_PX, -SHADOW_PX)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(Qt.PenStyle.NoPen)
            for k in range(10, 0, -2):
                painter.setBrush(QColor(0, 0, 0, 9))
                radius = LEDGE_RADIUS_PX + k
                painter.drawRoundedRect(body.adjusted(-k, 3 - k, k, 3 + k), radius, radius)
            painter.setBrush(self._theme.colour("panel"))
            painter.setPen(self._theme.colour("edge" if self._theme.dark else "rule"))
            painter.drawRoundedRect(body, LEDGE_RADIUS_PX, LEDGE_RADIUS_PX)
            for x, y in self._rules:
                high = self._theme.px(BUTTON_PX)
                painter.fillRect(QRectF(x, y + 2, 1, high - 4), self._theme.colour("rule"))

    def _all(self) -> tuple[QWidget, ...]:
        return (
            self.undo,
            self.redo,
            self.deal,
            self.stop,
            self.style_name,
            self.turn,
            self.pin,
            self.copy,
            self.take_off,
            self.more,
        )

    def _make_menu_button(self, text: str, ids: tuple[str, ...]) -> QToolButton:
        button = QToolButton(self)
        button.setText(text)
        button.setAccessibleName(text)
        button.setProperty("plain", True)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(button)
        self._actions.fill_menu(menu, ids)
        button.setMenu(menu)
        return button

    def _make(
        self, action_id: str, text: str, icon: str, *, filled: bool = False
    ) -> ActionButton:
        action = self._actions[action_id]
        return ActionButton(self._theme, action, text, icon=icon, filled=filled, parent=self)

    def _on_copy_changed(self) -> None:
        self.copy.setEnabled(self._actions["board.copy_order"].isEnabled())

    def _on_theme_changed(self) -> None:
        side = self._theme.px(ICON_PX)
        self.copy.setIconSize(QSize(side, side))
        self.copy.setIcon(make_icon("copy_order", self._theme))
        self.more.setIconSize(QSize(side, side))
        self.more.setIcon(make_icon("chevron", self._theme))
        self.arrange(self._room)

    def _wide(self, widget: QWidget) -> int:
        """Give a tool's width; plain words stand a little apart."""
        return widget.sizeHint().width() + (WORD_GAP_PX if widget is self.style_name else 0)

    def _break(
        self, groups: list[list[QWidget]], inner_px: int, gap_px: int
    ) -> list[list[list[QWidget]]]:
        """Break groups of tools into rows no wider than there is room."""
        rows: list[list[list[QWidget]]] = [[]]
        used = 0
        for group in groups:
            wide = sum(self._wide(widget) + GAP_PX for widget in group) - GAP_PX
            gap = 2 * gap_px if rows[-1] else 0
            if rows[-1] and used + gap + wide > inner_px:
                rows.append([])
                used, gap = 0, 0
            rows[-1].append(group)
            used += gap + wide
        return rows
