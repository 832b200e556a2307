"""The window's menus, put together from the table of actions."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QMenu, QWidget

from quiltboard.window.actions import Actions

_FILE = ("file.new", "file.open")
_FILE_REST = (
    "file.open_demo", "", "file.save", "file.save_as", "file.rename", "", "file.export_png",
    "file.export_svg", "file.sheets",
)  # fmt: skip
_ADD = ("fabrics.add_photos", "fabrics.add_folder", "fabrics.add_list", "", "fabrics.paste")
_FABRICS = (
    *_ADD, "", "fabrics.look_up", "fabrics.remove", "", "stash.open", "stash.keep",
)  # fmt: skip
_BOARD = (
    "edit.undo", "edit.redo", "", "board.deal", "board.stop_deal", "", "board.turn_ring_right",
    "board.turn_ring_left", "board.pin", "board.copy_order", "board.copy_order_chosen", "",
    "board.clear_wedge", "board.clear_plate",
)  # fmt: skip
_AT_WEDGE = (
    "board.pin", "board.clear_wedge", "", "board.turn_ring_right", "board.turn_ring_left",
    "board.copy_order", "board.copy_order_chosen", "board.clear_plate", "", "board.fit",
)  # fmt: skip
_SEE = (
    "see.colour", "see.grey", "see.steps", "see.squint", "", "board.fit", "board.zoom_in",
    "board.zoom_out", "board.true_size",
)  # fmt: skip
_STEPS = ("step.fabrics", "step.top", "step.wedge", "step.arrange", "step.cut")
_ROOM = ("room.system", "room.light", "room.dark", "", "text.larger", "text.smaller")
_HELP = ("help.keys", "help.flags")


def build_main_menu(window: QWidget, actions: Actions) -> tuple[QMenu, QMenu]:
    """Build the menu behind the quilt's label.

    Returns
    -------
    QMenu, QMenu
        The menu, and in it the one of recent boards, which is filled when it opens.
    """
    menu = QMenu(window)
    actions.fill_menu(menu, _FILE)
    recent = menu.addMenu(_tr("Open recent"))
    recent.setToolTipsVisible(True)
    actions.fill_menu(menu, _FILE_REST)
    menu.addSeparator()
    for title, ids in (
        (_tr("Fabrics"), _FABRICS),
        (_tr("Board"), _BOARD),
        (_tr("See"), _SEE),
        (_tr("Step"), _STEPS),
        (_tr("Room and letters"), _ROOM),
    ):
        actions.fill_menu(menu.addMenu(title), ids)
    menu.addSeparator()
    actions.fill_menu(menu, (*_HELP, "", "file.quit"))
    return menu, recent


def build_add_menu(window: QWidget, actions: Actions) -> QMenu:
    """Build the menu of the shelf's add button."""
    menu = QMenu(window)
    actions.fill_menu(menu, _ADD)
    return menu


def build_board_menu(window: QWidget, actions: Actions) -> QMenu:
    """Build the menu that opens on a wedge."""
    menu = QMenu(window)
    actions.fill_menu(menu, _AT_WEDGE)
    return menu


def _tr(text: str) -> str:
    return QCoreApplication.translate("Menus", text)
