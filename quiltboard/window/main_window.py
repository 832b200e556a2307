"""The main window: shelf, board and panels between two bars, and what ties them together."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

import msgspec
from PySide6.QtCore import QByteArray, QPoint, Qt, QTimer, Signal
from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDragMoveEvent,
    QDropEvent,
)
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QMainWindow,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from quiltboard.document.bringing import Bringing
from quiltboard.document.dealing import Dealing
from quiltboard.document.desk import STEPS_OF_WORK, Desk
from quiltboard.document.document import Document
from quiltboard.document.keeping import Keeping
from quiltboard.errands.judge import Judgement
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.project.project import Project
from quiltboard.window.actions import Actions
from quiltboard.window.adding import Adding
from quiltboard.window.balance_panel import BalancePanel
from quiltboard.window.board_tools import BoardTools
from quiltboard.window.canvas import BoardCanvas
from quiltboard.window.cloth import Cuttings
from quiltboard.window.count_panel import CountPanel
from quiltboard.window.dialogs import KeysOverview
from quiltboard.window.edges import Edge, PanelSplitter
from quiltboard.window.exporting import Exporting
from quiltboard.window.filing import Filing
from quiltboard.window.focus_cord import FocusCord
from quiltboard.window.ledge import Ledge
from quiltboard.window.loupes import WAYS, Loupes
from quiltboard.window.menus import build_add_menu, build_board_menu, build_main_menu
from quiltboard.window.quilt_label import QuiltLabel
from quiltboard.window.reporting import Reporting
from quiltboard.window.shelf import Shelf
from quiltboard.window.status_bar import StatusBar
from quiltboard.window.theme import SIDE_PX, TEXT_PERCENTS, RoomChoice, Theme
from quiltboard.window.thread import StepThread
from quiltboard.window.top_bar import TopBar
from quiltboard.window.wall import Wall

LEAST_WIDE_PX, LEAST_HIGH_PX = 1024, 640


class MainWindow(QMainWindow):
    """Composes the parts; it edits nothing itself.

    Signals
    -------
    stash_asked
        The stash is to be opened or closed.
    keep_asked
        A fabric of the shelf is to be kept in the stash.
    """

    stash_asked = Signal()
    keep_asked = Signal(object)

    def __init__(
        self,
        document: Document,
        desk: Desk,
        theme: Theme,
        book: ClothBook,
        keeping: Keeping,
        bringing: Bringing,
        dealing: Dealing,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._desk = desk
        self._theme = theme
        self._keeping = keeping
        self._bringing = bringing
        self._dealing = dealing
        self._leaving = False
        self._hint_over = ""
        self._sides: dict[str, QWidget] = {}
        self._centres: dict[str, QWidget] = {}
        self.setAcceptDrops(True)
        self.setMinimumSize(LEAST_WIDE_PX, LEAST_HIGH_PX)
        self.exporting = Exporting(self)
        self.filing = Filing(self, document, desk, theme, keeping, self.exporting)
        self.adding = Adding(self, keeping, bringing)
        self.tools = BoardTools(document, desk, self)
        self.cuttings = Cuttings(book, self)
        self.canvas = BoardCanvas(
            document, desk, theme, book, reduced_motion=keeping.settings.reduced_motion
        )
        self.wall = Wall(document, self.canvas, theme)
        self.actions_of = Actions(theme, self, self.wall)
        self.ledge = Ledge(self.actions_of, theme)
        self.wall.set_ledge(self.ledge)
        self.shelf = Shelf(document, desk, theme, self.cuttings)
        self.balance = BalancePanel(document, desk, theme, self.cuttings)
        self.count = CountPanel(document, desk, theme, self.cuttings)
        self.status = StatusBar(theme)
        self.label = QuiltLabel(document, theme)
        self.steps = StepThread(document, desk, self.actions_of, theme)
        self.loupes = Loupes(document, desk, book, self.actions_of, theme)
        self.top_bar = TopBar(self.label, self.steps, self.loupes, theme)
        self.reporting = Reporting(
            self, theme, self.status, self.ledge, bringing, dealing, self.exporting
        )
        self._lay_out()
        self._cord = FocusCord(theme, self)
        self._make_menus()
        self.actions_of.wire(self._handlers())
        self._connect()
        self._on_theme_changed()
        self._on_step_changed(desk.step)
        self._on_seeing_changed(desk.seeing)
        self.actions_of.check(f"room.{theme.choice}")
        self._on_place_changed()
        self._note()
        if keeping.settings.geometry:
            self.restoreGeometry(QByteArray(keeping.settings.geometry))

    def add_step_panel(self, step: str, side: QWidget, centre: QWidget | None = None) -> None:
        """Give a step of the work its side part and, where it has one, its own centre.

        Raises
        ------
        ValueError
            If there is no such step.
        """
        if step not in STEPS_OF_WORK:
            raise ValueError(f"no step {step!r}")
        self._sides[step] = side
        self.right.addWidget(side)
        if centre is not None:
            self._centres[step] = centre
            self.centre.addWidget(centre)
        self._on_step_changed(self._desk.step)

    def lay_over(self, side: QWidget, hint: str) -> None:
        """Show another side part and its hint while something lies over the board."""
        self._hint_over = hint
        self.right.setCurrentWidget(side)
        self._hint()

    def show_step_parts(self) -> None:
        """Show the parts of the step at hand again, after something lay over them."""
        self._hint_over = ""
        self._on_step_changed(self._desk.step)

    # How it is laid out.

    def _lay_out(self) -> None:
        self.panels = PanelSplitter(self._theme)
        self.panels.addWidget(self.balance)
        self.panels.addWidget(self.count)
        self.panels.setStretchFactor(0, 56)
        self.panels.setStretchFactor(1, 31)
        self.panels.setChildrenCollapsible(False)
        self.panel_area = QScrollArea()
        self.panel_area.setWidgetResizable(True)
        self.panel_area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.panel_area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.panel_area.setWidget(self.panels)
        self.right = QStackedWidget()
        self.right.addWidget(self.panel_area)
        self.centre = QStackedWidget()
        self.centre.addWidget(self.wall)
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(self.shelf)
        middle.addWidget(Edge(self._theme))
        middle.addWidget(self.centre, 1)
        middle.addWidget(Edge(self._theme))
        middle.addWidget(self.right)
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.top_bar)
        column.addLayout(middle, 1)
        column.addWidget(self.status)
        self.setCentralWidget(whole)
        self.resize(1600, 1000)
        self.panels.setSizes([560, 320])

    def _make_menus(self) -> None:
        self.menu, recent = build_main_menu(self, self.actions_of)
        recent.aboutToShow.connect(partial(self.filing.fill_recent, recent))
        self._recent = recent
        self.filing.fill_recent(recent)
        self.label.set_menu(self.menu)
        self.shelf.set_add_menu(build_add_menu(self, self.actions_of))
        self.board_menu = build_board_menu(self, self.actions_of)

    def _handlers(self) -> Mapping[str, Callable[[], object]]:
        stack, filing, adding, canvas = (
            self._document.undo_stack,
            self.filing,
            self.adding,
            self.canvas,
        )
        return {
            "file.new": filing.new,
            "file.open": filing.open,
            "file.open_demo": filing.open_demo,
            "file.save": filing.save,
            "file.save_as": filing.save_as,
            "file.rename": filing.rename,
            "file.export_png": filing.export_png,
            "file.export_svg": filing.export_svg,
            "file.sheets": filing.sheets,
            "file.quit": self.close,
            "edit.undo": stack.undo,
            "edit.redo": stack.redo,
            "fabrics.add_photos": adding.add_photos,
            "fabrics.add_folder": adding.add_folder,
            "fabrics.add_list": adding.add_list,
            "fabrics.paste": adding.paste,
            "fabrics.look_up": self.shelf.look_up,
            "stash.open": self.stash_asked.emit,
            "stash.keep": self._keep_chosen,
            "board.deal": self._dealing.deal,
            "board.stop_deal": self._dealing.stop,
            "board.fit": canvas.fit_whole,
            "board.zoom_in": canvas.zoom_in,
            "board.zoom_out": canvas.zoom_out,
            "board.true_size": canvas.show_true_size,
            **self.tools.handlers(),
            **{f"see.{way}": partial(self._desk.look, way) for way in WAYS},
            **{f"step.{step}": partial(self._desk.go_to_step, step) for step in STEPS_OF_WORK},
            "room.system": partial(self._choose_room, "system"),
            "room.light": partial(self._choose_room, "light"),
            "room.dark": partial(self._choose_room, "dark"),
            "text.larger": partial(self._scale_text, 1),
            "text.smaller": partial(self._scale_text, -1),
            "help.keys": self.show_keys,
            "help.flags": self.balance.show_meanings,
        }

    def _connect(self) -> None:
        document, desk = self._document, self._desk
        document.project_changed.connect(self._on_project_changed)
        document.place_changed.connect(self._on_place_changed)
        document.modified_changed.connect(self.setWindowModified)
        document.refused.connect(self.reporting.tell)
        document.told.connect(self.reporting.tell)
        document.undo_stack.indexChanged.connect(self._on_anything)
        desk.step_changed.connect(self._on_step_changed)
        desk.seeing_changed.connect(self._on_seeing_changed)
        for signal in (desk.cells_chosen, desk.block_chosen, desk.fabric_chosen):
            signal.connect(self._on_anything)
        self.shelf.fabric_opened.connect(self._on_fabric_opened)
        self.shelf.view.fabric_kept.connect(self.keep_asked)
        self.canvas.menu_requested.connect(self._on_menu_requested)
        self.canvas.previewed.connect(self._on_previewed)
        self.wall.first_run.photos_asked.connect(self.adding.add_photos)
        self.wall.first_run.demo_asked.connect(self.filing.open_demo)
        self.adding.board_dropped.connect(self.filing.open_path)
        self.adding.refused.connect(self.reporting.tell)
        self._dealing.started.connect(self._on_anything)
        self._dealing.ended.connect(self._on_anything)
        self._keeping.busy_changed.connect(self.label.show_busy)
        self._keeping.opened.connect(self._on_opened)
        self._theme.changed.connect(self._on_theme_changed)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._on_focus_changed)

    # What it says.

    def show_keys(self) -> None:
        """Show every key."""
        KeysOverview(self._theme, self).exec()

    # What Qt tells.

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask before unsaved work is lost; end what is at work."""
        if self._document.modified and not self._leaving:
            event.ignore()
            self.filing.leave_then(self._leave)
            return
        self._keeping.remember(
            msgspec.structs.replace(
                self._keeping.settings, geometry=bytes(self.saveGeometry().data())
            )
        )
        self._bringing.close()
        self._dealing.close()
        self.exporting.stop()
        event.accept()

    def _leave(self) -> None:
        self._leaving = True
        # Qt passes over a close that is asked for while it is still closing.
        QTimer.singleShot(0, self, self.close)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files, folders, lists and pictures anywhere."""
        if event.source() is None and self.adding.holds_something(event.mimeData()):
            event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """Take them wherever they are."""
        event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Bring in, or open, what was dropped."""
        if self.adding.take(event.mimeData()):
            event.acceptProposedAction()
        else:
            self.reporting.tell(
                self.tr("That is nothing to bring in: drop photographs or a folder.")
            )

    # What the parts tell.

    def _note(self) -> None:
        self.actions_of.note(self.tools.facts(dealing=self._dealing.running))
        self.ledge.say_pinned(self.tools.pinned())
        self._hint()

    def _hint(self) -> None:
        self.status.show_hint(self._find_hint())

    def _find_hint(self) -> str:
        if self._hint_over:
            return self._hint_over
        if self.wall.empty:
            return self.tr(
                "JPEG, PNG, WebP and AVIF are read, HEIC with its add-on. Photographs stay on "
                "this computer; where they were taken is never kept."
            )
        if self.shelf.isAncestorOf(QApplication.focusWidget() or self):
            return self.tr(
                "Drag a fabric onto a wedge. From the keyboard: arrows choose, Enter opens it, "
                "Delete removes it."
            )
        hints = {
            "fabrics": self.tr(
                "Drag the corners to where the cloth ends. Keys: C for the next corner, arrows "
                "move it, N for the next cloth."
            )
            if self._desk.fabric is not None
            else self.tr(
                "Click a fabric to open it, here or on the shelf. Keys: arrows walk from dark "
                "to light, Enter opens."
            ),
            "top": self.tr("Every change can be undone; plates keep their places."),
            "wedge": self.tr("Only the strip's width is rounded; the angle does the rest."),
            "cut": self.tr("Ctrl+P writes all sheets as one PDF, at true scale."),
        }
        arrange = self.tr(
            "Drag wedge onto wedge to swap them. From the keyboard: arrows walk the ring, "
            "Space picks up, Enter lays down."
        )
        return hints.get(self._desk.step, arrange)

    def _on_anything(self, *_what: object) -> None:
        self._note()

    def _on_project_changed(self, before: Project, after: Project) -> None:
        if before.title != after.title:
            self._on_place_changed()
        self._note()

    def _on_place_changed(self, *_place: object) -> None:
        title = self._document.project.title
        self.setWindowTitle(self.tr("{title}[*] – Quiltboard").format(title=title))
        self.setWindowModified(self._document.modified)
        self._note()

    def _on_step_changed(self, step: str) -> None:
        self.right.setCurrentWidget(self._sides.get(step, self.panel_area))
        self.centre.setCurrentWidget(self._centres.get(step, self.wall))
        self.actions_of.check(f"step.{step}")
        self._hint()

    def _on_seeing_changed(self, seeing: str) -> None:
        self.actions_of.check(f"see.{seeing}")

    def _on_focus_changed(self, _old: object, _now: object) -> None:
        self._hint()

    def _keep_chosen(self) -> None:
        self.keep_asked.emit(self._desk.fabric)

    def _on_fabric_opened(self, _fabric: object) -> None:
        self._desk.go_to_step("fabrics")

    def _on_menu_requested(self, at: QPoint, _cell: object) -> None:
        self.board_menu.popup(at)

    def _on_previewed(self, judgement: Judgement | None, project: Project | None) -> None:
        shown = judgement or self._document.judgement
        self.balance.preview(shown, project or self._document.project)
        self.count.preview(shown)

    def _on_opened(self, notes: tuple[str, ...]) -> None:
        self._desk.choose_cells(())
        self._desk.choose_block(None)
        self._desk.choose_fabric(None)
        self._desk.go_to_step("arrange")
        self.status.show_problems(0)
        if notes:
            self.reporting.tell(" ".join(notes))

    def _choose_room(self, choice: RoomChoice) -> None:
        self._theme.choose_room(choice)
        self._keeping.remember(msgspec.structs.replace(self._keeping.settings, theme=choice))

    def _scale_text(self, steps: int) -> None:
        nearest = min(TEXT_PERCENTS, key=lambda p: abs(p - self._theme.text_percent))
        place = TEXT_PERCENTS.index(nearest) + steps
        percent = TEXT_PERCENTS[min(max(place, 0), len(TEXT_PERCENTS) - 1)]
        self._theme.scale_text(percent)
        self._keeping.remember(
            msgspec.structs.replace(self._keeping.settings, text_percent=percent)
        )

    def _on_theme_changed(self) -> None:
        self.right.setFixedWidth(self._theme.wide(SIDE_PX))
