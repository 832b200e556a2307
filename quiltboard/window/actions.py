"""Everything the window can be told to do, in one table: names, keys, icons, conditions."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication, QObject, Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu, QWidget

from quiltboard.window.icons import make_icon
from quiltboard.window.theme import Theme

Fact = Literal[
    "undo", "redo", "fabrics", "fabric", "plate", "cells", "pieces", "many", "laid", "idle",
    "dealing",
]  # fmt: skip
"""What may be so: something to undo or redo, fabrics on the shelf, a fabric chosen, a plate
chosen, wedges chosen, pieces on them, more plates than one, anything laid, no deal at work, one
at work."""


@dataclass(frozen=True, slots=True)
class ActionSpec:
    """One thing the window can be told to do.

    Attributes
    ----------
    id
        Such as ``board.clear_wedge``; the icon's stem is its last part.
    text
        What menus call it.
    keys
        Its shortcut, empty for none.
    icon
        Its stem, or None.
    when
        What must be so for it to be open.
    group
        A set of which one is always on; empty for none.
    on_board
        Whether its keys count only while the keyboard is at the board.
    """

    id: str
    text: str
    keys: str = ""
    icon: str | None = None
    when: tuple[Fact, ...] = ()
    group: str = ""
    on_board: bool = False


def _named(text: str) -> str:
    return str(QT_TRANSLATE_NOOP("Actions", text))


TABLE: Final[tuple[ActionSpec, ...]] = (
    ActionSpec("file.new", _named("New quilt"), "Ctrl+N"),
    ActionSpec("file.open", _named("Open a board…"), "Ctrl+O"),
    ActionSpec("file.open_demo", _named("Open the demo board")),
    ActionSpec("file.save", _named("Save"), "Ctrl+S"),
    ActionSpec("file.save_as", _named("Save as…"), "Ctrl+Shift+S"),
    ActionSpec("file.rename", _named("Name the quilt…"), "F2"),
    ActionSpec("file.export_png", _named("Picture of the board, PNG…"), "Ctrl+E"),
    ActionSpec("file.export_svg", _named("Picture of the board, SVG…"), "Ctrl+Shift+E"),
    ActionSpec("file.sheets", _named("Sheets to print, PDF…"), "Ctrl+P"),
    ActionSpec("file.quit", _named("Close the window"), "Ctrl+Q"),
    ActionSpec("edit.undo", _named("Undo"), "Ctrl+Z", "undo", ("undo",)),
    ActionSpec("edit.redo", _named("Redo"), "Ctrl+Shift+Z", "redo", ("redo",)),
    ActionSpec("fabrics.add_photos", _named("Photographs…"), "Ctrl+I"),
    ActionSpec("fabrics.add_folder", _named("A folder of photographs…"), "Ctrl+Shift+I"),
    ActionSpec("fabrics.add_list", _named("A fabric list…"), "Ctrl+Shift+L"),
    ActionSpec("fabrics.paste", _named("Paste a picture"), "Ctrl+V"),
    ActionSpec(
        "fabrics.look_up", _named("Look up a fabric"), "Ctrl+F", "look_up", ("fabrics",)
    ),
    ActionSpec(
        "fabrics.remove",
        _named("Remove the chosen fabric"),
        "Ctrl+Shift+Del",
        None,
        ("fabric",),
    ),
    ActionSpec("stash.open", _named("Open or close the stash"), "Ctrl+T"),
    ActionSpec(
        "stash.keep", _named("Keep the chosen fabric in the stash"), "Ctrl+K", None, ("fabric",)
    ),
    ActionSpec("board.deal", _named("Deal"), "Ctrl+D", "deal", ("fabrics", "idle")),
    ActionSpec("board.stop_deal", _named("Stop the deal"), "Ctrl+.", None, ("dealing",)),
    ActionSpec(
        "board.turn_ring_right",
        _named("Turn ring"),
        "Ctrl+]",
        "turn_ring_right",
        ("plate", "laid"),
    ),
    ActionSpec(
        "board.turn_ring_left",
        _named("Turn ring back"),
        "Ctrl+[",
        "turn_ring_left",
        ("plate", "laid"),
    ),
    ActionSpec("board.pin", _named("Pin"), "Ctrl+Shift+P", "pin", ("pieces",)),
    ActionSpec(
        "board.copy_order",
        _named("Copy order to all plates"),
        "Ctrl+R",
        "copy_order",
        ("plate", "many", "laid"),
    ),
    ActionSpec(
        "board.copy_order_chosen",
        _named("Copy order to the chosen plates"),
        "Ctrl+Shift+R",
        None,
        ("plate", "many", "cells"),
    ),
    ActionSpec(
        "board.clear_wedge",
        _named("Take off"),
        "Del",
        "clear_wedge",
        ("pieces",),
        on_board=True,
    ),
    ActionSpec(
        "board.clear_plate", _named("Clear the plate"), "Ctrl+Del", None, ("plate", "laid")
    ),
    ActionSpec("board.fit", _named("Show the whole top"), "Ctrl+0", "fit"),
    ActionSpec("board.zoom_in", _named("Closer"), "Ctrl++"),
    ActionSpec("board.zoom_out", _named("Farther off"), "Ctrl+-"),
    ActionSpec("board.true_size", _named("True size"), "Ctrl+Alt+0"),
    ActionSpec("see.colour", _named("Colour"), "Ctrl+1", None, (), "see"),
    ActionSpec("see.grey", _named("Grey"), "Ctrl+2", None, (), "see"),
    ActionSpec("see.steps", _named("Value steps"), "Ctrl+3", None, (), "see"),
    ActionSpec("see.squint", _named("Squint"), "Ctrl+4", None, (), "see"),
    ActionSpec("step.fabrics", _named("Fabrics"), "Alt+1", None, (), "step"),
    ActionSpec("step.top", _named("Top"), "Alt+2", None, (), "step"),
    ActionSpec("step.wedge", _named("Wedge"), "Alt+3", None, (), "step"),
    ActionSpec("step.arrange", _named("Arrange"), "Alt+4", None, (), "step"),
    ActionSpec("step.cut", _named("Cut"), "Alt+5", None, (), "step"),
    ActionSpec("room.system", _named("As the system"), "", None, (), "room"),
    ActionSpec("room.light", _named("Light room"), "", None, (), "room"),
    ActionSpec("room.dark", _named("Dark room"), "", None, (), "room"),
    ActionSpec("text.larger", _named("Larger letters"), "Ctrl+Alt++"),
    ActionSpec("text.smaller", _named("Smaller letters"), "Ctrl+Alt+-"),
    ActionSpec("help.keys", _named("Keys"), "F1"),
    ActionSpec("help.flags", _named("What the flags mean"), "Shift+F1", "question"),
)

MORE_KEYS: Final[Mapping[str, str]] = {"edit.redo": "Ctrl+Y", "board.zoom_in": "Ctrl+="}
"""Second shortcuts, for hands used to them."""


class Actions(QObject):
    """The table come to life: one Qt action each, opened and closed by what is so."""

    def __init__(self, theme: Theme, window: QWidget, board: QWidget) -> None:
        super().__init__(window)
        self._theme = theme
        self._by_id: dict[str, QAction] = {}
        self._groups: dict[str, QActionGroup] = {}
        self._facts: frozenset[Fact] | None = None
        for spec in TABLE:
            action = QAction(QCoreApplication.translate("Actions", spec.text), self)
            action.setObjectName(spec.id)
            keys = [QKeySequence(spec.keys)] if spec.keys else []
            if spec.id in MORE_KEYS:
                keys.append(QKeySequence(MORE_KEYS[spec.id]))
            action.setShortcuts(keys)
            if spec.on_board:
                action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            if spec.group:
                self._join(spec.group, action)
            (board if spec.on_board else window).addAction(action)
            self._by_id[spec.id] = action
        theme.changed.connect(self._on_theme_changed)
        self._on_theme_changed()

    def __getitem__(self, action_id: str) -> QAction:
        """Give one action."""
        return self._by_id[action_id]

    def wire(self, handlers: Mapping[str, Callable[[], object]]) -> None:
        """Say what each action does.

        Raises
        ------
        KeyError
            If an action is left without a handler, or a handler without an action.
        """
        odd = set(handlers) ^ set(self._by_id)
        if odd:
            raise KeyError(", ".join(sorted(odd)))
        for action_id, handler in handlers.items():
            self._by_id[action_id].triggered.connect(_Silent(handler, self).call)

    def note(self, facts: Collection[Fact]) -> None:
        """Open and close actions by what is so now."""
        held = frozenset(facts)
        if held == self._facts:
            return
        self._facts = held
        for spec in TABLE:
            self._by_id[spec.id].setEnabled(held.issuperset(spec.when))

    def check(self, action_id: str) -> None:
        """Mark which of a group is on."""
        self._by_id[action_id].setChecked(True)

    def fill_menu(self, menu: QMenu, ids: Collection[str]) -> None:
        """Put actions into a menu; an empty id is a rule."""
        for action_id in ids:
            if action_id:
                menu.addAction(self._by_id[action_id])
            else:
                menu.addSeparator()

    def _join(self, name: str, action: QAction) -> None:
        group = self._groups.get(name)
        if group is None:
            group = self._groups[name] = QActionGroup(self)
            group.setExclusive(True)
        action.setCheckable(True)
        group.addAction(action)

    def _on_theme_changed(self) -> None:
        for spec in TABLE:
            if spec.icon is not None:
                action = self._by_id[spec.id]
                action.setIcon(make_icon(spec.icon, self._theme))
                action.setIconVisibleInMenu(False)


class _Silent(QObject):
    """Calls a handler without the checked state that Qt hands over."""

    def __init__(self, handler: Callable[[], object], parent: QObject) -> None:
        super().__init__(parent)
        self._handler = handler

    def call(self, _checked: bool = False) -> None:
        """Do it."""
        self._handler()
