"""What gestures and keys ask of the board: hold, try, do, land, choose, walk, tell."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QAccessibleEvent
from PySide6.QtWidgets import QApplication, QWidget

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.project.edits import PlaceFabric, SwapWedges
from quiltboard.quilt.board import Cell
from quiltboard.window.canvas.acts import Act, tell_change
from quiltboard.window.canvas.gestures import Gesture, KeyboardCarryGesture
from quiltboard.window.canvas.motion import LAND_MS, LIFT_MS
from quiltboard.window.canvas.overlay import Flight, Hand
from quiltboard.window.canvas.speech import wedge_text
from quiltboard.window.canvas.stage import BoardStage
from quiltboard.window.theme import Theme


class BoardHands(BoardStage):
    """The board with hands to work on it; where their wishes come from is its heir's business.

    Signals
    -------
    previewed
        What the board would come to with the piece let go here (a Judgement and the Project
        it is of), or None and None once nothing is in the hand.
    menu_requested
        Where on the screen a menu is asked for, and on which wedge (None: beside the rings).
    announced
        What a screen reader is told.
    """

    previewed = Signal(object, object)
    menu_requested = Signal(QPoint, object)
    announced = Signal(str)

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
        self.gesture: Gesture | None = None
        self.keyboard_cell: Cell | None = None
        super().__init__(document, desk, theme, cloths, parent, reduced_motion=reduced_motion)

    # What gestures ask of the canvas.

    @property
    def drag_distance(self) -> int:
        """How far a press moves before it is a drag, in px."""
        return QApplication.startDragDistance()

    def begin(self, gesture: Gesture) -> None:
        """Let a gesture take over from the one under way."""
        self.gesture = gesture
        self.point_at(None)
        if gesture.cursor is not None:
            self.setCursor(gesture.cursor)

    def follow(self, at: QPointF) -> None:
        """Hand a move of the pointer to the gesture under way."""
        if self.gesture is not None:
            self.gesture.move(at)

    def end_gesture(self) -> Gesture | None:
        """Take the gesture off; whoever asked finishes it."""
        gesture, self.gesture = self.gesture, None
        self.unsetCursor()
        return gesture

    def give_up(self) -> None:
        """Give the gesture under way up: everything stays as it was."""
        gesture = self.end_gesture()
        if gesture is not None:
            gesture.give_up()

    def hold(self, hand: Hand) -> None:
        """Show what is in the hand."""
        self.overlay.hand = hand
        self.update()

    def consider(self, act: Act) -> str:
        """Let the marks and the panels show what an act would come to; say what changes."""
        now = self.document.judgement
        after = None if act.edit is None else self.document.preview(act.edit)
        self.show_flags((after or now).report.flags)
        if act.edit is None or after is None:
            self.previewed.emit(None, None)
            return act.note
        self.previewed.emit(after, act.edit.apply(self.document.project))
        return tell_change(now, after, self.document.project.names())

    def let_go(self) -> None:
        """Have nothing in the hand any more."""
        if self.overlay.hand is not None:
            self.overlay.hand = None
            self.show_flags(self.document.judgement.report.flags)
            self.previewed.emit(None, None)
        self.update()

    def put_back(self) -> None:
        """Let what is in the hand go back to where it came from."""
        hand = self.overlay.hand
        if hand is not None and hand.source is not None:
            self._fly([self._flight(hand, hand.source)])
        self.let_go()

    def perform(self, act: Act) -> bool:
        """Ask the document for an act."""
        edit = act.edit
        if isinstance(edit, SwapWedges):
            return self.document.swap_wedges(edit.first, edit.second)
        if isinstance(edit, PlaceFabric):
            if edit.fabric is None:
                return self.document.clear_wedges(edit.cells)
            return self.document.place_fabric(edit.cells, edit.fabric)
        return False

    def land(self, hand: Hand, act: Act) -> None:
        """Let pieces that changed places fly there, and choose the one that was let go."""
        if act.kind == "swap" and hand.source is not None and hand.target is not None:
            flights = [self._flight(hand, hand.target)]
            other = self.document.project.board.at(hand.source)
            if other is not None:
                start = self.sight().middle(hand.target)
                turn = self._turn(hand.target, hand.source)
                flights.append(Flight(hand.source, other, start, turn))
            self._fly(flights)
        if hand.target is not None:
            self.desk.choose_cells((hand.target,))
            self.keyboard_cell = hand.target

    def _flight(self, hand: Hand, end: Cell) -> Flight:
        source = hand.source or end
        at, middle = self.view.to_mm(hand.at), self.sight().middle(source)
        start = (at[0] + middle[0] - hand.grip[0], at[1] + middle[1] - hand.grip[1])
        turn = self._turn(source, end) + hand.turn_deg
        return Flight(end, hand.fabric, start, (turn + 180) % 360 - 180)

    def _turn(self, start: Cell, end: Cell) -> float:
        layout = self.layout_mm
        turn = layout.angle_deg(start.wedge) - layout.angle_deg(end.wedge)
        return (turn + 180) % 360 - 180

    def _fly(self, flights: list[Flight]) -> None:
        if not self.motion.reduced:
            self.overlay.flights = flights
            self.motion.start("land", LAND_MS)

    # What is chosen.

    def choose_at(self, at: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        """Choose what lies under a point: a wedge, a plate, or nothing."""
        self.overlay.cord = None
        cell = self.cell_at(at)
        if cell is None:
            block = self.layout_mm.block_at(*self.view.to_mm(at))
            self.desk.choose_cells(())
            self.desk.choose_block(block)
            return
        chosen = self.desk.cells
        if modifiers & Qt.KeyboardModifier.ControlModifier:
            rest = tuple(other for other in chosen if other != cell)
            self.desk.choose_cells(rest if cell in chosen else (*rest, cell))
        elif modifiers & Qt.KeyboardModifier.ShiftModifier and chosen:
            self.extend_to(cell)
        else:
            self.desk.choose_cells((cell,))
        self.keyboard_cell = cell

    def extend_to(self, cell: Cell) -> None:
        """Choose round the ring as far as a wedge, the shorter way, from the first chosen."""
        first = self.desk.cells[0] if self.desk.cells else cell
        if first.block != cell.block:
            self.desk.choose_cells((cell,))
            return
        n = self.document.project.board.wedge.n
        ahead = (cell.wedge - first.wedge) % n
        way = 1 if ahead <= n - ahead else -1
        count = min(ahead, n - ahead)
        self.desk.choose_cells(
            tuple(Cell(cell.block, (first.wedge + way * k) % n) for k in range(count + 1))
        )

    def cells_at(self, cell: Cell) -> tuple[Cell, ...]:
        """Give what a key at a wedge acts on: all chosen, if it is among them."""
        return self.desk.cells if cell in self.desk.cells else (cell,)

    def take_off(self, cells: tuple[Cell, ...]) -> bool:
        """Take the pieces off wedges."""
        return self.document.clear_wedges(cells)

    def walk_to(self, cell: Cell, *, extend: bool = False) -> None:
        """Bring the keyboard to a wedge, and choose it."""
        self.keyboard_cell = self.overlay.cord = cell
        if extend:
            self.extend_to(cell)
        elif not isinstance(self.gesture, KeyboardCarryGesture):
            self.desk.choose_cells((cell,))
        self.bring_into_view((cell,))
        self._speak_focus()
        self.update()

    def show_cord(self) -> Cell:
        """Show where the keyboard is, and tell."""
        board = self.document.project.board
        cell = self.keyboard_cell
        if cell is None or not board.holds(cell):
            chosen = [c for c in self.desk.cells if board.holds(c)]
            block = min(self.desk.block or 0, len(board.blocks) - 1)
            cell = chosen[-1] if chosen else Cell(block, 0)
        if self.overlay.cord != cell:
            self.keyboard_cell = self.overlay.cord = cell
            self._speak_focus()
            self.update()
        return cell

    # What a screen reader hears.

    def text_of(self, cell: Cell) -> str:
        """Say all there is to a wedge."""
        return wedge_text(self.document.project, self.document.judgement, cell)

    def index_of(self, cell: Cell) -> int:
        """Count a wedge among all, plate by plate."""
        return cell.block * self.document.project.board.wedge.n + cell.wedge

    def cell_at_global(self, x: int, y: int) -> Cell | None:
        """Tell which wedge lies under a point of the whole screen."""
        return self.cell_at(QPointF(self.mapFromGlobal(QPoint(x, y))))

    def announce(self, text: str) -> None:
        """Tell a screen reader what was done."""
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, text))
        self.announced.emit(text)

    def _speak_focus(self) -> None:
        cell = self.keyboard_cell
        if cell is None:
            return
        text = self.text_of(cell)
        if text != self.accessibleDescription():
            self.setAccessibleDescription(text)
        event = QAccessibleEvent(self, QAccessible.Event.Focus)
        event.setChild(self.index_of(cell))
        QAccessible.updateAccessibility(event)
        self.announced.emit(text)

    def ask_for_menu(self, cell: Cell | None) -> None:
        """Ask for a menu on a wedge, from the keyboard."""
        middle = self.rect().center()
        if cell is not None:
            middle = self.cell_rect(cell).center().toPoint()
        self.menu_requested.emit(self.mapToGlobal(middle), cell)

    def point_at(self, cell: Cell | None) -> None:
        """Point at a wedge: it lifts a little."""
        before = self.overlay.hover
        if cell == before:
            return
        self.overlay.hover = cell
        if cell is not None:
            self.motion.start("lift", LIFT_MS)
        for changed in (before, cell):
            if changed is not None and self.document.project.board.holds(changed):
                rect = self.cell_rect(changed).adjusted(-8, -10, 8, 16)
                self.update(rect.toAlignedRect())
