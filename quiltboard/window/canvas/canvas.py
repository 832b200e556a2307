"""The board canvas: the whole top to look at, and to arrange by hand or from the keyboard."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import (
    QContextMenuEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QEnterEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from quiltboard.balance.flags import FlagKey
from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.errands.judge import Judgement
from quiltboard.fabrics.fabric import FabricId
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell
from quiltboard.window.canvas.acts import said
from quiltboard.window.canvas.gestures import (
    ChooseGesture,
    DropFabricGesture,
    KeyboardCarryGesture,
    PanGesture,
)
from quiltboard.window.canvas.hands import BoardHands
from quiltboard.window.canvas.keyboard import Keyboard, is_ours
from quiltboard.window.canvas.speech import give_voice
from quiltboard.window.theme import Theme

FABRIC_MIME = "application/x-quiltboard-fabric"
ZOOM_PER_UNIT = 1.0015
"""How much an eighth of a degree of the wheel zooms."""


class BoardCanvas(BoardHands):
    """The design wall: hands the pointer, the keyboard and what is dropped on to gestures."""

    def __init__(
        self,
        document: Document,
        desk: Desk,
        theme: Theme,
        cloths: ClothBook,
        parent: QWidget | None = None,
        *,
        reduced_motion: bool = False,
    ) -> None:
        super().__init__(document, desk, theme, cloths, parent, reduced_motion=reduced_motion)
        self._keyboard = Keyboard(self)
        self._space_down = self._space_used = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAcceptDrops(True)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAccessibleName(said("Board"))
        give_voice(BoardCanvas)
        document.project_changed.connect(self._on_project_changed)
        document.judged.connect(self._on_judged)
        desk.cells_chosen.connect(self._on_cells_chosen)
        desk.block_chosen.connect(self._on_block_chosen)
        desk.flag_pointed.connect(self._on_flag_pointed)
        desk.seeing_changed.connect(self._on_seeing_changed)

    # What Qt tells.

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a gesture."""
        at = event.position()
        self.give_up()
        if self.overlay.cord is not None:
            self.overlay.cord = None
            self.update()
        if event.button() == Qt.MouseButton.MiddleButton or (
            event.button() == Qt.MouseButton.LeftButton and self._space_down
        ):
            self._space_used = True
            self.begin(PanGesture(self, at))
        elif event.button() == Qt.MouseButton.LeftButton:
            self.begin(ChooseGesture(self, at, event.modifiers()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Follow the pointer."""
        self.stir_squint()
        if self.gesture is not None and event.buttons():
            self.follow(event.position())
        elif self.gesture is None:
            self.point_at(self.cell_at(event.position()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Finish the gesture."""
        if not isinstance(self.gesture, KeyboardCarryGesture):
            gesture = self.end_gesture()
            if gesture is not None:
                gesture.release(event.position())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Fit the plate under the pointer, or go back to the whole top."""
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self.give_up()
        block = self.layout_mm.block_at(*self.view.to_mm(event.position()))
        if block is None or (self._fitted == "plate" and self._plate == block):
            self.fit_whole()
        else:
            self.fit_plate(block)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Scroll; with Ctrl, zoom about the pointer."""
        pixels, angle = event.pixelDelta(), event.angleDelta()
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom_by(ZOOM_PER_UNIT ** angle.y(), event.position())
        else:
            step = QPointF(pixels) if not pixels.isNull() else QPointF(angle) / 2
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
                step = step.transposed()
            self.pan(step.x(), step.y())
        event.accept()

    def event(self, event: QEvent) -> bool:
        """Pinch to zoom; keep the board's own keys from the window's shortcuts."""
        if isinstance(event, QNativeGestureEvent):
            if event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture:
                self.zoom_by(1 + event.value(), event.position())
                return True
        elif (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and is_ours(event)
        ):
            event.accept()
            return True
        elif event.type() == QEvent.Type.DevicePixelRatioChange:
            self.take_ratio()
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Work the board from the keyboard."""
        plain = event.modifiers() in {
            Qt.KeyboardModifier.NoModifier,
            Qt.KeyboardModifier.KeypadModifier,
        }
        if event.key() == Qt.Key.Key_Space and plain:
            if not event.isAutoRepeat():
                self._space_down, self._space_used = True, False
                self.setCursor(Qt.CursorShape.OpenHandCursor)
            return
        shifted = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
        if not (is_ours(event) or shifted) or not self._keyboard.press(event):
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Pick up or lay on Space, unless it served to pan."""
        if event.key() != Qt.Key.Key_Space or event.isAutoRepeat():
            super().keyReleaseEvent(event)
            return
        down, self._space_down = self._space_down, False
        if self.gesture is None:
            self.unsetCursor()
        if down and not self._space_used:
            self._keyboard.pick_up_or_lay()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the cord where the keyboard comes in."""
        super().focusInEvent(event)
        if event.reason() in {
            Qt.FocusReason.TabFocusReason,
            Qt.FocusReason.BacktabFocusReason,
            Qt.FocusReason.ShortcutFocusReason,
        }:
            self.show_cord()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide the cord; a piece picked up goes back."""
        super().focusOutEvent(event)
        self._space_down = False
        if event.reason() == Qt.FocusReason.PopupFocusReason:
            return
        if isinstance(self.gesture, KeyboardCarryGesture):
            self.give_up()
        self.overlay.cord = None
        self.update()

    def enterEvent(self, event: QEnterEvent) -> None:
        """Point at what is under the pointer."""
        super().enterEvent(event)
        self.point_at(self.cell_at(event.position()))

    def leaveEvent(self, event: QEvent) -> None:
        """Point at nothing."""
        super().leaveEvent(event)
        self.point_at(None)
        self.stir_squint()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Ask for the menu of the wedge under the pointer, or of the one at the keyboard."""
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            self.ask_for_menu(self.show_cord())
            return
        cell = self.cell_at(QPointF(event.pos()))
        if cell is not None and cell not in self.desk.cells:
            self.choose_at(QPointF(event.pos()), Qt.KeyboardModifier.NoModifier)
        self.menu_requested.emit(event.globalPos(), cell)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take a fabric from the shelf; anything else is the window's business."""
        fabric = self._fabric_in(event)
        if fabric is None:
            event.ignore()
            return
        self.give_up()
        self.begin(DropFabricGesture(self, fabric))
        self.follow(event.position())
        event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """Show the ghost under the pointer; a drop is only taken on a wedge that is free."""
        if not isinstance(self.gesture, DropFabricGesture):
            event.ignore()
            return
        self.follow(event.position())
        hand = self.overlay.hand
        event.setAccepted(hand is not None and hand.act.kind == "lay")

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:  # noqa: ARG002 - Qt's signature
        """Leave everything as it was."""
        if isinstance(self.gesture, DropFabricGesture):
            self.give_up()

    def dropEvent(self, event: QDropEvent) -> None:
        """Lay the fabric."""
        gesture = self.gesture
        if not isinstance(gesture, DropFabricGesture):
            event.ignore()
            return
        self.end_gesture()
        gesture.release(event.position())
        event.acceptProposedAction()

    def _fabric_in(self, event: QDropEvent) -> FabricId | None:
        mime = event.mimeData()
        if not mime.hasFormat(FABRIC_MIME):
            return None
        said_id = bytes(mime.data(FABRIC_MIME).data()).decode("utf-8", "replace")
        fabric = FabricId(said_id)
        return fabric if fabric in self.document.project.by_id() else None

    # What changes elsewhere.

    def _on_project_changed(self, before: Project, after: Project) -> None:
        holding = self.overlay.hand is not None
        if holding and (before.board != after.board or before.fabrics != after.fabrics):
            self.end_gesture()
            self.overlay.hand = None
            self.previewed.emit(None, None)
        if self.overlay.hover is not None and not after.board.holds(self.overlay.hover):
            self.overlay.hover = None
        kept = tuple(cell for cell in self.desk.cells if after.board.holds(cell))
        self.desk.choose_cells(kept)
        block = self.desk.block
        if block is not None and block >= len(after.board.blocks):
            self.desk.choose_block(None)

    def _on_judged(self, _judgement: Judgement) -> None:
        self._on_flag_pointed(self.desk.flag, come=False)
        self.take_project()

    def _on_cells_chosen(self, cells: tuple[Cell, ...]) -> None:
        self.overlay.chosen = cells
        if cells and self.keyboard_cell not in cells:
            self.keyboard_cell = cells[-1]
        self.update()

    def _on_block_chosen(self, block: int | None) -> None:
        self.overlay.block = block
        self.update()

    def _on_flag_pointed(self, key: FlagKey | None, *, come: bool = True) -> None:
        flags = self.document.judgement.report.flags
        self.overlay.flag = next((flag for flag in flags if flag.key == key), None)
        if come and self.overlay.flag is not None:
            self.bring_into_view(self.overlay.flag.key.cells)
        self.update()

    def _on_seeing_changed(self, _seeing: str) -> None:
        self.stir_squint()
        self.take_project()
