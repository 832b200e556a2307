"""The look's tokens in one place: two rooms, one ground, sizes of letters and of parts.

Cloth is the only colour. Everything else is neutral grey, in a light or a dark room; the grey
that cloth lies on is the same in both.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, get_args

from PySide6.QtCore import QObject, Qt, QTemporaryDir, Signal
from PySide6.QtGui import QColor, QFont, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication

from quiltboard.drawing.display import GROUND, HALO, INK, Weight
from quiltboard.drawing.lettering import FAMILY
from quiltboard.paint.offscreen import ensure_gui

RoomChoice = Literal["system", "light", "dark"]
Colour = Literal[
    "bars",
    "panel",
    "raised",
    "well",
    "rule",
    "edge",
    "graph",
    "text",
    "text_2",
    "button",
    "button_text",
    "ground",
    "ink",
    "halo",
]


@dataclass(frozen=True, slots=True)
class Room:
    """The greys of one room, each ``#rrggbb``.

    Attributes
    ----------
    bars, panel, raised, well
        Surfaces: top and bottom bars, side panels, chosen rows and tags, fields to write in.
    rule, edge, graph
        Lines: between rows, decoration only, and what must be seen.
    text, text_2
        Letters, and letters of less weight.
    button, button_text
        The one filled button and what stands on it.
    """

    bars: str
    panel: str
    raised: str
    well: str
    rule: str
    edge: str
    graph: str
    text: str
    text_2: str
    button: str
    button_text: str
    ground: str = GROUND
    ink: str = INK
    halo: str = HALO


LIGHT: Final = Room(
    bars="#e8e8e8",
    panel="#f1f1f1",
    raised="#fcfcfc",
    well="#dddddd",
    rule="#cfcfcf",
    edge="#ababab",
    graph="#818181",
    text="#1f1f1f",
    text_2="#505050",
    button="#282828",
    button_text="#f9f9f9",
)
DARK: Final = Room(
    bars="#242424",
    panel="#2c2c2c",
    raised="#3b3b3b",
    well="#1f1f1f",
    rule="#474747",
    edge="#686868",
    graph="#818181",
    text="#eeeeee",
    text_2="#bebebe",
    button="#ebebeb",
    button_text="#1b1b1b",
)

# Letters, in px at 100 %.
INVITATION: Final = 30
PART_TITLE: Final = 17
STEP: Final = 16
BUTTON: Final = 15
TEXT: Final = 13
NOTE: Final = 12

# Parts, in px at 100 %, on a grid of 4.
GRID_PX: Final = 4
PADDING_PX: Final = 16
RADIUS_PX: Final = 6
LEDGE_RADIUS_PX: Final = 10
ROW_PX: Final = 26
ROW_WITH_CLOTH_PX: Final = 32
ROW_OF_TWO_PX: Final = 44
BUTTON_PX: Final = 32
TALL_BUTTON_PX: Final = 44
SHELF_PX: Final = 284
SHELF_CLOTH_PX: Final = 112
SIDE_PX: Final = 356
TOP_BAR_PX: Final = 72
STATUS_BAR_PX: Final = 36
ICON_PX: Final = 20
CORD_PX: Final = 3
CORD_HALO_PX: Final = 2

TEXT_PERCENTS: Final = (100, 125, 150, 175, 200)
SPARE_OPACITY: Final = 0.34


class Theme(QObject):
    """The room the window stands in and how large its letters are.

    Signals
    -------
    changed
        The room or the letters changed: measure and paint anew.
    """

    changed = Signal()

    def __init__(
        self,
        parent: QObject | None = None,
        *,
        choice: RoomChoice = "system",
        text_percent: int = 100,
    ) -> None:
        super().__init__(parent)
        ensure_gui()
        self._choice: RoomChoice = choice if choice in get_args(RoomChoice) else "system"
        self._percent = min(max(text_percent, TEXT_PERCENTS[0]), TEXT_PERCENTS[-1])
        self._room = self._find_room()
        self._fonts: dict[tuple[int, Weight], QFont] = {}
        self._colours: dict[str, QColor] = {}
        self._arrows = QTemporaryDir()
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._on_scheme_changed)

    @property
    def room(self) -> Room:
        """The greys in use."""
        return self._room

    @property
    def dark(self) -> bool:
        """Whether the dark room is in use."""
        return self._room is DARK

    @property
    def choice(self) -> RoomChoice:
        """Which room the maker asked for."""
        return self._choice

    @property
    def text_percent(self) -> int:
        """How large letters are, 100 to 200."""
        return self._percent

    @property
    def arrow_folder(self) -> str:
        """A folder of our own for the small pictures a stylesheet names by file."""
        return self._arrows.path()

    def choose_room(self, choice: RoomChoice) -> None:
        """Take the light room, the dark one, or the system's."""
        self._choice = choice
        self._take_room()

    def scale_text(self, percent: int) -> None:
        """Set how large letters are, 100 to 200 %."""
        percent = min(max(percent, TEXT_PERCENTS[0]), TEXT_PERCENTS[-1])
        if percent != self._percent:
            self._percent = percent
            self._fonts.clear()
            self._dress_again()

    def px(self, at_100: float) -> int:
        """Give a measure that grows with the letters."""
        return round(at_100 * self._percent / 100)

    def wide(self, at_100: int) -> int:
        """Give a side part's width: it grows a quarter as fast, so the board keeps room."""
        return round(at_100 * (1 + (self._percent / 100 - 1) / 4))

    def colour(self, name: Colour) -> QColor:
        """Give a token's colour in this room."""
        found = self._colours.get(name)
        if found is None:
            found = self._colours[name] = QColor(str(getattr(self._room, name)))
        return found

    def font(self, size: int = TEXT, weight: Weight = 400) -> QFont:
        """Give the bundled font, with figures of one width, at a size of the look."""
        found = self._fonts.get((size, weight))
        if found is None:
            found = make_font(self.px(size), weight)
            self._fonts[size, weight] = found
        return found

    def palette(self) -> QPalette:
        """Give the room as Qt knows it, for every widget the stylesheet does not name."""
        room = self._room
        role = QPalette.ColorRole
        palette = QPalette()
        for which, colour in (
            (role.Window, room.panel),
            (role.WindowText, room.text),
            (role.Base, room.well),
            (role.AlternateBase, room.panel),
            (role.ToolTipBase, room.raised),
            (role.ToolTipText, room.text),
            (role.PlaceholderText, room.text_2),
            (role.Text, room.text),
            (role.Button, room.bars),
            (role.ButtonText, room.text),
            (role.BrightText, room.halo),
            (role.Light, room.raised),
            (role.Midlight, room.panel),
            (role.Dark, room.edge),
            (role.Mid, room.rule),
            (role.Shadow, room.ink),
            (role.Highlight, room.button),
            (role.HighlightedText, room.button_text),
            (role.Link, room.text),
            (role.LinkVisited, room.text_2),
            (role.Accent, room.text),
        ):
            palette.setColor(which, QColor(colour))
        faded = QPalette.ColorGroup.Disabled
        for which in (role.WindowText, role.Text, role.ButtonText):
            palette.setColor(faded, which, QColor(room.graph))
        return palette

    def dress(self, application: QApplication) -> None:
        """Give the whole application this look."""
        from quiltboard.window.stylesheet import write_stylesheet  # noqa: PLC0415 - it reads us

        if not application.styleSheet():
            application.setStyle("Fusion")
        application.setFont(self.font())
        application.setPalette(self.palette())
        application.setStyleSheet(write_stylesheet(self))

    def _dress_again(self) -> None:
        application = QApplication.instance()
        if isinstance(application, QApplication):
            self.dress(application)
        self.changed.emit()

    def _find_room(self) -> Room:
        if self._choice == "system":
            scheme = QGuiApplication.styleHints().colorScheme()
            return DARK if scheme == Qt.ColorScheme.Dark else LIGHT
        return DARK if self._choice == "dark" else LIGHT

    def _take_room(self) -> None:
        room = self._find_room()
        if room is not self._room:
            self._room = room
            self._colours.clear()
            self._dress_again()

    def _on_scheme_changed(self, _scheme: Qt.ColorScheme) -> None:
        self._take_room()


def make_font(size_px: int, weight: Weight) -> QFont:
    """Give the bundled font at a size in px, its figures all of one width."""
    font = QFont(FAMILY)
    font.setPixelSize(size_px)
    font.setWeight(QFont.Weight(weight))
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    font.setFeature(QFont.Tag("tnum"), 1)
    return font


def contrast(first: str, second: str) -> float:
    """Tell how well one grey stands out from another, 1 to 21.

    Parameters
    ----------
    first, second
        sRGB ``#rrggbb``.

    References
    ----------
    W3C, Web Content Accessibility Guidelines 2.2, "contrast ratio" and "relative luminance".
    """
    low, high = sorted((_luminance(first), _luminance(second)))
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    light = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * light[0] + 0.7152 * light[1] + 0.0722 * light[2]
